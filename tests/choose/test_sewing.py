"""The posture of sewing: never where this ankle does not go, and worth no more than the stretch that goes with it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from sinewright.arrays import Floats
from sinewright.case import changed
from sinewright.choose.rules import rules_of_patient
from sinewright.choose.sewing import ANKLE, SHORT_OF_LIMIT, fixing_posture, highest_ankle
from sinewright.choose.tension import STRETCHES_MM, place
from sinewright.doubt.stiffness import LENGTHENING
from sinewright.doubt.virtual import draw
from sinewright.reference import load
from sinewright.solve.answer import LIFT, MOMENT, answer
from sinewright.solve.leg import Legs
from sinewright.solve.passive_torque import UPPER, UPPER_KNEE
from sinewright.transfer.catalogue import catalogue
from sinewright.transfer.plans import SewnOperation, build_plans
from sinewright.units import deg, m, rad

from ..virtual_people import example, people, plan

STRAIGHT, BENT = "range.affected.dorsiflexion_knee_straight_deg", "range.affected.dorsiflexion_knee_bent_deg"
AT = "range.affected.knee_bent_deg"


def test_a_supple_ankle_is_sewn_as_usual_and_a_wish_is_kept() -> None:
    supple = changed(example("stiff_calf"), {STRAIGHT: 14, BENT: 20})
    assert fixing_posture(supple).ankle_deg == load().fit_value(ANKLE)
    wished = changed(example("stiff_calf"), {"plan.fixing_ankle_deg": 10, "plan.fixing_knee_deg": 60})
    posture = fixing_posture(wished)
    assert (posture.ankle_deg, posture.knee_deg) == (10, 60)


def test_without_an_examined_range_it_is_sewn_as_usual() -> None:
    unknown = changed(example("stiff_calf"), {STRAIGHT: None, BENT: None})
    assert highest_ankle(unknown, 30) is None
    assert fixing_posture(unknown).ankle_deg == load().fit_value(ANKLE)


@pytest.mark.parametrize(
    ("knee", "procedure", "gain", "limit"),
    [
        (0, "none", None, -8),
        (45, "none", None, -1),
        (90, "none", None, 6),
        (120, "none", None, 6),
        (0, None, None, 6),  # the examination asks for a recession, so it is done
        (0, "gastrocnemius recession", 20, 6),  # no further than the bent knee's limit
        (30, "gastrocnemius recession", None, 6),
        (0, "gastrocnemius recession", 9, 1),
        (90, "gastrocnemius recession", 9, 6),
        (0, "achilles lengthening", 12, 4),
    ],
)
def test_the_limit_by_hand(knee: float, procedure: str | None, gain: float | None, limit: float) -> None:
    case = changed(example("stiff_calf"), {"plan.calf_procedure": procedure, "plan.calf_gain_deg": gain})
    assert highest_ankle(case, knee) == pytest.approx(limit)


def test_a_short_calf_is_sewn_lower_until_it_is_lengthened() -> None:
    case, short_of = changed(example("stiff_calf"), {"plan.calf_procedure": "none"}), load().fit_value(SHORT_OF_LIMIT)
    assert fixing_posture(case).ankle_deg <= -8 + 14 / 3 - short_of
    longer = changed(case, {"plan.calf_procedure": "achilles lengthening"})
    assert fixing_posture(longer).ankle_deg <= -8 + 14 / 3 + load().fit_value(LENGTHENING) - short_of
    assert fixing_posture(longer).ankle_deg > 0


@pytest.mark.parametrize("procedure", [None, "gastrocnemius recession", "achilles lengthening"])
def test_the_middle_virtual_leg_lets_the_foot_go_where_it_is_sewn(procedure: str | None) -> None:
    """The limit read from the examination is that of the legs, which hold a push of their own, within its error."""
    case = changed(example("stiff_calf"), {"plan.calf_procedure": procedure})
    passive, posture = draw(case, 400, 2).legs.passive, fixing_posture(case)
    knee = rad(posture.knee_deg)
    legs = deg(np.median(passive[:, UPPER] + passive[:, UPPER_KNEE] * knee))
    limit = highest_ankle(case, posture.knee_deg)
    assert limit is not None and abs(legs - limit) < 2.5
    assert legs >= posture.ankle_deg


def test_the_rule_speaks_of_a_wish_out_of_reach_and_of_a_lowered_usual() -> None:
    def told(changes: dict[str, object]) -> list[str]:
        left = changed(example("stiff_calf"), {"plan.calf_procedure": "none"} | changes)
        return [r.text for r in rules_of_patient(left) if r.code == "fixing_posture"]

    (lowered,) = told({})
    assert "6° down instead of the usual 8° up" in lowered
    (out,) = told({"plan.fixing_ankle_deg": 10})
    assert "ankle 10° up" in out and "about 3° down" in out and "lengthen" in out
    assert told({"plan.fixing_ankle_deg": -4}) == []
    assert told({STRAIGHT: 14, BENT: 20}) == []


def test_posture_and_stretch_set_one_length() -> None:
    """Over a quarter of the operations, ankles from 10 degrees down to 20 up, each with the stretch that keeps the
    lift, differ in the middle lift by half a degree (middle operation); what a hand can hold is left out of it."""
    legs, light = people("deep_branch_strong_peroneals", 128), np.zeros(len(STRETCHES_MM))
    operations = [plan(moved) for moved in catalogue()[::4]]
    lifts = []
    for ankle in (-10.0, 8.0, 20.0):
        tries = [replace(one, ankle=rad(ankle), stretch=m(s)) for one in operations for s in STRETCHES_MM]
        moment = np.median(answer(legs, build_plans(tries), moment_only=True)[0][:, :, MOMENT], axis=0)
        picked = [place(row, light) for row in moment.reshape(len(operations), -1)]
        lifts.append(_middle_lift(legs, [tries[i * len(STRETCHES_MM) + at] for i, at in enumerate(picked)]))
    gap = np.ptp(lifts, axis=0)
    assert np.median(gap) < 0.5 and gap.max() < 2.0


def _middle_lift(legs: Legs, sewn: list[SewnOperation]) -> Floats:
    answers, failed = answer(legs, build_plans(sewn))
    return np.array([np.median(deg(answers[failed[:, i] == 0, i, LIFT])) for i in range(len(sewn))])
