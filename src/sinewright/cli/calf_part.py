"""The leading choices without and with each calf procedure, as lines of text."""

from __future__ import annotations

from collections.abc import Sequence

from rich.text import Text

from sinewright.cli.parts import heading, wrapped
from sinewright.cli.screen import Screen
from sinewright.cli.words import LADDER_COLUMNS, STRETCH
from sinewright.results import CalfTrial, Outcome

SHOWN = ("lift_deg", "rest_deg", "pushdown_deg")
SAID = {
    "none": "calf left as it is",
    "gastrocnemius recession": "after gastrocnemius recession",
    "achilles lengthening": "after Achilles lengthening",
}


def calf_lines(trials: Sequence[CalfTrial], screen: Screen) -> list[Text]:
    """One paragraph for each leading choice, a line in it for each procedure; nothing when the calf is not short."""
    if not trials:
        return []
    lines = heading("Calf first: the leading choices without and with lengthening, each sewn anew")
    for found in zip(*(trial.outcomes for trial in trials), strict=True):
        choice = found[0].choice
        lines += wrapped(f"{choice.title}, {choice.subtitle}", screen)
        for trial, outcome in zip(trials, found, strict=True):
            lines += wrapped(f"{SAID[trial.procedure]}: {_told(outcome, screen)}.", screen, "", "  ", "    ")
    told = "Strength that the calf loses by lengthening, and what it regains, is not counted."
    return [*lines, *wrapped(told, screen, "dim")]


def _told(outcome: Outcome, screen: Screen) -> str:
    told = []
    for column in LADDER_COLUMNS:
        spread = outcome.spread(column.key) if column.key in SHOWN else None
        if spread:
            middle, nine_tenths = column.cell(spread, screen.spelled_degree)
            told.append(f"{column.label} {middle} ({nine_tenths})")
    told.append(f"sewn {STRETCH.one(outcome.choice.set_stretch_mm)}")
    return "; ".join(told) if outcome.quantities else outcome.reason.rstrip(".")
