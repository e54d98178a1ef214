"""In which order the choices stand, and the one sentence that says whether the numbers tell them apart."""

from __future__ import annotations

from collections.abc import Sequence

from sinewright.cli.words import count_word
from sinewright.results import STATUSES, Outcome

ORDER_LINE = (
    "Order: mean worth, the goals met under the weights below; the weights are yours to change (--weight). "
    "Doubtful choices stand among the others, with the reason."
)
APART = 0.8
"""Share of the virtual patients that must prefer one choice before it is told apart from another."""


def in_order(outcomes: Sequence[Outcome]) -> list[Outcome]:
    """By place under the weights; those without a place after them, by status and id."""

    def key(outcome: Outcome) -> tuple[float, int, str]:
        place = outcome.standing.place if outcome.standing else float("inf")
        return place, STATUSES.index(outcome.status), outcome.choice.id

    return sorted(outcomes, key=key)


def finding(rows: Sequence[Outcome]) -> str:
    """What the ladder says about `rows` (in order, without those set aside), as one or two sentences."""
    standings = [row.standing for row in rows if row.standing]
    if not standings:
        return "No choice is left to weigh: the reasons stand beside each."
    count = sum(each.first_better < APART for each in standings)
    if len(standings) == 1:
        told = "One choice is left; nothing stands beside it to compare."
    elif count == 1:
        told = "The first stands apart: four fifths of the virtual patients or more prefer it to each of the others."
    else:
        told = f"{_who(count, len(standings))} are not told apart by these numbers. Look at what each costs."
    return " ".join(part for part in (told, _below_neutral(rows)) if part)


def _who(count: int, of: int) -> str:
    """``Both``, ``All three``, ``The first and one other``."""
    if count == of:
        return "Both" if of == 2 else f"All {count_word(of)}"
    return f"The first and {count_word(count - 1)} {'other' if count == 2 else 'others'}"


def _below_neutral(rows: Sequence[Outcome]) -> str:
    middles = [lift.p50 for row in rows if (lift := row.spread("lift_deg"))]
    return "" if not middles or max(middles) >= 0.0 else "No choice has the middle of its lift at neutral or above."
