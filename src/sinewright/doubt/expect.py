"""What each virtual leg would have shown at the examination, against what was found.

Resting and active angles depend on the whole leg at once, so they give weight to whole draws. Sizes, passive limits,
torques and single strengths are met before, one by one.
"""

import numpy as np

from sinewright.arrays import Floats
from sinewright.case import Case
from sinewright.doubt.prior import PriorSampler
from sinewright.doubt.torques import LIFTERS
from sinewright.solve import answer as a
from sinewright.solve.leg import Legs
from sinewright.transfer.plans import SewnOperation, build_plans
from sinewright.units import deg

HANGING_KNEE_DEG = (60.0, 120.0)  # a hanging angle read outside this is not compared with the model's right angle


def expect(case: Case, legs: Legs, sampler: PriorSampler) -> None:
    """Take down how well each draw agrees with the resting and active angles of the affected leg."""
    _angles(case, angles_today(legs), legs, sampler)


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
