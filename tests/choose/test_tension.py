"""The rule for the set stretch: the tightest that keeps 95 in 100 of the best moment, whatever else is weighed."""

from __future__ import annotations

import numpy as np
import pytest

from sinewright.choose.tension import KEPT, STRETCHES_MM, choose_stretch, place
from sinewright.reference import load
from sinewright.solve.answer import MOMENT, answer
from sinewright.transfer.catalogue import catalogue
from sinewright.transfer.plans import lay_plans
from sinewright.units import mm

from ..virtual_people import flawless, people, plan

STEM = "deep_branch_strong_peroneals"
SOME = [plan(moved) for moved in catalogue()[::6]]


def test_the_tightest_that_keeps_enough() -> None:
    assert place(np.array([1.0, 5.0, 10.0, 9.8, 9.5, 9.4, 2.0])) == 4
    assert place(np.array([10.0, 9.6, 3.0])) == 1
    assert place(np.array([1.0, 2.0, 3.0])) == 2


@pytest.mark.parametrize("moments", [[0.0, 0.0, 0.0], [-3.0, -2.0, -1.0]])
def test_a_donor_that_does_not_lift_is_left_at_its_own_length(moments: list[float]) -> None:
    assert STRETCHES_MM[place(np.array(moments))] == 0.0


def test_the_steps_hold_zero_and_go_from_slack_to_tight() -> None:
    assert 0.0 in STRETCHES_MM and list(STRETCHES_MM) == sorted(STRETCHES_MM)


def test_every_operation_gets_the_stretch_of_the_rule() -> None:
    legs = people(STEM, 128)
    for sewn in choose_stretch(legs, SOME, elastic=True):
        tries = [plan(sewn.moved, s) for s in STRETCHES_MM]
        moment = np.median(answer(legs, lay_plans(tries), moment_only=True)[0][:, :, MOMENT], axis=0)
        at = STRETCHES_MM.index(round(mm(sewn.stretch), 9))
        assert moment[at] >= load().fit_value(KEPT) * moment.max()
        assert np.all(moment[at + 1 :] < load().fit_value(KEPT) * moment.max())


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
    bone = [plan("tibialis_posterior.membrane_under.lateral_cuneiform_dorsum")]
    stretches = [mm(choose_stretch(legs, bone, elastic=True)[0].stretch) for legs in (sure, losing)]
    assert stretches[1] - stretches[0] == pytest.approx(6.0, abs=1e-9)
