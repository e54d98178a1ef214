"""The tension ruler of one operation, in millimetres, degrees and newtons; tighter and up positive."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from sinewright.results.brief import Brief, middle
from sinewright.results.document import Computed
from sinewright.results.spread import Spread
from sinewright.results.weighing import OperationSummary, Spreads


@dataclass(frozen=True)
class FixingTension:
    """Tension of the relaxed donor in the posture of fixing [N]: read at once, after early relaxation (no millimetre is
    lost), and after the junction has settled; ``creep_mm`` is what the junction loses in the first weeks of load."""

    at_once_N: Spread
    """set: as a scale reads it at once"""
    after_relaxation_N: Spread
    """early relaxation loses no millimetre; an assumption"""
    settled_N: Spread
    """once the junction has crept"""
    creep_mm: Spread
    """what the junction loses in length"""


@dataclass(frozen=True)
class Mark:
    """One place on the ruler: set stretch [mm], ankle angle while sewing [deg], spreads by name, failed share."""

    set_stretch_mm: float
    """donor's junction beyond its start point once sewn; tighter +"""
    ankle_deg: float
    """ankle angle while sewing; dorsiflexion +"""
    quantities: Spreads
    """by name, in the unit of the name's ending; absent: not computed"""
    failed_share: float
    """share of the virtual legs without a solution, left out [0..1]"""


@dataclass(frozen=True)
class Exchange:
    """Another ankle angle while sewing [deg] and the set stretch [mm] that does the same there, None beyond the ruler.

    ``goes_there``: share of the virtual legs whose ankle goes up so far with the knee as the plan has it.
    """

    ankle_deg: float
    """ankle angle while sewing; dorsiflexion +"""
    set_stretch_mm: float | None
    """set stretch that does the same there; null far beyond the ruler"""
    goes_there: float
    """share of the virtual legs whose ankle goes up so far [0..1]"""


@dataclass(frozen=True)
class Ruler:
    """Marks along the set stretch at the chosen posture, the same stretch in other postures with the stretch that would
    do the same there (``exchange`` runs like ``postures``), and what to make of them.

    ``chosen`` is the mark of the plan, ``loose`` and ``tight`` lie 5 mm either side; ``low_mm`` to ``high_mm`` is the
    recommended interval; ``sentences`` put it in words.
    """

    choice: OperationSummary
    """the operation as it is planned"""
    marks: tuple[Mark, ...]
    """along the set stretch, slack to tight"""
    postures: tuple[Mark, ...]
    """the chosen stretch, sewn with the ankle elsewhere"""
    exchange: tuple[Exchange, ...]
    """for each of the postures, what does the same there"""
    chosen: Mark
    """the mark of the plan"""
    loose: Mark
    """5 mm slacker than chosen"""
    tight: Mark
    """5 mm tighter than chosen"""
    low_mm: float
    """least set stretch that keeps most of the best lifting moment"""
    high_mm: float
    """most set stretch that keeps it"""
    sentences: tuple[str, ...]
    """the ruler in words"""


@dataclass(frozen=True, kw_only=True)
class RulerDocument(Computed):
    """The tension ruler of one operation with its set and settled tension."""

    document: Literal["ruler"] = "ruler"
    """kind of the document"""
    ruler: Ruler
    """what follows from each millimetre of set stretch"""
    tension: FixingTension
    """tension of the relaxed donor in the posture of fixing"""

    def brief(self) -> Brief:
        """Lift, rest and push-down along the set stretch; the plan is marked."""
        rows = tuple(
            (f"{mark.set_stretch_mm:g}{' (plan)' if mark is self.ruler.chosen else ''}",
             *(middle(mark.quantities.get(name), "deg") for name in ("lift_deg", "rest_deg", "pushdown_deg")))
            for mark in sorted((*self.ruler.marks, self.ruler.chosen), key=lambda mark: mark.set_stretch_mm)
        )  # fmt: skip
        choice = self.ruler.choice
        heads = ("set stretch, mm, tighter +", "lift, up +", "rest, up +", "push-down, up +")
        return Brief(self.title(choice.title, choice.subtitle), heads, rows, self.ruler.sentences)
