"""Moments are the downhill slope of an energy that is written here a second time, in closed form and by quadrature."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.spatial.transform import Rotation

from sinewright.anatomy.path import Triple
from sinewright.solve import passive_torque as r
from sinewright.transfer.plans import build_plans

from ..virtual_people import BENT, HANGING, LYING, STRAIGHT, Floats, LegModel, leg_model, people, plan

# through the membrane to bone; two paths; three paths; two donors
OPERATIONS = (
    "tibialis_posterior.membrane_under.lateral_cuneiform_dorsum",
    "tibialis_posterior.membrane_under.split_medial_cuneiform_cuboid",
    "peroneus_longus.front_of_fibula_under.extensor_mass_above",
    "tibialis_posterior.membrane_under.lateral_cuneiform_dorsum"
    "+flexor_digitorum_longus.membrane_under.long_extensors_above",
)
POSES = ((-0.35, 0.1), (0.0, 0.0), (0.12, -0.15))
STEP = 1e-3  # rad; central differences of fourth order
SET_UPS = [
    pytest.param(id, lift, push, knee, down, elastic, id=f"{i}-{'lift' if lift else 'push' if push else 'rest'}")
    for i, id in enumerate(OPERATIONS)
    for lift, push, knee, down, elastic in (
        (False, False, BENT, HANGING, True),
        (True, False, STRAIGHT, LYING, True),
        (False, True, 0.4, LYING, False),
    )
]


def weight_energy(leg: LegModel, ankle: float, subtalar: float, down: Triple) -> float:
    passive, joint = leg.body.passive, leg.body.joint
    on_axis, mass = joint[6:9], passive[r.MASS_X : r.MASS_Z + 1]
    turned = on_axis + Rotation.from_rotvec(subtalar * joint[3:6]).apply(mass - on_axis)
    return float(-passive[r.WEIGHT] * np.array(down) @ Rotation.from_rotvec(ankle * joint[0:3]).apply(turned))


def joint_energy(passive: Floats, ankle: float, subtalar: float, knee: float) -> float:
    up, low, stop = passive[r.UPPER_RATE], passive[r.LOWER_RATE], passive[r.STOP_RATE]
    slackened = ankle - passive[r.CALF_SUBTALAR] * subtalar  # turning the heel in slackens the calf
    branches = np.exp(up * (slackened - passive[r.UPPER] - passive[r.UPPER_KNEE] * knee)) / up
    branches += np.exp(-low * (ankle - passive[r.LOWER] - passive[r.LOWER_KNEE] * knee)) / low
    stops = np.exp(stop * (subtalar - passive[r.INWARD])) + np.exp(-stop * (subtalar - passive[r.OUTWARD]))
    spring = 0.5 * passive[r.SUBTALAR_STIFFNESS] * (subtalar - passive[r.SUBTALAR_NEUTRAL]) ** 2
    both = r.REFERENCE_TORQUE * branches + passive[r.OFFSET] * ankle + r.STOP_TORQUE * stops / stop + spring
    return float(both)


def rise(leg: LegModel, a: tuple[float, float], b: tuple[float, float], knee: float, down: Triple) -> float:
    """Energy at b less energy at a [J]; an actuator stores the integral of its tension over its length."""
    passive = leg.body.passive
    total = joint_energy(passive, *b, knee) - joint_energy(passive, *a, knee)
    total += weight_energy(leg, *b, down) - weight_energy(leg, *a, down)
    for i in range(len(leg.actuators)):
        ends = leg.length(i, *a, knee), leg.length(i, *b, knee)
        if leg.tension(i, ends[0]) != 0.0 or leg.tension(i, ends[1]) != 0.0:
            total += quad(lambda length, i=i: leg.tension(i, length), *ends, epsabs=1e-13, epsrel=1e-10)[0]
    return float(total)


def slope(leg: LegModel, ankle: float, subtalar: float, knee: float, down: Triple, axis: int) -> float:
    """d(energy)/d(angle) [N.m] by central differences of fourth order."""

    def across(h: float) -> float:
        d = (h, 0.0) if axis == 0 else (0.0, h)
        return rise(leg, (ankle - d[0], subtalar - d[1]), (ankle + d[0], subtalar + d[1]), knee, down)

    return (8.0 * across(STEP) - across(2.0 * STEP)) / (12.0 * STEP)


@pytest.mark.parametrize(("id", "lift", "push", "knee", "down", "elastic"), SET_UPS)
def test_moments_are_minus_the_slope_of_the_energy(
    id: str, lift: bool, push: bool, knee: float, down: Triple, elastic: bool
) -> None:
    legs, plans = people("deep_branch_strong_peroneals"), build_plans([plan(id, 10.0)])
    for i, (ankle, subtalar) in enumerate(POSES):
        leg = leg_model(legs, plans, i, elastic=elastic).ask(lift, push, legs.capacity[i])
        moment = leg.moments(ankle, subtalar, knee, down)
        for axis in (0, 1):
            # a corner of a curve inside the 4 mrad that the differences span moves them by less than this
            expected = pytest.approx(-slope(leg, ankle, subtalar, knee, down, axis), rel=1e-5, abs=2e-5)
            assert moment[axis] == expected, (ankle, subtalar, axis)


@pytest.mark.parametrize(("id", "lift", "push", "knee", "down", "elastic"), SET_UPS)
def test_slopes_are_differences_of_the_moments_and_symmetric(
    id: str, lift: bool, push: bool, knee: float, down: Triple, elastic: bool
) -> None:
    legs, plans, h = people("deep_branch_strong_peroneals"), build_plans([plan(id, 10.0)]), 1e-5
    for i in range(12):
        ankle, subtalar = POSES[i % len(POSES)]
        leg = leg_model(legs, plans, i, elastic=elastic).ask(lift, push, legs.capacity[i])
        k_aa, k_as, k_ss = leg.moments(ankle, subtalar, knee, down)[2:]
        by_ankle = leg.moments(ankle + h, subtalar, knee, down) - leg.moments(ankle - h, subtalar, knee, down)
        by_subtalar = leg.moments(ankle, subtalar + h, knee, down) - leg.moments(ankle, subtalar - h, knee, down)
        assert by_ankle[1] == pytest.approx(by_subtalar[0], rel=1e-5, abs=2e-7)  # energy: mixed slopes are one
        scale = abs(k_aa) + abs(k_ss)
        found = np.array([by_ankle[0], by_ankle[1], by_subtalar[1]]) / (2.0 * h)
        assert found == pytest.approx(np.array([k_aa, k_as, k_ss]), rel=1e-4, abs=1e-5 * scale)
