"""The tension ruler of one operation, in millimetres, degrees and newtons; tighter and up positive."""

from __future__ import annotations

from dataclasses import dataclass

from sinewright.results.spread import Spread
from sinewright.results.weighing import OperationSummary


@dataclass(frozen=True)
class FixingTension:
    """Tension of the relaxed donor in the posture of fixing [N]: read at once, after early relaxation (no millimetre is
    lost), and after the junction has settled; ``creep_mm`` is what the junction loses in the first weeks of load."""

    at_once_N: Spread
    after_relaxation_N: Spread
    settled_N: Spread
    creep_mm: Spread


@dataclass(frozen=True)
class Mark:
    """One place on the ruler: set stretch [mm], ankle angle while sewing [deg], spreads by name, failed share."""

    set_stretch_mm: float
    ankle_deg: float
    quantities: dict[str, Spread]
    failed_share: float


@dataclass(frozen=True)
class Exchange:
    """Another ankle angle while sewing [deg] and the set stretch [mm] that does the same there, None beyond the ruler.

    ``goes_there``: share of the virtual legs whose ankle goes up so far with the knee as the plan has it.
    """

    ankle_deg: float
    set_stretch_mm: float | None
    goes_there: float


@dataclass(frozen=True)
class Ruler:
    """Marks along the set stretch at the chosen posture, the same stretch in other postures with the stretch that would
    do the same there (``exchange`` runs like ``postures``), and what to make of them.

    ``chosen`` is the mark of the plan, ``loose`` and ``tight`` lie 5 mm either side; ``low_mm`` to ``high_mm`` is the
    recommended interval; ``sentences`` put it in words.
    """

    choice: OperationSummary
    marks: tuple[Mark, ...]
    postures: tuple[Mark, ...]
    exchange: tuple[Exchange, ...]
    chosen: Mark
    loose: Mark
    tight: Mark
    low_mm: float
    high_mm: float
    sentences: tuple[str, ...]
