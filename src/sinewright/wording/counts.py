"""Counts and shares in words."""

from __future__ import annotations

from sinewright.results import Basis, Chance

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
    """``63 in 100 (60 to 66)``: the interval is that of counting virtual legs, 95 %."""
    middle, low, high = hundred(chance)
    return f"{middle} in 100 ({low} to {high})"


def hundred(chance: Chance) -> tuple[int, int, int]:
    """A chance and the ends of its interval as counts of 100, rounded alike on every screen and page."""
    middle, low, high = (round(percent(each)) for each in (chance.share, chance.low, chance.high))
    return middle, low, high


def basis_words(basis: Basis) -> str:
    """``1000 virtual legs of 8000 proposed, effective 3032, largest weight 0.2 %, tail 0.11``."""
    told = (
        f"{basis.legs} virtual legs of {basis.proposed} proposed, effective {basis.effective_sample_size:.0f}, "
        f"largest weight {percent(basis.largest_weight):.1f} %"
    )
    if basis.temperatures:
        return f"{told}, moved to the examination in {basis.temperatures} steps"
    return told if basis.tail is None else f"{told}, tail {basis.tail:.2f}"
