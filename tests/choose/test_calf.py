"""The calf first: what lengthening does to the leading choices, and that it is not asked of a supple calf."""

from __future__ import annotations

from functools import cache

from sinewright.case import changed
from sinewright.plan import weigh
from sinewright.results import CALF_PROCEDURES, QUANTITIES, Weighing

from ..virtual_people import example

DRAWS = 150


@cache
def stiff(procedure: str | None = None) -> Weighing:
    return weigh(changed(example("stiff_calf"), {"plan.calf_procedure": procedure}), DRAWS, 4)


def lift(trial: int) -> float:
    """Middle lift [deg] of the first choice in a trial."""
    return stiff().calf[trial].outcomes[0].quantities["lift_deg"].p50


def test_a_supple_calf_is_not_tried() -> None:
    assert weigh(example("deep_branch_strong_peroneals"), DRAWS, 4).calf == ()


def test_every_procedure_is_tried_on_the_same_choices_in_their_order() -> None:
    found, first = stiff(), {o.standing.place: o.choice.id for o in stiff().outcomes if o.standing}
    assert tuple(trial.procedure for trial in found.calf) == CALF_PROCEDURES
    for trial in found.calf:
        assert [one.choice.id for one in trial.outcomes] == [first[1], first[2], first[3]]


def test_a_calf_left_as_it_is_answers_as_the_ladder_does() -> None:
    ladder = {o.choice.id: o for o in stiff().outcomes}
    for one in stiff().calf[0].outcomes:
        assert one.choice == ladder[one.choice.id].choice
        for name in set(QUANTITIES) & set(one.quantities):
            assert one.quantities[name] == ladder[one.choice.id].quantities[name]


def test_the_trial_of_a_procedure_is_what_a_plan_with_it_would_say() -> None:
    planned = {o.choice.id: o for o in stiff("gastrocnemius recession").outcomes}
    for one in stiff().calf[1].outcomes:
        assert one.quantities["lift_deg"] == planned[one.choice.id].quantities["lift_deg"]


def test_a_short_gastrocnemius_lets_go_with_the_knee_straight() -> None:
    """A recession takes off what the straight knee adds: the two limits become one."""
    before, after = (stiff().calf[i].outcomes[0].quantities for i in (0, 1))
    assert lift(1) > lift(0) + 3.0
    gap_before = before["lift_knee_bent_deg"].p50 - before["lift_deg"].p50
    gap_after = after["lift_knee_bent_deg"].p50 - after["lift_deg"].p50
    assert abs(gap_after) < 0.5 * abs(gap_before)
