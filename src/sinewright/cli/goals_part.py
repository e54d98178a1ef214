"""The parts of the weigh page about what matters: goals, weights, and where each choice stands under them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from rich.text import Text

from sinewright.cli.order import APART
from sinewright.cli.parts import heading, wrapped
from sinewright.cli.screen import Screen
from sinewright.cli.words import percent
from sinewright.results import Goal, Standing, Weighing


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


def weights_line(goals: Sequence[Goal], screen: Screen) -> list[Text]:
    """The weights in one sentence, the heaviest first."""
    if not goals:
        return []
    ordered = sorted(goals, key=lambda goal: -goal.weight)
    told = ", ".join(f"{goal_words(goal.name)} {percent(goal.weight):.0f} %" for goal in ordered)
    return wrapped(f"Weights: {told}.", screen, "dim")


def goals_lines(goals: Sequence[Goal], screen: Screen) -> list[Text]:
    """The section that says how each goal is read; names as `--weight` takes them."""
    if not goals:
        return []
    lines = heading("Goals, each from 0 to 1")
    lines += wrapped(
        "Weights are the case's, 5 where it says nothing; --weight NAME=0..10 tries others.", screen, "dim"
    )
    width = max(len(goal.name) for goal in goals)
    for goal in goals:
        opening = f"{goal.name.ljust(width)}  {percent(goal.weight):3.0f} %  "
        lines += wrapped(goal.scale, screen, "", opening, " " * len(opening))
    return lines


def standing_lines(standing: Standing, worths: Worths, screen: Screen, indent: str) -> list[Text]:
    """Worth and whether the first is told apart from it; the goals behind it; what is left if it fails."""
    worth = standing.worth
    told = (
        f"Worth {percent(standing.mean):.0f} of 100 on average ({percent(worth.p05):.0f} to {percent(worth.p95):.0f}). "
        f"{_apart(standing)}"
    )
    met = ", ".join(
        f"{goal_words(goal.name)} {percent(share):.0f}" for goal, share in zip(worths.goals, standing.met, strict=True)
    )
    reserve = (worths.titles or {}).get(standing.reserve, "no other choice is left")
    lines = wrapped(told, screen, "", indent, indent)
    lines += wrapped(f"Goals met: {met}.", screen, "", indent, indent)
    return [*lines, *wrapped(f"If it fails: {reserve}.", screen, "", indent, 2 * indent)]


def _apart(standing: Standing) -> str:
    better = f"{percent(standing.first_better):.0f} of 100 virtual patients"
    if standing.place == 1:
        return "First by worth."
    if standing.first_better < APART:
        return f"Not told apart from the first, which is worth more in {better}."
    return f"The first is worth more in {better}."
