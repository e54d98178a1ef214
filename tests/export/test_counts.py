"""Counts of a hundred with exact intervals, against closed forms and a second method."""

from __future__ import annotations

import math

import pytest
from scipy.stats import binom

from sinewright.export.counts import of_hundred
from sinewright.reference import load


@pytest.mark.parametrize("number", [3, 11, 27, 83])
def test_nothing_seen_follows_the_closed_form(number: int) -> None:
    found = of_hundred(0, number)
    assert (found.count, found.low) == (0, 0)
    assert found.high == math.ceil(100.0 * (1.0 - 0.025 ** (1.0 / number)))


@pytest.mark.parametrize(("events", "number"), [(5, 17), (3, 37), (4, 13), (12, 13)])
def test_the_ends_leave_a_fortieth_on_each_side(events: int, number: int) -> None:
    found = of_hundred(events, number)
    assert binom.sf(events - 1, number, found.low / 100.0) <= 0.025
    assert binom.cdf(events, number, found.high / 100.0) <= 0.025


def test_the_one_sided_bound_of_the_pooled_row_lies_inside() -> None:
    """Row cx-flat-foot-pooled: 0 of 27, one-sided bound 10.5 %; the two-sided one is wider."""
    assert load().row("cx-flat-foot-pooled").value < of_hundred(0, 27).high


@pytest.mark.parametrize(("events", "number"), [(-1, 5), (6, 5), (0, 0)])
def test_what_is_no_share_is_refused(events: int, number: int) -> None:
    with pytest.raises(ValueError, match="no share"):
        of_hundred(events, number)
