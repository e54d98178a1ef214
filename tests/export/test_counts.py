"""Counts of a hundred with their intervals, against closed forms and a second method."""

from __future__ import annotations

import pytest
from scipy.stats import binomtest

from sinewright.doubt.sample import chance_of
from sinewright.export.counts import as_hundred, of_hundred
from sinewright.reference import load
from sinewright.wording.counts import in_hundred


@pytest.mark.parametrize("number", [3, 11, 27, 83])
def test_nothing_seen_follows_the_closed_form(number: int) -> None:
    """Wilson's upper end for nothing among n is z^2/(n + z^2)."""
    found = of_hundred(0, number)
    assert (found.count, found.low) == (0, 0)
    assert found.high == round(100.0 * 1.96**2 / (number + 1.96**2))


@pytest.mark.parametrize(("events", "number"), [(5, 17), (3, 37), (4, 13), (12, 13)])
def test_the_ends_are_those_of_a_second_method(events: int, number: int) -> None:
    found, second = of_hundred(events, number), binomtest(events, number).proportion_ci(0.95, method="wilson")
    assert (found.low, found.high) == (round(100.0 * second.low), round(100.0 * second.high))


def test_a_share_is_rounded_as_on_the_screen() -> None:
    chance = chance_of(637, 1000)
    found = as_hundred(chance)
    assert in_hundred(chance) == f"{found.count} in 100 ({found.low} to {found.high})"


def test_the_one_sided_bound_of_the_pooled_row_lies_inside() -> None:
    """Row cx-flat-foot-pooled: 0 of 27, one-sided bound 10.5 %; the two-sided one is wider."""
    assert load().row("cx-flat-foot-pooled").value < of_hundred(0, 27).high


@pytest.mark.parametrize(("events", "number"), [(-1, 5), (6, 5), (0, 0), (1.5, 5)])
def test_what_is_no_share_is_refused(events: int, number: int) -> None:
    with pytest.raises(ValueError, match="no share"):
        of_hundred(events, number)
