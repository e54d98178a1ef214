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


def share_word(share: float) -> str:
    """A share between 0 and 1 as a fraction in words where a usual one fits, else in percent.

    >>> share_word(0.8), share_word(0.5), share_word(0.83)
    ('four fifths', 'half', '83 %')
    """
    for whole, part in ((2, ("half", "half")), (3, ("third", "thirds")), (4, ("quarter", "quarters")),
                        (5, ("fifth", "fifths")), (10, ("tenth", "tenths"))):  # fmt: skip
        count = round(share * whole)
        if 0 < count < whole and abs(share * whole - count) < 1e-9:
            return part[0] if whole == 2 else f"{count_word(count)} {part[0] if count == 1 else part[1]}"
    return f"{100.0 * share:.0f} %"


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
