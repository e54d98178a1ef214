"""Directions of the hinges: printed unit vectors, signs, shapes."""

from __future__ import annotations

import re
from math import pi

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sinewright.anatomy.fit import reference_joint_axes
from sinewright.anatomy.joints import ankle_axis, subtalar_axis
from sinewright.arrays import Floats
from sinewright.reference import Row, load
from sinewright.units import rad

from .anatomy_people import turn_matrix

VECTOR_ROWS = [row for row in load().rows(file="axes") if row.id.startswith("ax-vector-")]
ROUNDING = 5.1e-5  # four printed decimals
ANGLES = {"talocrural": ("frontal", "transverse"), "subtalar": ("inclination", "deviation")}
AXIS = {"talocrural": ankle_axis, "subtalar": subtalar_axis}


def printed_angle(row: Row, name: str) -> float:
    found = re.search(rf"{name} ([\d.]+)", row.condition)
    assert found, f"{row.id} states no {name} angle"
    return rad(float(found[1]))


def test_the_vector_rows_cover_both_axes_and_all_components() -> None:
    stated = {(row.structure, row.id[:-2]) for row in VECTOR_ROWS}
    assert {structure for structure, _ in stated} == set(ANGLES)
    assert len(VECTOR_ROWS) == 3 * len(stated) >= 12


@pytest.mark.parametrize("row", VECTOR_ROWS, ids=lambda row: row.id)
def test_unit_vector_equals_the_row(row: Row) -> None:
    first, second = (printed_angle(row, name) for name in ANGLES[row.structure])
    component = "xyz".index(row.conditions["component"])
    assert AXIS[row.structure](first, second)[component] == pytest.approx(row.value, abs=ROUNDING)


@given(st.floats(0.3, pi - 0.3), st.floats(0.3, pi - 0.3))
def test_ankle_axis_shows_its_two_printed_angles_again(frontal: float, transverse: float) -> None:
    """Seen from in front and from above, the angle to shank and foot is the one that went in."""
    x, y, z = ankle_axis(frontal, transverse)
    assert np.hypot(np.hypot(x, y), z) == pytest.approx(1.0, abs=1e-12)
    assert np.arctan2(z, -y) == pytest.approx(frontal, abs=1e-9)
    assert np.arctan2(z, -x) == pytest.approx(transverse, abs=1e-9)


@given(st.floats(-1.4, 1.4), st.floats(-1.4, 1.4))
def test_subtalar_axis_shows_its_two_printed_angles_again(up: float, inward: float) -> None:
    x, y, z = subtalar_axis(up, inward)
    assert np.hypot(np.hypot(x, y), z) == pytest.approx(1.0, abs=1e-12)
    assert np.arcsin(y) == pytest.approx(up, abs=1e-9)
    assert np.arctan2(-z, x) == pytest.approx(inward, abs=1e-9)


def test_arrays_give_one_unit_vector_each_and_angles_broadcast() -> None:
    """(N,) and a single angle go in, (N, 3) comes out, each row as if asked alone."""
    many = np.linspace(0.5, 1.0, 5)
    for axis in AXIS.values():
        found = axis(many, 0.7)
        assert found.shape == (5, 3)
        assert np.array_equal(found, [axis(angle, 0.7) for angle in many])


def turned(axis: Floats, vector: tuple[float, float, float]) -> Floats:
    out: Floats = turn_matrix(axis, rad(10.0)) @ np.array(vector)
    return out


def test_positive_turns_are_dorsiflexion_and_inversion_of_a_right_foot() -> None:
    """Dorsiflexion lifts the toes; inversion lifts the inner border and (rows ax-vector-subtalar-*) turns the
    toes inward and down."""
    axes = reference_joint_axes(load())[0]
    assert turned(axes[:3], (1.0, 0.0, 0.0))[1] > 0.1
    assert turned(axes[3:], (0.0, 0.0, -1.0))[1] > 0.1
    toes = turned(axes[3:], (1.0, 0.0, 0.0))
    assert toes[2] < -0.05
    assert toes[1] < -0.01


@given(st.floats(-pi, pi), st.floats(0.3, 2.8), st.floats(0.3, 2.8))
def test_rotation_is_a_proper_turn_that_leaves_its_axis_alone(angle: float, one: float, two: float) -> None:
    axis = ankle_axis(one, two)
    turn = turn_matrix(axis, angle)
    assert np.allclose(turn @ turn.T, np.eye(3), atol=1e-12)
    assert np.linalg.det(turn) == pytest.approx(1.0, abs=1e-12)
    assert np.allclose(turn @ axis, axis, atol=1e-12)
    assert np.trace(turn) == pytest.approx(1.0 + 2.0 * np.cos(angle), abs=1e-12)
