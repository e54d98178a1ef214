"""Counts and shares in words."""

from __future__ import annotations

from sinewright.results import Chance

SMALL_NUMBERS = (
    "no",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
)


def count_word(number: int) -> str:
    """A count in words up to twelve, in digits above."""
    return SMALL_NUMBERS[number] if 0 <= number < len(SMALL_NUMBERS) else str(number)


def plural(number: int, one: str, many: str | None = None) -> str:
    """``1 warning``, ``2 warnings``."""
    return f"{number} {one if number == 1 else many or one + 's'}"


def percent(fraction: float) -> float:
    """A fraction as percent, for print."""
    return 100.0 * fraction


def in_hundred(chance: Chance) -> str:
    """``63 in 100 (60 to 66)``: the interval is that of the count alone."""
    low, middle, high = (percent(each) for each in (chance.low, chance.share, chance.high))
    return f"{middle:.0f} in 100 ({low:.0f} to {high:.0f})"
