"""The reference man, and how he is stretched to a patient."""

from __future__ import annotations

import numpy as np
import pytest

from sinewright.anatomy.fit import reference_joint_axes
from sinewright.anatomy.skeleton import (
    SIZE_NAMES,
    build,
    cylinders,
    geometry_rows,
    landmark_index,
    landmarks,
    native_paths,
    parse_path,
    reference_sizes,
)
from sinewright.arrays import Floats
from sinewright.reference import load
from sinewright.units import m

from .anatomy_people import reference_man

SIZES = {row["size"]: row for row in geometry_rows("reference_man")}


def stretched(name: str, factor: float) -> tuple[Floats, Floats]:
    """Landmarks (P, 3) and cylinders (C, 8) of the reference man with one size times ``factor``."""
    sizes = reference_sizes()
    sizes[SIZE_NAMES.index(name)] *= factor
    body = build(sizes[None], reference_joint_axes(load()))
    return body.points[0], body.cylinders[0]


@pytest.mark.parametrize("name", ["foot_length", "foot_breadth", "malleolar_breadth", "shank_length"])
def test_a_measured_size_of_the_reference_man_is_the_number_of_its_row(name: str) -> None:
    """Gordon 2014 army survey of 2012, men (rows anth-*-ansur2)."""
    row = load().row(SIZES[name]["source_row"])
    assert (float(SIZES[name]["value_mm"]), "mm") == (row.value, row.unit)


def test_dorsum_height_is_the_share_of_foot_length_in_its_row() -> None:
    share = load().row(SIZES["dorsum_height"]["source_row"]).value
    expected = share * float(SIZES["foot_length"]["value_mm"])
    assert float(SIZES["dorsum_height"]["value_mm"]) == pytest.approx(expected, abs=0.05)


def test_height_of_the_ankle_axis_is_the_share_of_malleolus_height_in_its_row() -> None:
    share = load().row(SIZES["ankle_height"]["source_row"]).value
    expected = share * load().row("anth-lateral-malleolus-height-men-ansur2").value
    assert float(SIZES["ankle_height"]["value_mm"]) == pytest.approx(expected, abs=0.05)


def test_the_reference_man_is_the_table() -> None:
    expected = [mark.position for mark in landmarks()]
    assert np.allclose(reference_man().points[0], expected, rtol=0.0, atol=1e-15)


def test_all_sizes_times_k_make_a_leg_k_times_as_large() -> None:
    body, man = build(1.1 * reference_sizes()[None], reference_joint_axes(load())), reference_man()
    assert np.allclose(body.points, 1.1 * man.points, rtol=1e-12)
    assert np.allclose(body.cylinders[..., [0, 1, 2, 6]], 1.1 * man.cylinders[..., [0, 1, 2, 6]], rtol=1e-12)
    assert np.array_equal(body.cylinders[..., [3, 4, 5, 7]], man.cylinders[..., [3, 4, 5, 7]])


@pytest.mark.parametrize("name", SIZE_NAMES)
def test_one_size_moves_only_the_coordinates_that_name_it(name: str) -> None:
    points, _ = stretched(name, 1.05)
    for mark, new in zip(landmarks(), points, strict=True):
        for axis in range(3):
            moves = mark.scales[axis] == SIZE_NAMES.index(name) and mark.position[axis] != 0.0
            if mark.from_floor and axis == 1:
                moves = name in ("dorsum_height", "ankle_height")
            assert (abs(new[axis] - mark.position[axis]) > 1e-9) == moves, f"{mark.name}, {'xyz'[axis]}"


def test_a_landmark_measured_from_the_floor_keeps_its_height_when_the_ankle_axis_rises() -> None:
    points, _ = stretched("ankle_height", 1.05)
    rise = 0.05 * m(float(SIZES["ankle_height"]["value_mm"]))
    i = landmark_index()["lateral_cuneiform_dorsum"]
    assert landmarks()[i].from_floor
    assert points[i, 1] + rise == pytest.approx(reference_man().points[0, i, 1], abs=1e-12)


def test_cylinder_radius_follows_its_own_size_and_its_centre_is_its_landmark() -> None:
    points, rounds = stretched("malleolar_breadth", 1.2)
    for i, cylinder in enumerate(cylinders()):
        assert np.array_equal(rounds[i, 0:3], points[cylinder.centre])
        grows = SIZE_NAMES[cylinder.scale] == "malleolar_breadth"
        assert rounds[i, 6] == pytest.approx(cylinder.radius * (1.2 if grows else 1.0), rel=1e-12)


def test_axes_and_shifts_of_each_person_are_his_own() -> None:
    axes = np.repeat(reference_joint_axes(load()), 2, axis=0)
    axes[1, 0:3] = (0.0, 0.0, 1.0)
    shifts = np.zeros((2, len(landmarks()), 3))
    shifts[1, 5] = (0.001, 0.002, 0.003)
    body = build(np.repeat(reference_sizes()[None], 2, axis=0), axes, shifts)
    assert np.array_equal(body.joint[:, 0:6], axes)
    assert np.allclose(body.points[1] - body.points[0], shifts[1], rtol=0.0, atol=1e-15)
    point = landmark_index()["subtalar_axis_point"]
    assert np.array_equal(body.joint[:, 6:9], body.points[:, point])


@pytest.mark.parametrize("text", ["(front_of_ankle) > achilles_heel", "soleus_origin > (front_of_ankle)"])
def test_a_path_must_begin_and_end_with_a_point(text: str) -> None:
    with pytest.raises(ValueError, match="begins and ends with a point"):
        parse_path(text)


def test_two_cylinders_need_a_point_between_them() -> None:
    with pytest.raises(ValueError, match="a point between two cylinders"):
        parse_path("soleus_origin > (front_of_ankle) > (medial_malleolus) > achilles_heel")


def test_every_native_path_runs_from_the_shank_to_the_foot() -> None:
    for name, elements in native_paths().items():
        assert (elements[0, 2], elements[-1, 2]) == (0, 2), name
