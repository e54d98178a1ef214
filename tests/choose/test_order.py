"""Heavier weights move the order the way a surgeon expects; a dominated choice never stands in front."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from sinewright.case import changed
from sinewright.choose.goals import GOALS, NO_BRACE, PUSH_OFF, SECOND, Met, stays_possible, weights_of
from sinewright.choose.order import (
    BELOW_FLOOR,
    CLEARING_STEP,
    DANGEROUS,
    DISTINGUISHABLE,
    NO_BETTER,
    NOT_OFFERED,
    SAFE,
    _against,
    _close,
    beats,
    dominated,
    order,
    prefers,
    reserve,
    tiers_of,
)
from sinewright.doubt.sample import Sample
from sinewright.reference import load

from ..virtual_people import blank, plan

LEGS, CHOICES = 6, 5
PARTS = st.integers(0, 10).map(lambda tenths: tenths / 10.0)
METS = arrays(np.float64, (LEGS, CHOICES, len(GOALS)), elements=PARTS)
WEIGHTS = st.lists(st.integers(0, 10), min_size=len(GOALS), max_size=len(GOALS))
GOAL = st.integers(0, len(GOALS) - 1)


def met_of(values: Any, raw: Any, lifts: Any = True) -> Met:
    weights, values = np.asarray(raw, dtype=float), np.asarray(values)
    shares = weights / weights.sum() if weights.any() else np.full(len(GOALS), 1 / len(GOALS))
    return Met(values, shares, np.broadcast_to(np.asarray(lifts), values.shape[:2]))


def alike(met: Met) -> tuple[int, ...]:
    """All choices in the leading tier."""
    return (SAFE,) * met.met.shape[1]


def places(met: Met) -> list[int]:
    return [order(met, alike(met)).places.index(i) for i in range(met.met.shape[1])]


@given(METS, WEIGHTS, st.lists(st.integers(SAFE, BELOW_FLOOR), min_size=CHOICES, max_size=CHOICES))
def test_a_tier_stands_before_the_next_whatever_the_weights(values: Any, raw: list[int], tiers: list[int]) -> None:
    placed = order(met_of(values, raw), tiers)
    along = [tiers[i] for i in placed.places]
    assert along == sorted(along)
    assert all(placed.rank[i] < placed.rank[k] for i in range(CHOICES) for k in range(CHOICES) if tiers[i] < tiers[k])


@given(METS, WEIGHTS)
def test_what_leads_is_too_close_to_call_from_the_best_or_better(values: Any, raw: list[int]) -> None:
    """Nothing is put before the best by utility unless the last of its group cannot be told from it."""
    met = met_of(values, raw)
    utility, mean = met.utility, met.utility.mean(axis=0)
    best, placed = int(np.argmax(mean)), order(met, alike(met))
    for ahead in placed.places[: placed.places.index(best)]:
        lower = [i for i in range(CHOICES) if mean[i] <= mean[ahead] + 1e-9]
        assert any(_close(_against(Sample.independent(LEGS), utility[:, best], utility[:, i])) for i in lower)
        assert met.clearing[ahead] >= met.clearing[best] - load().fit_value(CLEARING_STEP)


def test_of_two_too_close_to_call_the_one_that_clears_oftener_leads() -> None:
    values = np.full((10, 2, len(GOALS)), 0.5)
    values[:, 0, SECOND], values[:, 1, SECOND] = 1.0, 0.0
    values[:5, 1, SECOND] = 1.0
    values[:4, 0, NO_BRACE], values[4:, 0, NO_BRACE] = 1.0, 0.0
    values[:6, 1, NO_BRACE], values[6:, 1, NO_BRACE] = 1.0, 0.0
    met = met_of(values, [5] * len(GOALS))
    assert met.utility[:, 0].mean() > met.utility[:, 1].mean()
    assert order(met, alike(met)).places == (1, 0)


@given(arrays(np.float64, (1, CHOICES, len(GOALS)), elements=PARTS), GOAL)
def test_a_goal_that_alone_matters_alone_decides_where_there_is_no_doubt(values: Any, goal: int) -> None:
    met = met_of(np.repeat(values, 200, axis=0), [10 * (at == goal) for at in range(len(GOALS))])
    means = met.means[list(order(met, alike(met)).places), goal]
    assert np.all(np.diff(means) <= 1e-9)


@given(METS, WEIGHTS, st.integers(PUSH_OFF, len(GOALS) - 1))
def test_a_goal_without_weight_does_not_count(values: Any, raw: list[int], goal: int) -> None:
    raw[goal], raw[goal - 1] = 0, 5
    other = values.copy()
    other[:, :, goal] = 1.0 - other[:, :, goal]
    one, another = met_of(values, raw), met_of(other, raw)
    assert order(one, alike(one)) == order(another, alike(another))


@given(METS, WEIGHTS)
def test_below_the_floor_only_clearing_and_lift_count(values: Any, raw: list[int]) -> None:
    """A leg that neither clears nor comes to neutral gains nothing by any other goal."""
    best = values.copy()
    best[:, :, PUSH_OFF:] = 1.0
    assert met_of(best, raw, lifts=False).utility == pytest.approx(met_of(values, raw, lifts=False).utility)
    assert np.all(met_of(values, raw, lifts=False).utility <= met_of(values, raw).utility + 1e-9)


@given(METS, WEIGHTS)
def test_the_front_holds_all_that_is_not_dominated_and_nothing_else(values: Any, raw: list[int]) -> None:
    met = met_of(values, raw)
    front, weighed = order(met, alike(met)).pareto_front, np.flatnonzero(met.weights > 0.0)
    for one in range(CHOICES):
        beaten = any(
            all(met.means[other, g] >= met.means[one, g] - 1e-9 for g in weighed)
            and any(met.means[other, g] > met.means[one, g] + 1e-9 for g in weighed)
            for other in range(CHOICES)
        )
        assert front[one] is not beaten
    assert any(front)


@given(METS, WEIGHTS)
def test_a_dominated_choice_never_stands_before_the_one_that_dominates_it(values: Any, raw: list[int]) -> None:
    met = met_of(values, raw)
    means, weighed = met.means, met.weights > 0.0
    if not weighed[NO_BRACE]:
        return  # choices too close to call are ordered by clearing, whatever it weighs
    for one in range(CHOICES):
        for other in range(CHOICES):
            better = means[one, weighed] >= means[other, weighed]
            if better.all() and np.any(means[one, weighed] > means[other, weighed] + 1e-6):
                assert places(met)[one] < places(met)[other]
                assert not order(met, alike(met)).pareto_front[other]


def test_dominated_by_hand() -> None:
    means = np.array([[0.9, 0.1], [0.5, 0.5], [0.5, 0.4], [0.9, 0.1]])
    assert dominated(means, np.array([0.5, 0.5])).tolist() == [False, False, True, False]
    assert dominated(means, np.array([1.0, 0.0])).tolist() == [False, True, True, False]


@given(METS, WEIGHTS)
def test_a_rank_counts_the_choices_that_four_fifths_of_the_legs_prefer(values: Any, raw: list[int]) -> None:
    met = met_of(values, raw)
    placed, utility = order(met, alike(met)), met.utility
    for one in range(CHOICES):
        ahead = [
            other
            for other in range(CHOICES)
            if prefers(utility, other, one) >= load().fit_value(DISTINGUISHABLE) and other != one
        ]
        assert placed.rank[one] == 1 + len(ahead)
        assert placed.first_better[one] == prefers(utility, placed.places[0], one)
    assert placed.first_better[placed.places[0]] == 0.5


def test_choices_that_overlap_share_a_rank_and_those_that_do_not_are_told_apart() -> None:
    values = np.full((10, 3, len(GOALS)), 0.5)
    values[:, 0] = 0.9
    values[:7, 1], values[7:, 1] = 0.8, 1.0  # the first is better in 7 of 10
    met = met_of(values, [5] * len(GOALS))
    placed = order(met, alike(met))
    assert placed.places == (0, 1, 2)
    assert placed.rank == (1, 1, 3)
    assert placed.first_better == pytest.approx((0.5, 0.7, 1.0))


def test_a_leg_without_a_balance_is_left_out_of_the_means_and_of_the_comparison() -> None:
    values = np.full((4, 2, len(GOALS)), 0.6)
    values[:, 1] = 0.5
    values[0, 1] = np.nan
    met = met_of(values, [5] * len(GOALS))
    assert met.means[1] == pytest.approx(np.full(len(GOALS), 0.5))
    assert prefers(met.utility, 0, 1) == 1.0
    assert prefers(np.full((3, 2), np.nan), 0, 1) == 0.5


HUNDRED, TEN = Sample.independent(100), Sample(np.repeat(np.arange(10), 10), 10, 10.0)
UNDER = plan("tibialis_posterior.membrane_under.lateral_cuneiform_dorsum")
ROUND = plan("tibialis_posterior.round_tibia.navicular_dorsum")
PERONEAL = plan("peroneus_longus.front_of_fibula_over.medial_cuneiform_dorsum")


def test_the_reserve_needs_nothing_that_is_spent_and_lifts() -> None:
    plans, lifts = [UNDER, ROUND, PERONEAL], (SAFE, SAFE, SAFE)
    assert reserve(0, plans, (0, 1, 2), lifts) == 2  # the other use of tibialis posterior is gone with it
    assert reserve(2, plans, (0, 1, 2), lifts) == 0
    assert reserve(2, plans, (1, 0, 2), lifts) == 1
    assert reserve(0, plans, (0, 1, 2), (SAFE, SAFE, BELOW_FLOOR)) is None
    assert reserve(0, plans[:2], (0, 1), lifts[:2]) is None


def legs_of(*clears: float) -> Met:
    """Ten legs; of each choice as many clear as is said."""
    values = np.zeros((10, len(clears), len(GOALS)))
    for i, count in enumerate(clears):
        values[: int(count), i, NO_BRACE] = 1.0
    return met_of(values, [5] * len(GOALS), values[:, :, NO_BRACE] > 0.0)


def test_tiers_by_hand() -> None:
    met, today, ten = legs_of(9, 9, 9, 2, 1), np.zeros(10), Sample.independent(10)
    costs = ("nothing", "first place", "offer", "nothing", "nothing")
    assert tiers_of(met, costs, today, ten) == (SAFE, DANGEROUS, NOT_OFFERED, BELOW_FLOOR, BELOW_FLOOR)
    clears_today = np.array([1.0] * 8 + [0.0] * 2)
    assert tiers_of(met, costs, clears_today, ten)[0] == NO_BETTER  # 9 against 8: not beyond its doubt


def test_a_difference_must_lie_beyond_its_own_doubt() -> None:
    one, other = np.array([1.0] * 60 + [0.0] * 40), np.array([1.0] * 45 + [0.0] * 55)
    assert beats(one, other, HUNDRED)
    assert not beats(one, other, TEN)  # the same legs, but copies of ten
    assert not beats(other, one, HUNDRED)
    assert not beats(one, one, HUNDRED)


def test_what_stays_possible_is_mutual_and_nothing_follows_itself() -> None:
    for one in (UNDER, ROUND, PERONEAL):
        assert not stays_possible(one, one)
        for other in (UNDER, ROUND, PERONEAL):
            assert stays_possible(one, other) == stays_possible(other, one)


def test_weights_are_the_patients_and_what_is_not_said_counts_five() -> None:
    case = changed(blank(), {"goals.lift": 10.0, "goals.no_brace": 0.0})
    assert weights_of(case) == pytest.approx(np.array([0, 10, 5, 5, 5, 5, 5]) / 35.0)
    nothing = changed(blank(), {f"goals.{name}": 0.0 for name in GOALS})
    assert weights_of(nothing) == pytest.approx(np.full(len(GOALS), 1 / len(GOALS)))
