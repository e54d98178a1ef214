"""The leading choices without and with each calf procedure, in words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from string import ascii_uppercase

from sinewright.results import CalfTrial, Outcome
from sinewright.wording.columns import LADDER_COLUMNS
from sinewright.wording.counts import in_hundred
from sinewright.wording.directions import STRETCH, UP_DOWN

TITLE = "Calf first: what leads without and with lengthening, each sewn anew"
SHOWN = ("lift_deg", "rest_deg", "pushdown_deg")
SAID = {
    "none": "calf left as it is",
    "gastrocnemius recession": "after gastrocnemius recession",
    "achilles lengthening": "after Achilles lengthening",
}


def not_counted(trials: Sequence[CalfTrial]) -> str:
    """On how many legs the order stands, and what is not in the numbers."""
    return (
        f"Order and swing come from the first {trials[0].screened} virtual legs, the rest from all. Strength that the "
        "calf loses by lengthening, and what it regains, is not counted."
    )


def letters_of(trials: Sequence[CalfTrial]) -> dict[str, str]:
    """A letter for each leading choice, by its id; the same in every trial."""
    outcomes = trials[0].outcomes if trials else ()
    return {outcome.choice.id: letter for letter, outcome in zip(ascii_uppercase, outcomes, strict=False)}


def leading(trial: CalfTrial, letters: Mapping[str, str]) -> str:
    """What leads after one procedure, best first, and among how many operations."""
    said = SAID[trial.procedure][:1].upper() + SAID[trial.procedure][1:]
    if not trial.leaders:
        return f"{said}: none of {trial.tried} operations can be offered."
    return f"{said}: {', '.join(letters[id] for id in trial.leaders)} lead, of {trial.tried} operations tried."


def calf_cells(outcome: Outcome, degree: str) -> list[tuple[str, str, str]]:
    """What is told of a choice after one procedure: key, name and words of each number; empty when set aside."""
    if not outcome.quantities:
        return []
    told = []
    for column in LADDER_COLUMNS:
        spread = outcome.spread(column.key) if column.key in SHOWN else None
        if spread:
            middle, nine_tenths = column.cell(spread, degree)
            told.append((column.key, column.label, f"{middle} ({nine_tenths})"))
    if clears := outcome.chances.get("clears_swing"):
        told.append(("clears_swing", "clears the floor in swing", in_hundred(clears)))
    ankle = UP_DOWN.one(outcome.choice.fixing.ankle_deg, degree)
    words = f"{STRETCH.one(outcome.choice.set_stretch_mm)} with the ankle {ankle}"
    return [*told, ("set_stretch_mm", "set stretch", words)]
