"""The permanent record of a plan: the weighing it rests on and the operation that was chosen by hand."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal

from sinewright.results.brief import Brief
from sinewright.results.document import Computed, exact, plain, read_part
from sinewright.results.ruler import Ruler
from sinewright.results.weighing import Posture, Weighing

CHOSEN = "chosen"


@dataclass(frozen=True)
class Chosen:
    """What the surgeon chose."""

    id: str
    """name of the operation"""
    title: str
    """donor and route in words of the trade"""
    subtitle: str
    """the rest in words of the trade"""
    set_stretch_mm: float
    """donor's junction beyond its start point once sewn; tighter +"""
    fixing: Posture
    """posture in which the junction is sewn"""
    by_hand: bool = True
    """true: a person chose it"""

    @staticmethod
    def of(ruler: Ruler) -> Chosen:
        """The operation as the ruler has it."""
        choice = ruler.choice
        return Chosen(choice.id, choice.title, choice.subtitle, ruler.chosen.set_stretch_mm, choice.fixing)


@dataclass(frozen=True, kw_only=True)
class PlanDocument(Computed):
    """A plan as it is frozen in the store."""

    document: Literal["plan"] = "plan"
    """kind of the document"""
    chosen: Chosen | None
    """the operation that was chosen by hand; null: the plan only weighs"""
    weighing: Weighing
    """everything that was weighed"""

    @staticmethod
    def of(weighing: Weighing, chosen: Chosen | None = None) -> PlanDocument:
        """The plan that rests on a weighing."""
        return PlanDocument(
            version=weighing.version, invented=weighing.invented, side=weighing.side, pseudonym=weighing.pseudonym,
            seed=weighing.seed, draws=weighing.draws, chosen=chosen, weighing=weighing,
        )  # fmt: skip

    def content(self) -> dict[str, Any]:
        """What the store keeps: the document, with what was chosen to its last digit, so that it is computed again."""
        return {**plain(self), CHOSEN: exact(self.chosen) if self.chosen else None}

    def brief(self) -> Brief:
        """The chosen operation over what was weighed."""
        under = self.weighing.brief()
        told = f"chosen: {self.chosen.title}, {self.chosen.subtitle}" if self.chosen else "weighed only"
        return Brief(self.title(told), under.heads, under.rows, under.notes)


def chosen_in(content: Mapping[str, Any]) -> Chosen | None:
    """What was chosen in the kept content of a plan; None for one that only weighs.

    A plan of before documents had heads is a weighing with ``chosen`` beside it: both shapes are read.
    Raises ValueError when what was chosen is not whole.
    """
    found = content.get(CHOSEN)
    return None if found is None else read_part(Chosen, found)
