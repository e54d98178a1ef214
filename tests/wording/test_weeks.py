"""No decimal of a week is printed: whole and half weeks, else days."""

from __future__ import annotations

import pytest

from sinewright.wording.weeks import span_words, week_words


@pytest.mark.parametrize(
    ("week", "words"),
    [
        (0.0, "day 0"), (0.5, "week \u00bd"), (4.0, "week 4"), (4.5, "week 4\u00bd"), (4.35, "day 30"),
        (52.0, "week 52"), (1.0 / 7.0, "day 1"), (12.001, "week 12"),
    ],
)  # fmt: skip
def test_a_week_is_said_as_a_calendar_knows_it(week: float, words: str) -> None:
    assert week_words(week) == words


def test_a_span_has_one_unit() -> None:
    assert span_words(6.0, 8.0) == "6 to 8 weeks"
    assert span_words(4.35, 6.0) == "30 to 42 days"
