"""What an update on the table says, as frozen data in degrees, millimetres and newtons; up and tighter positive."""

from __future__ import annotations

from dataclasses import dataclass

from sinewright.results.ruler import FixingTension
from sinewright.results.spread import Spread
from sinewright.results.weighing import Caution, OperationSummary, Side


@dataclass(frozen=True)
class ExpectedAngles:
    """What is expected with a set stretch: on the table before closing, and later with the junction settled.

    Angles [deg], up positive. ``lift_deg``: donor at full effort, knee straight.
    """

    set_stretch_mm: Spread
    rest_on_table_deg: Spread
    lift_deg: Spread
    rest_later_deg: Spread
    pushdown_deg: Spread
    junction_pull_N: Spread
    tension: FixingTension


@dataclass(frozen=True)
class Shift:
    """Middle values if the junction were set tighter by so much now (slacker negative)."""

    by_mm: float
    rest_on_table_deg: float
    lift_deg: float
    pushdown_deg: float


@dataclass(frozen=True)
class Advice:
    """Millimetres to the plan's resting angle and to its lift (tighter positive; None where no setting gets there), and
    the interval in which neither lift nor push-down differs by enough to matter (None where there is none)."""

    to_planned_rest_mm: float | None
    to_planned_lift_mm: float | None
    low_mm: float | None
    high_mm: float | None


@dataclass(frozen=True)
class Explanation:
    """What may explain a reading that contradicts the rest. ``fits``: the numbers agree once it is assumed (True), do
    not (False), or cannot tell (None)."""

    text: str
    fits: bool | None


@dataclass(frozen=True)
class Told:
    """One entry as it was kept, and how it stands to the others: what they would have expected (nine tenths), the share
    of what could be read that lies below it, and explanations when it contradicts them."""

    at: str
    words: str
    counts: bool
    setting: int | None = None
    expected: str = ""
    share_below: float | None = None
    contradicts: bool = False
    explanations: tuple[Explanation, ...] = ()


@dataclass(frozen=True)
class Speaking:
    """How many virtual legs speak: all, effective after the entries, whether they were resampled, different ones."""

    draws: int
    effective_sample_size: float
    resampled: bool
    different: int


@dataclass(frozen=True)
class TableAnswer:
    """The answer to everything entered so far. ``now`` and ``advice`` are None when too few legs agree with it.

    ``without``: what is expected when the entries that contradict the others are left out; None when none does;
    ``rows``: ids of every row of the reference that was used.
    """

    version: str
    seed: int
    side: Side
    pseudonym: str
    choice: OperationSummary
    planned_mm: float
    entries: tuple[Told, ...]
    speaking: Speaking
    plan: ExpectedAngles
    now: ExpectedAngles | None
    without: ExpectedAngles | None
    advice: Advice | None
    shifts: tuple[Shift, ...]
    sentences: tuple[str, ...]
    warnings: tuple[Caution, ...]
    assumptions: tuple[str, ...]
    sources: tuple[str, ...]
    rows: tuple[str, ...]

    @property
    def contradicted(self) -> bool:
        """True when an entry contradicts the others."""
        return any(entry.contradicts for entry in self.entries)
