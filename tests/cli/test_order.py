"""Order and finding come from worth under the weights and from how many virtual legs agree."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import pytest

from sinewright.results import Outcome, in_order
from sinewright.wording.standing import finding

from .invented_weighing import ASIDE, DOUBT, FIRST, SECOND, THIRD, WEIGHING, around, choice, standing


def weighed(*first_better: float, lift: float = 4.0) -> list[Outcome]:
    lifts = {"lift_deg": around(lift, 1, 2)}
    return [
        Outcome(choice(str(at), f"choice {at}", ""), "workable", "", lifts, standing=standing(at, 0.5, better))
        for at, better in enumerate(first_better, start=1)
    ]


def test_the_order_is_the_place_under_the_weights_and_what_is_set_aside_comes_last() -> None:
    assert in_order(WEIGHING.outcomes) == [FIRST, SECOND, DOUBT, THIRD, ASIDE]
    assert in_order(WEIGHING.outcomes[::-1]) == in_order(WEIGHING.outcomes)


def test_without_a_place_status_and_id_decide() -> None:
    bare = [replace(each, standing=None) for each in (THIRD, FIRST, DOUBT)]
    assert [each.choice.id for each in in_order([*bare, SECOND])] == ["b", "a", "c", "d"]


@pytest.mark.parametrize(
    ("first_better", "sentence"),
    [
        ((0.5, 0.6, 0.79, 0.8), "The first and two others are as good within the doubt"),
        ((0.5, 0.6, 0.9), "The first and one other are as good within the doubt"),
        ((0.5, 0.6), "Both are as good within the doubt"),
        ((0.5, 0.6, 0.7), "All three are as good within the doubt"),
        ((0.5, 0.8, 0.9), "The first stands apart"),
        ((0.5,), "One choice is left"),
        ((), "No choice is left"),
    ],
)
def test_the_finding_says_what_the_virtual_patients_say(first_better: Sequence[float], sentence: str) -> None:
    told = finding(weighed(*first_better))
    assert sentence in told
    assert ("what each costs" in told) == ("within the doubt" in sentence)


def test_a_ladder_below_neutral_says_so() -> None:
    assert "No choice has the middle of its lift at neutral" in finding(weighed(0.5, 0.9, lift=-4.0))
    assert "neutral" not in finding(weighed(0.5, 0.9, lift=4.0))
