"""Order and finding come from the intervals, not from a score."""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from sinewright.cli.order import finding, in_order, together
from sinewright.results import Outcome

from .invented_weighing import ASIDE, DOUBT, FIRST, SECOND, THIRD, WEIGHING, around, choice


def lifting(*lifts: tuple[float, float]) -> list[Outcome]:
    return [
        Outcome(choice(str(at), f"choice {at}", ""), "workable", "", {"lift_deg": around(middle, half / 2, half)})
        for at, (middle, half) in enumerate(lifts)
    ]


def test_workable_first_then_the_higher_middle_of_the_lift() -> None:
    assert in_order(WEIGHING.outcomes) == [FIRST, SECOND, THIRD, DOUBT, ASIDE]
    assert in_order(WEIGHING.outcomes[::-1]) == in_order(WEIGHING.outcomes)


def test_equal_lifts_keep_the_order_of_their_names_and_no_lift_comes_last() -> None:
    first, second = lifting((4, 1), (4, 1))
    unknown = Outcome(choice("a", "brace only", ""), "workable", "")
    assert in_order([unknown, second, first]) == [first, second, unknown]


@pytest.mark.parametrize(
    ("lifts", "sentence"),
    [
        ([(10, 3), (8, 3), (6, 3), (-9, 2)], "The first three overlap"),
        ([(10, 3), (8, 3)], "Both overlap"),
        ([(10, 3), (2, 3), (1, 3)], "The first stands apart"),
        ([(10, 3)], "One choice is left"),
        ([], "No choice is left"),
        ([(-4, 3), (-20, 3)], "No choice has the middle of its lift at neutral"),
    ],
)
def test_the_finding_says_what_the_intervals_say(lifts: Sequence[tuple[float, float]], sentence: str) -> None:
    told = finding(lifting(*lifts))
    assert sentence in told
    assert ("do not tell them apart" in told) == ("overlap" in sentence)


def test_touching_intervals_overlap_and_a_gap_ends_the_row() -> None:
    assert together(lifting((10, 2), (6, 2))) == 2
    assert together(lifting((10, 2), (5.9, 2))) == 1
    assert together(lifting((10, 2), (5, 2), (4, 30))) == 1
