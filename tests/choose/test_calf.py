"""The calf first: what lengthening does to the leading choices, and that it is not asked of a supple calf."""

from __future__ import annotations

from functools import cache

from sinewright.case import changed
from sinewright.choose.calf import SCREENED
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
    few = changed(example("deep_branch_strong_peroneals"), {"plan.only_donors": ["tibialis_posterior"]})
    assert weigh(few, DRAWS, 4).calf == ()


def test_what_leads_under_any_procedure_stands_under_every_one() -> None:
    found = stiff("none")
    first = {o.standing.place: o.choice.id for o in found.outcomes if o.standing}
    assert tuple(trial.procedure for trial in found.calf) == CALF_PROCEDURES
    assert found.calf[0].leaders == tuple(first[k] for k in (1, 2, 3) if k in first)[: len(found.calf[0].leaders)]
    shown = list(dict.fromkeys(id for trial in found.calf for id in trial.leaders))
    for trial in found.calf:
        assert [one.choice.id for one in trial.outcomes] == shown
        assert trial.tried > 20 and len(trial.leaders) <= 3 and trial.screened == SCREENED
    assert bool(found.calf[0].leaders) is (1 in first), "where not operating leads, no operation does"
    assert all(trial.leaders for trial in found.calf[1:])


def test_the_leader_after_a_procedure_is_the_one_of_a_plan_with_it() -> None:
    """On as many legs as the screen has, screen and ladder are the same sum."""
    case = example("stiff_calf")
    screened = weigh(case, SCREENED, 4).calf[1].leaders
    planned = weigh(changed(case, {"plan.calf_procedure": "gastrocnemius recession"}), SCREENED, 4)
    places = {o.standing.place: o.choice.id for o in planned.outcomes if o.standing}
    assert screened == tuple(places[k] for k in (1, 2, 3))[: len(screened)]


def test_a_foot_fixed_in_equinus_is_offered_nothing_until_it_is_lengthened() -> None:
    straight, bent = "range.affected.dorsiflexion_knee_straight_deg", "range.affected.dorsiflexion_knee_bent_deg"
    left = {straight: -14, bent: -7, "plan.calf_gain_deg": None, "plan.calf_procedure": "none"}
    fixed = changed(example("stiff_calf"), left)
    none, _, achilles = weigh(fixed, SCREENED, 4).calf
    assert none.leaders == () and none.tried == 0
    assert achilles.leaders
    assert all(one.status == "set aside" and not one.quantities for one in none.outcomes)
    assert all(one.quantities for one in achilles.outcomes)


def test_how_often_it_clears_rises_when_the_calf_lets_go() -> None:
    none, _, achilles = (trial.outcomes[0].chances["clears_swing"] for trial in stiff().calf)
    assert none.draws == achilles.draws == SCREENED
    assert achilles.share > none.share


def test_a_calf_left_as_it_is_answers_as_the_ladder_does() -> None:
    ladder = {o.choice.id: o for o in stiff("none").outcomes}
    for one in stiff("none").calf[0].outcomes:
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
