"""Heavier weights move the order the way a surgeon expects; a dominated choice never stands in front."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from sinewright.case import changed
from sinewright.choose.goals import GOALS, Met, stays_possible, weights_of
from sinewright.choose.order import DISTINGUISHABLE, dominated, order, prefers, reserve
from sinewright.reference import load

from ..virtual_people import blank, plan

LEGS, CHOICES = 6, 5
PARTS = st.integers(0, 10).map(lambda tenths: tenths / 10.0)
METS = arrays(np.float64, (LEGS, CHOICES, len(GOALS)), elements=PARTS)
WEIGHTS = st.lists(st.integers(0, 10), min_size=len(GOALS), max_size=len(GOALS))
GOAL = st.integers(0, len(GOALS) - 1)


def met_of(values: Any, raw: Any) -> Met:
    weights = np.asarray(raw, dtype=float)
    return Met(np.asarray(values), weights / weights.sum() if weights.any() else np.full(len(GOALS), 1 / len(GOALS)))


def places(met: Met) -> list[int]:
    return [order(met).places.index(i) for i in range(met.met.shape[1])]


@given(METS, WEIGHTS, GOAL, st.integers(1, 10))
def test_a_heavier_goal_never_lets_a_choice_that_meets_it_better_fall_behind(
    values: Any, raw: list[int], goal: int, more: int
) -> None:
    """If A stands before B and meets the goal at least as well, A stands before B under a heavier goal too."""
    before = met_of(values, raw)
    heavier = met_of(values, [weight + more * (at == goal) for at, weight in enumerate(raw)])
    worth_before, worth_after, means = before.utility.mean(axis=0), heavier.utility.mean(axis=0), before.means
    for one in range(CHOICES):
        for other in range(CHOICES):
            ahead = worth_before[one] > worth_before[other] + 1e-9 and any(raw)
            if ahead and means[one, goal] >= means[other, goal]:
                assert worth_after[one] > worth_after[other] - 1e-9
                assert places(heavier)[one] < places(heavier)[other] or worth_after[one] < worth_after[other] + 1e-9


@given(METS, GOAL)
def test_a_goal_that_alone_matters_alone_decides(values: Any, goal: int) -> None:
    met = met_of(values, [10 * (at == goal) for at in range(len(GOALS))])
    means = met.means[list(order(met).places), goal]
    assert np.all(np.diff(means) <= 1e-9)


@given(METS, WEIGHTS, GOAL)
def test_a_goal_without_weight_does_not_count(values: Any, raw: list[int], goal: int) -> None:
    raw[goal], raw[goal - 1] = 0, 5
    other = values.copy()
    other[:, :, goal] = 1.0 - other[:, :, goal]
    assert order(met_of(values, raw)) == order(met_of(other, raw))


@given(METS, WEIGHTS)
def test_the_front_holds_all_that_is_not_dominated_and_nothing_else(values: Any, raw: list[int]) -> None:
    met = met_of(values, raw)
    front, weighed = order(met).pareto_front, np.flatnonzero(met.weights > 0.0)
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
    for one in range(CHOICES):
        for other in range(CHOICES):
            better = means[one, weighed] >= means[other, weighed]
            if better.all() and np.any(means[one, weighed] > means[other, weighed] + 1e-6):
                assert places(met)[one] < places(met)[other]
                assert not order(met).pareto_front[other]


def test_dominated_by_hand() -> None:
    means = np.array([[0.9, 0.1], [0.5, 0.5], [0.5, 0.4], [0.9, 0.1]])
    assert dominated(means, np.array([0.5, 0.5])).tolist() == [False, False, True, False]
    assert dominated(means, np.array([1.0, 0.0])).tolist() == [False, True, True, False]


@given(METS, WEIGHTS)
def test_a_rank_counts_the_choices_that_four_fifths_of_the_legs_prefer(values: Any, raw: list[int]) -> None:
    met = met_of(values, raw)
    placed, utility = order(met), met.utility
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
    placed = order(met_of(values, [5] * len(GOALS)))
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


UNDER = plan("tibialis_posterior.membrane_under.lateral_cuneiform_dorsum")
ROUND = plan("tibialis_posterior.round_tibia.navicular_dorsum")
PERONEAL = plan("peroneus_longus.front_of_fibula_over.medial_cuneiform_dorsum")


def test_the_reserve_needs_nothing_that_is_spent() -> None:
    plans = [UNDER, ROUND, PERONEAL]
    values = np.stack([np.full((4, len(GOALS)), x) for x in (0.9, 0.8, 0.3)], axis=1)
    met = met_of(values, [5] * len(GOALS))
    assert reserve(0, plans, met, [True] * 3) == 2  # the other use of tibialis posterior is gone with it
    assert reserve(2, plans, met, [True] * 3) == 0
    assert reserve(2, plans, met, [False, True, True]) == 1
    assert reserve(0, plans[:2], met_of(values[:, :2], [5] * len(GOALS)), [True] * 2) is None


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
