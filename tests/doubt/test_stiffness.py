"""Passive limits: measured ones reproduced at the examiner's torque with their reading error, the others as printed."""

from __future__ import annotations

import numpy as np
import pytest

from sinewright.case import changed
from sinewright.doubt.prior import PriorSampler
from sinewright.doubt.stiffness import draw_passive, limit_at, printed_limits
from sinewright.reference import load
from sinewright.solve import passive_torque as r
from sinewright.units import deg, rad

from ..virtual_people import Floats, blank

N = 2500
SIZES = np.tile([0.26, 0.07, 0.07, 0.1, 0.07, 0.4], (N, 1))
PUSH = 12.0
UP, DOWN = 2.8, 3.6  # deg, reading errors: rows me-wb-df-goniometer-sem-konor2012, me-pf-sem
BEFORE_UP, BEFORE_DOWN = 10.0, 8.0  # deg, rows own-upper-limit-sd, own-lower-limit-sd


def passive(found: dict[str, float] | None = None, push: float | None = PUSH, text: str = "") -> Floats:
    entries = {f"range.affected.{key}": value for key, value in (found or {}).items()}
    if push is not None:
        entries["range.affected.examiner_torque_Nm"] = push
    case = blank(text)
    return draw_passive(changed(case, entries) if entries else case, SIZES, PriorSampler(N, 8))


def test_reading_errors_are_those_of_the_rows() -> None:
    assert load().row("me-wb-df-goniometer-sem-konor2012").high == UP
    assert load().row("me-pf-sem").high == DOWN


def test_without_findings_the_middle_leg_is_the_printed_one() -> None:
    """Printed: 10 N.m at 4.3 deg, knee straight; 23.1 deg, knee bent (rows pa-riener-angle-at-10nm-knee-0, -90)."""
    drawn = passive(push=None)
    for knee, id, sd in ((0.0, "knee-0", BEFORE_UP), (90.0, "knee-90", None)):
        limit = limit_at(drawn, 10.0, rad(knee), upward=True)
        assert np.median(limit) == pytest.approx(load().row(f"pa-riener-angle-at-10nm-{id}").value, abs=1.0)
        assert limit.std() == pytest.approx(sd, rel=0.1) if sd else limit.std() > BEFORE_UP
    stiff, wide = load().row("own-stiff-joint").value, load().row("own-stiff-lower-limit-sd").value
    before = np.sqrt((1.0 - stiff) * BEFORE_DOWN**2 + stiff * wide**2)  # few joints may have any limit
    assert deg(drawn[:, r.LOWER]).std() == pytest.approx(before, rel=0.1)
    assert np.median(deg(drawn[:, r.LOWER])) == pytest.approx(printed_limits(PriorSampler(1, 0))["lower"], abs=0.5)


def test_the_examiners_push_means_nothing_when_no_limit_was_measured() -> None:
    assert np.array_equal(passive(push=None)[:, r.LOWER], passive(push=20.0)[:, r.LOWER])


@pytest.mark.parametrize(
    ("field", "given", "knee", "upward", "error", "before"),
    [
        ("dorsiflexion_knee_straight_deg", 10.0, 0.0, True, UP, BEFORE_UP),
        ("dorsiflexion_knee_straight_deg", -15.0, 0.0, True, UP, BEFORE_UP),
        ("dorsiflexion_knee_bent_deg", 15.0, 90.0, True, UP, 11.0),
        ("plantarflexion_limit_down_deg", 40.0, 0.0, False, DOWN, BEFORE_DOWN),
    ],
)
def test_a_measured_limit_is_held_at_the_examiners_torque(
    field: str, given: float, knee: float, upward: bool, error: float, before: float
) -> None:
    wanted = given if upward else -given
    unread = np.median(limit_at(passive(), PUSH, rad(knee), upward))
    found = limit_at(passive({field: given}), PUSH, rad(knee), upward)
    kept = before**2 / (before**2 + error**2)  # two normal beliefs meet
    assert np.median(found) == pytest.approx(unread + kept * (wanted - unread), abs=0.8)
    push_error = deg(0.1 / 5.0)  # a tenth of the torque at a rate of about 5 to 11 per radian
    assert error * kept**0.5 * 0.9 < found.std() < np.hypot(error, 2.5 * push_error)


def test_both_limits_set_the_knee_coupling() -> None:
    found = passive({"dorsiflexion_knee_straight_deg": -10.0, "dorsiflexion_knee_bent_deg": 10.0})
    straight, bent = (limit_at(found, PUSH, rad(knee), True) for knee in (0.0, 90.0))
    assert np.median(straight) == pytest.approx(-10.0, abs=1.5) and np.median(bent) == pytest.approx(10.0, abs=1.5)
    assert np.median(found[:, r.UPPER_KNEE]) == pytest.approx(20.0 / 90.0, abs=0.02)


def test_a_knee_bent_less_is_taken_as_it_was() -> None:
    at_60 = passive({"dorsiflexion_knee_bent_deg": 15.0, "knee_bent_deg": 60.0})
    assert np.median(limit_at(at_60, PUSH, rad(60.0), True)) == pytest.approx(15.0, abs=1.5)


@pytest.mark.parametrize(
    ("field", "column", "sign"),
    [
        ("dorsiflexion_knee_straight_deg", r.UPPER, 1.0),
        ("plantarflexion_limit_down_deg", r.LOWER, -1.0),
        ("inversion_limit_deg", r.INWARD, 1.0),
        ("eversion_limit_out_deg", r.OUTWARD, -1.0),
    ],
)
def test_sign_of_each_limit(field: str, column: int, sign: float) -> None:
    little, more = (np.median(passive({field: value})[:, column]) for value in (10.0, 20.0))
    assert sign * (more - little) > rad(3.0)


def test_hindfoot_limits_lie_on_their_sides_and_the_resting_place_between() -> None:
    drawn = passive()
    assert np.all(drawn[:, r.OUTWARD] < 0.0) and np.all(drawn[:, r.INWARD] > 0.0)
    inside = (drawn[:, r.OUTWARD] < drawn[:, r.SUBTALAR_NEUTRAL]) & (drawn[:, r.SUBTALAR_NEUTRAL] < drawn[:, r.INWARD])
    assert np.all(inside) and np.all(drawn[:, r.SUBTALAR_STIFFNESS] > 0.0)


def test_the_clinical_arc_of_the_whole_foot_is_more_than_that_of_the_joint() -> None:
    drawn = passive({"inversion_limit_deg": 36.0})
    assert np.median(deg(drawn[:, r.INWARD])) < 30.0


def test_a_hard_push_at_the_same_angle_means_a_softer_ankle() -> None:
    soft, stiff = (passive({"dorsiflexion_knee_straight_deg": 5.0}, push) for push in (20.0, 6.0))
    torque = [np.median([-r.ankle_passive_torque(x, rad(5.0), 0.0)[0] for x in found]) for found in (soft, stiff)]
    assert torque[0] > torque[1]  # it takes more torque to hold the same angle when more was used


def test_a_foot_that_hangs_high_has_less_to_pull_it_down() -> None:
    low, high = (np.median(passive({"resting_hanging_deg": angle})[:, r.OFFSET]) for angle in (-40.0, -10.0))
    assert high < low


def test_weight_lies_below_and_in_front_of_the_ankle_and_follows_the_body() -> None:
    light, heavy = (passive(text=f"[person]\nmass_kg = {mass}\n") for mass in (50, 100))
    assert heavy[:, r.WEIGHT] == pytest.approx(2.0 * light[:, r.WEIGHT])
    assert np.all(light[:, r.MASS_X] > 0.0) and np.all(light[:, r.MASS_Y] < 0.0)
    assert np.all(light[:, r.MASS_Z] == 0.0)
    share = load().row("anth-foot-mass-fraction-men-deleva1996").value
    assert np.median(light[:, r.WEIGHT]) == pytest.approx(50.0 * share * 9.80665, rel=1e-6)


def test_rates_and_knee_coupling_keep_their_sign() -> None:
    drawn = passive({"dorsiflexion_knee_straight_deg": 10.0, "dorsiflexion_knee_bent_deg": 5.0})
    assert np.all(drawn[:, [r.UPPER_RATE, r.LOWER_RATE, r.STOP_RATE]] > 0.0)
    assert np.all(drawn[:, r.UPPER_KNEE] >= 0.0)
