"""What an update on the table says, as frozen data in degrees, millimetres and newtons; up and tighter positive."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from sinewright.results.brief import Brief, middle
from sinewright.results.document import Computed
from sinewright.results.ruler import FixingTension
from sinewright.results.spread import Spread
from sinewright.results.weighing import Caution, OperationSummary


@dataclass(frozen=True)
class ExpectedAngles:
    """What is expected with a set stretch: on the table before closing, and later with the junction settled.

    Angles [deg], up positive. ``lift_deg``: donor at full effort, knee straight.
    """

    set_stretch_mm: Spread
    """set stretch as it is believed to be; tighter +"""
    rest_on_table_deg: Spread
    """resting angle before closing, leg lying; dorsiflexion +"""
    lift_deg: Spread
    """lift with the junction settled, donor at full effort, knee straight"""
    rest_later_deg: Spread
    """resting angle with the junction settled, foot hanging"""
    pushdown_deg: Spread
    """lowest angle the calf reaches, junction settled"""
    junction_pull_N: Spread
    """pull across the junction in lift"""
    tension: FixingTension
    """tension of the relaxed donor"""


@dataclass(frozen=True)
class Shift:
    """Middle values if the junction were set tighter by so much now (slacker negative)."""

    by_mm: float
    """junction set tighter by so much; slacker negative"""
    rest_on_table_deg: float
    """middle resting angle then"""
    lift_deg: float
    """middle lift then"""
    pushdown_deg: float
    """middle push-down then"""


@dataclass(frozen=True)
class Advice:
    """Millimetres to the plan's resting angle and to its lift (tighter positive; None where no setting gets there), and
    the interval in which neither lift nor push-down differs by enough to matter (None where there is none)."""

    to_planned_rest_mm: float | None
    """change to the plan's resting angle; tighter +; null: no setting gets there"""
    to_planned_lift_mm: float | None
    """change to the plan's lift; tighter +; null: no setting gets there"""
    low_mm: float | None
    """least change that makes no difference that matters; null: there is none"""
    high_mm: float | None
    """most change that makes none; null: there is none"""


@dataclass(frozen=True)
class Explanation:
    """What may explain a reading that contradicts the rest. ``fits``: the numbers agree once it is assumed (True), do
    not (False), or cannot tell (None)."""

    text: str
    """what may explain the reading"""
    fits: bool | None
    """true: the numbers agree once it is assumed; false: not; null: cannot tell"""


@dataclass(frozen=True)
class Told:
    """One entry as it was kept, and how it stands to the others: what they would have expected (nine tenths), the share
    of what could be read that lies below it, and explanations when it contradicts them."""

    at: str
    """when it was entered, by the clock on the wall"""
    words: str
    """the entry in words"""
    counts: bool
    """false once it was taken back"""
    setting: int | None = None
    """number of the setting of the junction it belongs to; null: none"""
    expected: str = ""
    """what the others would have expected, in words"""
    share_below: float | None = None
    """share of what could be read that lies below it [0..1]"""
    contradicts: bool = False
    """true when it contradicts the others"""
    explanations: tuple[Explanation, ...] = ()
    """what may explain that"""


@dataclass(frozen=True)
class Speaking:
    """How many virtual legs speak: all, effective after the entries, whether they were resampled, different ones."""

    draws: int
    """number of virtual legs"""
    effective_sample_size: float
    """equally weighted legs that the weights are worth after the entries"""
    resampled: bool
    """whether they were resampled"""
    different: int
    """legs that are different from each other"""


@dataclass(frozen=True, kw_only=True)
class TableAnswer(Computed):
    """The answer to everything entered so far. ``now`` and ``advice`` are None when too few legs agree with it.

    ``without``: what is expected when the entries that contradict the others are left out; None when none does;
    ``rows``: ids of every row of the reference that was used.
    """

    document: Literal["table"] = "table"
    """kind of the document"""
    choice: OperationSummary
    """the operation as it is planned"""
    planned_mm: float
    """set stretch of the plan; tighter +"""
    entries: tuple[Told, ...]
    """everything entered, also what was taken back"""
    speaking: Speaking
    """how many virtual legs still speak"""
    plan: ExpectedAngles
    """what was expected before anything was read"""
    now: ExpectedAngles | None
    """what is expected now; null when too few legs agree"""
    without: ExpectedAngles | None
    """the same without entries that contradict; null when none does"""
    advice: Advice | None
    """millimetres to the plan; null when too few legs agree"""
    shifts: tuple[Shift, ...]
    """what setting the junction again would do"""
    sentences: tuple[str, ...]
    """the answer in words"""
    warnings: tuple[Caution, ...]
    """what travels with the plan"""
    assumptions: tuple[str, ...]
    """what was assumed, in words"""
    sources: tuple[str, ...]
    """citations behind the rows"""
    rows: tuple[str, ...]
    """ids of every row of the reference that was used"""

    @property
    def contradicted(self) -> bool:
        """True when an entry contradicts the others."""
        return any(entry.contradicts for entry in self.entries)

    def brief(self) -> Brief:
        """What was planned beside what is expected now."""
        keys = {"rest on the table": "rest_on_table_deg", "lift": "lift_deg", "push-down": "pushdown_deg"}

        def said(expected: ExpectedAngles | None, key: str) -> str:
            return middle(getattr(expected, key), "deg") if expected else "no number is given"

        rows = tuple((name, said(self.plan, key), said(self.now, key)) for name, key in keys.items())
        heads = ("angle, up +", "as planned", "now")
        return Brief(self.title(self.choice.title, self.choice.subtitle), heads, rows, self.sentences)
