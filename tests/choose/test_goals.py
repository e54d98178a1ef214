"""Each goal is read on its printed scale, from 0 to 1, and more of a good thing never counts less."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sinewright.choose.goals import GOALS, goals_met, scales, second_chance, small
from sinewright.solve import answer as a
from sinewright.transfer.plans import SewnOperation
from sinewright.units import m, rad

from ..virtual_people import plan

ONE = plan("tibialis_posterior.round_tibia.navicular_dorsum")
OTHER = plan("peroneus_longus.front_of_fibula_over.medial_cuneiform_dorsum")
EQUAL = np.full(len(GOALS), 1 / len(GOALS))
USUAL = {a.LIFT: rad(3.0), a.PUSH: rad(-25.0), a.SUBTALAR_IN_LIFT: rad(3.0), a.PULL: 400.0, a.REACH: m(10.0)}


def goals(changes: dict[int, float], failed: int = 0, clears: bool = True, push: float = 0.9) -> dict[str, float]:
    out = np.zeros((1, 1, a.ANSWERS))
    for column, value in {**USUAL, **changes}.items():
        out[0, 0, column] = value
    not_solved, kept = np.array([[failed]], dtype=np.int32), np.array([[push]])
    found = goals_met(out, not_solved, [ONE], weights=EQUAL, clears=np.array([[clears]]), push_kept=kept)
    return dict(zip(GOALS, found.met[0, 0].tolist(), strict=True))


def utility(changes: dict[int, float], clears: bool) -> float:
    out = np.zeros((1, 1, a.ANSWERS))
    for column, value in {**USUAL, **changes}.items():
        out[0, 0, column] = value
    solved, kept = np.zeros((1, 1), dtype=np.int32), np.ones((1, 1))
    met = goals_met(out, solved, [ONE], weights=EQUAL, clears=np.array([[clears]]), push_kept=kept)
    return float(met.utility[0, 0])


def test_every_goal_has_its_scale_in_words() -> None:
    assert set(scales()) == set(GOALS)


@pytest.mark.parametrize(
    ("column", "value", "goal", "met"),
    [
        (a.LIFT, rad(-10.0), "lift", 0.0),
        (a.LIFT, 0.0, "lift", 0.5),
        (a.LIFT, rad(12.0), "lift", 1.0),
        (a.SUBTALAR_IN_LIFT, rad(-7.5), "straight_hindfoot", 0.5),
        (a.SUBTALAR_IN_LIFT, rad(20.0), "straight_hindfoot", 0.0),
        (a.PULL, 300.0, "safe_junction", 1.0),
        (a.PULL, 600.0, "safe_junction", 0.5),
        (a.PULL, 1200.0, "safe_junction", 0.0),
    ],
)
def test_scales_by_hand(column: int, value: float, goal: str, met: float) -> None:
    assert goals({column: value})[goal] == pytest.approx(met, abs=1e-9)


def test_push_off_is_work_and_half_of_it_is_the_end_of_the_scale() -> None:
    assert [goals({}, push=kept)["push_off"] for kept in (0.4, 0.5, 0.75, 1.0)] == pytest.approx([0.0, 0.0, 0.5, 1.0])


def test_a_foot_that_neither_clears_nor_comes_to_neutral_gains_nothing_by_other_goals() -> None:
    assert utility({a.LIFT: rad(-4.0)}, clears=False) == pytest.approx(0.3 / len(GOALS))  # the lift's own part alone
    assert utility({a.LIFT: rad(1.0)}, clears=False) > 0.5
    assert utility({a.LIFT: rad(-4.0)}, clears=True) > 0.5


def test_a_brace_is_left_off_where_the_sole_clears_in_swing_whatever_the_full_lift() -> None:
    assert goals({a.LIFT: rad(-3.0)})["no_brace"] == 1.0
    assert goals({a.LIFT: rad(12.0)}, clears=False)["no_brace"] == 0.0


def test_a_tendon_that_does_not_reach_lifts_nothing() -> None:
    short = goals({a.LIFT: rad(12.0), a.REACH: m(-1.0)})
    assert (short["no_brace"], short["lift"]) == (0.0, 0.0)
    assert goals({a.LIFT: rad(12.0)})["lift"] == 1.0


def test_a_leg_without_a_balance_meets_nothing_and_is_not_counted_as_zero() -> None:
    assert all(np.isnan(value) for value in goals({}, failed=4).values())


@given(st.floats(-60, 40), st.floats(0, 10))
def test_more_lift_never_meets_less_and_all_stays_within_0_and_1(lift_deg: float, more: float) -> None:
    low, high = goals({a.LIFT: rad(lift_deg)}), goals({a.LIFT: rad(lift_deg + more)})
    assert all(0.0 <= value <= 1.0 for value in low.values())
    assert high["lift"] >= low["lift"]


def test_a_second_chance_is_the_best_of_what_needs_nothing_spent() -> None:
    assert second_chance(np.array([0.9, 0.4]), [ONE, OTHER]).tolist() == [0.4, 0.9]
    same_donor = plan("tibialis_posterior.membrane_over.lateral_cuneiform_dorsum")
    assert second_chance(np.array([0.9, 0.4]), [ONE, same_donor]).tolist() == [0.0, 0.0]


def test_each_further_step_makes_an_operation_larger() -> None:
    tendon = plan("peroneus_longus.front_of_fibula_under.anterior_tibial_above")
    window_and_tunnel = plan("tibialis_posterior.membrane_under.lateral_cuneiform_dorsum")
    assert small(SewnOperation(None, 0.0, 0.0, 0.0, 0.0)) == 1.0
    assert small(tendon) > small(OTHER) > small(window_and_tunnel)
