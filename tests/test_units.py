"""Degrees and millimetres: values a reader can check, both ways, for floats and arrays."""

from __future__ import annotations

from math import pi

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sinewright.units import deg, m, mm, rad

finite = st.floats(min_value=-1e6, max_value=1e6, allow_nan=False)


@pytest.mark.parametrize(
    ("got", "expected"),
    [(rad(180.0), pi), (rad(-90.0), -pi / 2), (deg(pi / 6), 30.0), (m(5.0), 0.005), (mm(0.44), 440.0)],
)
def test_hand_examples(got: float, expected: float) -> None:
    assert got == pytest.approx(expected, rel=1e-15)


@given(finite)
def test_there_and_back_keeps_value_and_sign(value: float) -> None:
    assert deg(rad(value)) == pytest.approx(value, rel=1e-14)
    assert mm(m(value)) == pytest.approx(value, rel=1e-14)


def test_arrays_keep_their_shape() -> None:
    angles_deg = np.array([[0.0, 90.0], [180.0, -180.0]])
    np.testing.assert_allclose(rad(angles_deg), [[0, pi / 2], [pi, -pi]], rtol=1e-15)
    assert mm(m(angles_deg)).shape == (2, 2)
