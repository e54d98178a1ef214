"""Clearance and steppage follow from the lengths of the leg."""

import math

import numpy as np
import pytest

from sinewright.solve.clearance import Passing, Sole, lifted, lowest, steppage
from sinewright.solve.swing import demand
from sinewright.solve.swing_held import BY_ANKLE, BY_HIP, BY_KNEE, clearance_rates, held
from sinewright.solve.walk import BASE, COSINE, SINE

from .swing_people import ground

JOINT = np.array([0.0, 0.0, 1.0, 1.0, 0.0, 0.0, 0.0, 0.0, 0.0])
MARKS = np.array([[0.21, -0.06, 0.0], [0.14, -0.06, -0.05], [0.14, -0.06, 0.05]])
RISE, LIMB = 0.09, np.array([0.43, 0.42])


def one(shank_deg: float, thigh_deg: float) -> tuple[np.ndarray, ...]:
    base = np.zeros((3, BASE))
    base[:, SINE], base[:, COSINE] = math.sin(math.radians(shank_deg)), math.cos(math.radians(shank_deg))
    return base, np.full(3, RISE), np.full(3, math.radians(thigh_deg))


def heights(ankle_deg: float, shank_deg: float) -> tuple[float, np.ndarray]:
    base, rise, _ = one(shank_deg, 20.0)
    where = np.zeros((3, 3, 2))
    for n in range(3):
        least = lowest(math.radians(ankle_deg), 0.0, n, Sole(MARKS, JOINT, base, rise, np.empty(27)), where[n])
    return least, where


@pytest.mark.parametrize(("ankle_deg", "shank_deg"), [(0.0, 0.0), (-20.0, -10.0), (5.0, -30.0)])
def test_tip_of_a_foot_on_a_plain_hinge(ankle_deg: float, shank_deg: float) -> None:
    """Height of the toe tip: rise + 0.21 sin(f) - 0.06 cos(f), f pitch of the foot."""
    least, _ = heights(ankle_deg, shank_deg)
    f = math.radians(ankle_deg + shank_deg)
    tip, ball = (RISE + x * math.sin(f) - 0.06 * math.cos(f) for x in (0.21, 0.14))
    assert least == pytest.approx(min(tip, ball), abs=1e-12)


@pytest.mark.parametrize("ratio", [0.0, 1.0, 1.3, 2.0])
def test_steppage_brings_the_sole_to_the_margin(ratio: float) -> None:
    base, rise, thigh = one(-15.0, 22.0)
    _, where = heights(-25.0, -15.0)
    passing = Passing(0, 2, base, rise, thigh, LIMB, where)
    assert lifted(0.0, ratio, passing) < 0.0
    extra, found = steppage(0.012, ratio, passing)
    assert found
    assert lifted(extra, ratio, passing) == pytest.approx(0.012, abs=1e-6)
    assert lifted(extra - 1e-5, ratio, passing) < 0.012
    assert steppage(lifted(0.0, ratio, passing) - 1e-9, ratio, passing) == (0.0, True)


def test_steppage_that_cannot_help_says_so() -> None:
    base, rise, thigh = one(-15.0, 22.0)
    _, where = heights(-25.0, -15.0)
    extra, found = steppage(5.0, 1.3, Passing(0, 2, base, rise, thigh, LIMB, where))
    assert not found
    assert extra == pytest.approx(math.radians(90.0))


def test_worth_of_a_degree_is_the_lever_to_the_toes() -> None:
    """Ankle: horizontal way from ankle to the lowest point; hip: from hip; knee: the rest, against a finite step."""
    g = ground(True, 3)
    walk, n = g.drawn.walk, 3
    ankle = np.zeros(n)
    rates = clearance_rates(g.legs, walk, ankle)
    least = [held(g.legs, walk, ankle + d, np.zeros(n), 0.0)[0][:, 4] for d in (-1e-4, 1e-4)]
    assert np.allclose(rates[:, BY_ANKLE], (least[1] - least[0]) / 2e-4, rtol=2e-2)
    assert np.all((rates[:, BY_ANKLE] > 0.05) & (rates[:, BY_ANKLE] < 0.25))
    assert np.all(np.abs(rates[:, [BY_KNEE, BY_HIP]]) < 0.6)


def test_a_foot_held_higher_clears_more() -> None:
    g = ground(True, 5)
    out = [held(g.legs, g.drawn.walk, np.full(5, q), np.zeros(5), 0.0)[0][:, 4] for q in (-0.3, 0.0, 0.1)]
    assert np.all(out[0] < out[1]) and np.all(out[1] < out[2])


def test_demand_of_a_man_of_75_kg() -> None:
    """0.7 of body weight 41 mm behind the ankle: 75 x 9.80665 x 0.7 x 0.041 = 21.1 N.m."""
    assert demand(75.0, 0.041, 0.7) == pytest.approx(21.109, abs=1e-3)
