"""The order of the choices under the weights, and the sentences that say whether the numbers tell them apart."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from sinewright.results import Goal, Outcome, Standing, Weighing
from sinewright.wording.counts import count_word, percent
from sinewright.wording.figures import is_tied, told_apart_words

ORDER_LINE = (
    "Order: mean of the weighted goals, under the weights below; the weights are yours to change (--weight). "
    "Doubtful choices stand among the others, with the reason."
)


@dataclass(frozen=True)
class Worths:
    """What is needed to say where a choice stands: the goals, and the words of every choice by its id."""

    goals: tuple[Goal, ...] = ()
    titles: Mapping[str, str] | None = None

    @staticmethod
    def of(weighing: Weighing) -> Worths:
        """Of a whole weighing, so that a reserve below the printed rows has its words too."""
        choices = [outcome.choice for outcome in weighing.outcomes]
        return Worths(weighing.goals, {each.id: f"{each.title}, {each.subtitle}" for each in choices})


def goal_words(name: str) -> str:
    """``push off`` for ``push_off``."""
    return name.replace("_", " ")


def finding(rows: Sequence[Outcome]) -> str:
    """What the ladder says about `rows` (in order, without those set aside), as one or two sentences."""
    standings = [row.standing for row in rows if row.standing]
    if not standings:
        return "No choice is left to weigh: the reasons stand beside each."
    count = sum(is_tied(each) for each in standings)
    if len(standings) == 1:
        told = "One choice is left; nothing stands beside it to compare."
    elif count == 1:
        told = f"The first stands apart: {told_apart_words()} or more prefer it to each of the others."
    else:
        told = f"{_who(count, len(standings))} are as good within the doubt. Look at what each costs."
    return " ".join(part for part in (told, _below_neutral(rows)) if part)


def _who(count: int, of: int) -> str:
    """``Both``, ``All three``, ``The first and one other``."""
    if count == of:
        return "Both" if of == 2 else f"All {count_word(of)}"
    return f"The first and {count_word(count - 1)} {'other' if count == 2 else 'others'}"


def _below_neutral(rows: Sequence[Outcome]) -> str:
    middles = [lift.p50 for row in rows if (lift := row.spread("lift_deg"))]
    return "" if not middles or max(middles) >= 0.0 else "No choice has the middle of its lift at neutral or above."


def apart(standing: Standing) -> str:
    """Whether the first choice is told apart from this one."""
    better = f"{percent(standing.first_better):.0f} of 100 virtual legs"
    if standing.place == 1:
        return "Best weighted goals."
    if standing.behind_error > 0.0:
        mean, error = percent(standing.behind), percent(standing.behind_error)
        better += f", on average by {mean:.1f} of 100 points (error of counting {error:.1f})"
    if is_tied(standing):
        return f"Difference from the first is within the doubt: the first is better in {better}."
    return f"The first is better in {better}."
