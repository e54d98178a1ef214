"""The rule for the set stretch: the tightest that keeps 95 in 100 of the best moment, whatever else is weighed."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from sinewright.case import changed
from sinewright.choose.sewing import as_sewn, sewn_for
from sinewright.choose.tension import KEPT, MOST_PULL, STRETCHES_MM, choose_stretch, place
from sinewright.doubt.virtual import draw
from sinewright.protect.tension import planned_tension
from sinewright.reference import load
from sinewright.solve.answer import MOMENT, PULL, answer
from sinewright.transfer.catalogue import catalogue
from sinewright.transfer.plans import build_plans
from sinewright.units import m, mm

from ..virtual_people import example, flawless, people, plan

ROUND = "tibialis_posterior.round_tibia.navicular_dorsum"
STEM = "deep_branch_strong_peroneals"
SOME = [plan(moved) for moved in catalogue()[::6]]


LIGHT = np.zeros(len(STRETCHES_MM))


def test_the_tightest_that_keeps_enough() -> None:
    assert place(np.array([1.0, 5.0, 10.0, 9.8, 9.5, 9.4, 2.0]), LIGHT) == 4
    assert place(np.array([10.0, 9.6, 3.0]), LIGHT) == 1
    assert place(np.array([1.0, 2.0, 3.0]), LIGHT) == 2


def test_no_tighter_than_a_hand_can_hold() -> None:
    moment, most = np.array([1.0, 5.0, 9.0, 10.0, 10.0]), load().fit_value(MOST_PULL)
    assert place(moment, np.array([0.0, 10.0, most, most + 1.0, 2.0 * most])) == 2
    assert place(moment, np.full(5, most + 1.0)) == 0
    assert place(moment, np.full(5, most)) == 4


@pytest.mark.parametrize("moments", [[0.0, 0.0, 0.0], [-3.0, -2.0, -1.0]])
def test_a_donor_that_does_not_lift_is_left_at_its_own_length(moments: list[float]) -> None:
    assert STRETCHES_MM[place(np.array(moments), LIGHT)] == 0.0


def test_the_steps_hold_zero_and_go_from_slack_to_tight() -> None:
    assert 0.0 in STRETCHES_MM and list(STRETCHES_MM) == sorted(STRETCHES_MM)


def test_every_operation_gets_the_stretch_of_the_rule() -> None:
    legs = people(STEM, 128)
    for sewn in choose_stretch(legs, SOME, elastic=True):
        tries = [plan(sewn.moved, s) for s in STRETCHES_MM]
        out = answer(legs, build_plans(tries), moment_only=True)[0]
        moment, pull = (np.median(out[:, :, i], axis=0) for i in (MOMENT, PULL))
        at, most = STRETCHES_MM.index(round(mm(sewn.stretch), 9)), load().fit_value(MOST_PULL)
        assert np.all(np.diff(pull) >= 0.0) and pull[at] <= most
        kept = moment >= load().fit_value(KEPT) * moment.max()
        assert not np.any(kept[at + 1 :] & (pull[at + 1 :] <= most))
        assert kept[at] or pull[at + 1] > most


def test_the_pull_of_the_rule_is_the_tension_that_is_printed() -> None:
    """What the ruler prints after early relaxation comes from the room that protects the repair."""
    case = example("stiff_calf")
    virtual = draw(case, 128, 3)
    moved = next(each for each in catalogue() if each.id == ROUND)
    (sewn,) = sewn_for(case, virtual.legs, [moved])
    printed = planned_tension(case, sewn, virtual.legs, True, 3).after_relaxation_N
    pull = answer(virtual.legs, build_plans([sewn]), moment_only=True)[0][:, 0, PULL]
    assert np.median(pull) == pytest.approx(printed.p50, rel=0.1, abs=3.0)


def test_a_short_calf_is_not_out_pulled() -> None:
    """Sewn low against a short calf the rule stops at what a hand can hold; once lengthened it does not have to."""

    def picked(procedure: str | None) -> tuple[int, int]:
        case = changed(example("stiff_calf"), {"plan.calf_procedure": procedure})
        one = as_sewn(case, next(each for each in catalogue() if each.id == ROUND))
        tries = [replace(one, stretch=m(s)) for s in STRETCHES_MM]
        out = answer(draw(case, 128, 3).legs, build_plans(tries), moment_only=True)[0]
        moment, pull = (np.median(out[:, :, i], axis=0) for i in (MOMENT, PULL))
        return place(moment, pull), place(moment, LIGHT)

    short, lengthened = picked("none"), picked("achilles lengthening")
    assert short[0] < short[1] and lengthened[0] == lengthened[1]


def test_posture_and_operation_are_kept_and_company_does_not_matter() -> None:
    legs = people(STEM, 128)
    together = choose_stretch(legs, SOME, elastic=True)
    assert [(s.moved, s.ankle, s.knee) for s in together] == [(s.moved, s.ankle, s.knee) for s in SOME]
    assert choose_stretch(legs, SOME[2:3], elastic=True) == together[2:3]
    assert choose_stretch(legs, [], elastic=True) == []


def test_settling_is_made_up_for() -> None:
    """Losing 6 mm of a bony fixation afterwards asks for 6 mm more while sewing."""
    sure, losing = (flawless(people(STEM, 128)) for _ in range(2))
    losing.losses[:, 3] = 0.006
    bone = [plan("flexor_hallucis_longus.membrane_under.lateral_cuneiform_dorsum")]
    stretches = [mm(choose_stretch(legs, bone, elastic=True)[0].stretch) for legs in (sure, losing)]
    assert stretches[1] - stretches[0] == pytest.approx(6.0, abs=1e-9)
