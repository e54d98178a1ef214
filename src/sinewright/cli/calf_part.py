"""The leading choices without and with each calf procedure, as lines of text."""

from __future__ import annotations

from collections.abc import Sequence

from rich.text import Text

from sinewright.cli.parts import heading, wrapped
from sinewright.cli.screen import Screen
from sinewright.results import CalfTrial, Outcome
from sinewright.wording.calf import SAID, TITLE, calf_cells, leading, letters_of, not_counted


def calf_lines(trials: Sequence[CalfTrial], screen: Screen) -> list[Text]:
    """One paragraph for each leading choice, a line in it for each procedure; nothing when the calf is not short."""
    if not trials:
        return []
    lines = heading(TITLE)
    letters = letters_of(trials)
    lines += wrapped(f"{' '.join(leading(trial, letters) for trial in trials)}", screen)
    for found in zip(*(trial.outcomes for trial in trials), strict=True):
        choice = found[0].choice
        lines += wrapped(f"{letters[choice.id]}  {choice.title}, {choice.subtitle}", screen, after="   ")
        for trial, outcome in zip(trials, found, strict=True):
            lines += wrapped(f"{SAID[trial.procedure]}: {_told(outcome, screen)}.", screen, "", "  ", "    ")
    return [*lines, *wrapped(not_counted(trials), screen, "dim")]


def _told(outcome: Outcome, screen: Screen) -> str:
    told = [f"{label} {words}" for _, label, words in calf_cells(outcome, screen.spelled_degree)]
    return "; ".join(told) or outcome.reason.rstrip(".")
