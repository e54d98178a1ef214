"""The parts of the weigh page about what matters: goals, weights, and where each choice stands under them."""

from __future__ import annotations

from collections.abc import Sequence

from rich.text import Text

from sinewright.cli.parts import heading, wrapped
from sinewright.cli.screen import Screen
from sinewright.results import Goal, Standing
from sinewright.wording.counts import percent
from sinewright.wording.standing import Worths, apart, goal_words


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
    utility = standing.utility
    told = (
        f"Weighted goals {percent(standing.mean):.0f} of 100 on average "
        f"({percent(utility.p05):.0f} to {percent(utility.p95):.0f}). "
        f"{apart(standing)}"
    )
    met = ", ".join(
        f"{goal_words(goal.name)} {percent(share):.0f}" for goal, share in zip(worths.goals, standing.met, strict=True)
    )
    reserve = (worths.titles or {}).get(standing.reserve, "no other choice is left")
    lines = wrapped(told, screen, "", indent, indent)
    lines += wrapped(f"Each goal: {met}.", screen, "", indent, indent)
    return [*lines, *wrapped(f"If it fails: {reserve}.", screen, "", indent, 2 * indent)]
