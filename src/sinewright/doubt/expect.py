"""What each virtual leg would have shown at the examination, against what was found.

Resting and active angles and the torques of the affected leg: they depend on the whole leg at once, so they give weight
to whole draws. Sizes, passive limits and single strengths are met before, exactly, one by one.
"""

import numpy as np

from sinewright.arrays import Floats
from sinewright.case import Case, Number
from sinewright.doubt.force import LIFTERS, Forces, method_of
from sinewright.doubt.prior import LogLikelihood, PriorSampler
from sinewright.muscle.now import measurement_cv
from sinewright.solve import answer as a
from sinewright.solve.leg import Legs
from sinewright.transfer.plans import SewnOperation, build_plans
from sinewright.units import deg

HANGING_KNEE_DEG = (60.0, 120.0)  # a hanging angle read outside this is not compared with the model's right angle
TEST_ANKLE_DEG = 10.0  # torques read further from neutral are not compared
HAND_HELD_CHANGE, FOOT_LEVER = "me-dynamometer-df-mdc95-pmid31191956", "me-lever-arm-dynamometer"
NEAR_ZERO_FIXED = "own-torque-near-zero-fixed"
ARM_DOUBT = 0.1  # of a torque: where the dynamometer's axis lay


def expect(case: Case, legs: Legs, forces: Forces, sampler: PriorSampler) -> None:
    """Take down how well each draw agrees with the resting and active angles and torques of the affected leg."""
    _angles(case, angles_today(legs), legs, sampler)
    _torques(case, forces, sampler)


def angles_today(legs: Legs) -> Floats:
    """Answers (N, 12) [deg in the columns of angles] of legs in which nothing is moved, NaN without a balance."""
    out, failed = a.answer(legs, build_plans([SewnOperation(None, 0.0, 0.0, 0.0, 0.0)]))
    found: Floats = np.where(failed[:, 0] > 0, np.nan, 1.0)[:, None] * deg(out[:, 0])
    return found


def _angles(case: Case, today: Floats, legs: Legs, sampler: PriorSampler) -> None:
    found = case.range.affected
    knee = found.resting_hanging_knee_deg
    usual = knee is None or HANGING_KNEE_DEG[0] <= knee.value <= HANGING_KNEE_DEG[1]
    rest = sampler.value("own-rest-reading-error")
    readings = [
        ("resting angle, hanging", found.resting_hanging_deg if usual else None, a.REST, rest),
        ("resting angle, lying", found.resting_supine_deg, a.REST_TABLE, rest),
    ]
    if bool(np.any(legs.capacity[:, LIFTERS] > 0.0)):
        effort = sampler.value("own-active-reading-error")
        readings += [
            ("active lift, knee straight", found.active_dorsiflexion_knee_straight_deg, a.LIFT, effort),
            ("active lift, knee bent", found.active_dorsiflexion_knee_bent_deg, a.LIFT_BENT, effort),
        ]
    for name, reading, column, error in readings:
        if reading is not None:
            predicted = np.where(np.isnan(today[:, column]), 180.0, today[:, column])
            sampler.observe(name, reading.value, predicted, error, "deg")


def _torques(case: Case, forces: Forces, sampler: PriorSampler) -> None:
    """Torques, with a doubt that is a share of the torque and one that stays when the torque goes to nothing.

    Compared is the logarithm of the torque and a small constant: far above it the error is a share, far below it one of
    ``near_zero`` newton metres.
    """
    found = case.torque.affected
    cv, rows = measurement_cv(method_of(found))
    width, near_zero = float(np.hypot(cv, ARM_DOUBT)), _near_zero(case, sampler)
    given = (
        ("lifting torque", found.dorsiflexion_Nm, found.dorsiflexion_tested_at_ankle_deg, LIFTERS),
        ("push-down torque", found.plantarflexion_Nm, found.plantarflexion_tested_at_ankle_deg, ~LIFTERS),
    )
    for name, torque, at, members in given:
        now = np.abs(forces.moments[:, members, 0] * forces.capacity[:, members]).sum(axis=1)
        if _comparable(torque, at) and torque is not None and np.all(now > 0.0):
            sampler.note(*rows)
            constant = near_zero / width
            gap = np.log(torque.value + constant) - np.log(now + constant)
            sampler.log_likelihoods.append(LogLikelihood(name, -0.5 * (gap / width) ** 2, torque.value, now, "N.m"))


def _near_zero(case: Case, sampler: PriorSampler) -> float:
    """Standard error [N.m] of a torque near zero: of a hand-held dynamometer the printed smallest change that can be
    told, over the root of two and 1.96, at the foot's lever."""
    if method_of(case.torque.affected) == "fixed":
        return sampler.value(NEAR_ZERO_FIXED)
    mass = case.person.mass_kg.value if case.person.mass_kg else sampler.value("own-default-mass")
    force = sampler.value(HAND_HELD_CHANGE) * mass / (1.96 * 2.0**0.5)
    return float(force * sampler.value(FOOT_LEVER))


def _comparable(torque: Number | None, at: Number | None) -> bool:
    return torque is not None and torque.value > 0.0 and (at is None or abs(at.value) <= TEST_ANKLE_DEG)
