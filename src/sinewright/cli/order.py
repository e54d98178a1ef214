"""In which order the choices stand, and the one sentence that says whether the numbers tell them apart."""

from __future__ import annotations

from collections.abc import Sequence

from sinewright.cli.words import count_word
from sinewright.results import STATUSES, Outcome

ORDER_LINE = "Workable choices first, then by the middle of the lift; no score is computed: the weighing is yours."
NOT_APART = "the numbers do not tell them apart. Look at what each costs."


def in_order(outcomes: Sequence[Outcome]) -> list[Outcome]:
    """Workable, doubtful, set aside; in each the higher middle of the lift first, then by id."""

    def key(outcome: Outcome) -> tuple[int, float, str]:
        lift = outcome.spread("lift_deg")
        return STATUSES.index(outcome.status), -lift.p50 if lift else float("inf"), outcome.choice.id

    return sorted(outcomes, key=key)


def together(rows: Sequence[Outcome]) -> int:
    """How many of `rows`, from the top, share ground with the first in the nine-tenths of their lift."""
    lifts = [row.spread("lift_deg") for row in rows]
    if not lifts or lifts[0] is None:
        return 0
    first, count = lifts[0], 1
    for lift in lifts[1:]:
        if lift is None or not lift.overlaps(first):
            break
        count += 1
    return count


def finding(rows: Sequence[Outcome]) -> str:
    """What the ladder says about `rows` (in order, without those set aside), as one or two sentences."""
    lifting = [row for row in rows if row.spread("lift_deg")]
    if not lifting:
        return "No choice is left with a computed lift: the reasons stand beside each."
    count = together(lifting)
    if len(lifting) == 1:
        told = "One choice is left; nothing stands beside it to compare."
    elif count == 1:
        told = "The first stands apart: nine-tenths of its lift lie clear of the second."
    elif count == len(lifting):
        told = f"{'Both' if count == 2 else f'All {count_word(count)}'} overlap: {NOT_APART}"
    else:
        told = f"The first {count_word(count)} overlap: {NOT_APART}"
    return " ".join(part for part in (told, _below_neutral(lifting)) if part)


def _below_neutral(lifting: Sequence[Outcome]) -> str:
    middles = [lift.p50 for row in lifting if (lift := row.spread("lift_deg"))]
    return "" if max(middles) >= 0.0 else "No choice has the middle of its lift at neutral or above."
