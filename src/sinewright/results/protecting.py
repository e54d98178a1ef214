"""What protection says for one plan, as frozen data: newtons, weeks, dates. Angles in degrees, up positive."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

from sinewright.results.brief import Brief
from sinewright.results.document import Computed
from sinewright.results.ruler import FixingTension
from sinewright.results.spread import Spread
from sinewright.results.weighing import Caution, Known, OperationSummary

Reader = Literal["patient", "therapist"]


@dataclass(frozen=True)
class SewnJunction:
    """How the junction is sewn: construct, which tests, strength on the day of the operation, source."""

    construct: str
    """name of the junction"""
    title: str
    """the junction in words"""
    tests: str
    """set of strength tests: usual or pessimistic"""
    told: str
    """what the tests were and what holds for it"""
    middle_N: float
    """middle strength on the day of the operation"""
    p05_N: float
    """strength of the weakest in twenty"""
    specimens: int
    """junctions tested"""
    source: str
    """citation of the tests"""


@dataclass(frozen=True)
class Carried:
    """One activity: what the junction carries, the share of legs without an answer."""

    activity: str
    """name of the activity"""
    title: str
    """the activity in words"""
    setup: str
    """how it was computed"""
    load_N: Spread
    """tension across the junction"""
    failed_share: float
    """share of the virtual legs without a solution, left out [0..1]"""


@dataclass(frozen=True)
class Week:
    """Strength at a week [N]: fifth percentile and middle."""

    week: float
    """weeks after the operation"""
    p05_N: float
    """strength of the weakest in twenty"""
    p50_N: float
    """middle strength"""


@dataclass(frozen=True)
class StageLine:
    """One stage. ``scheduled_week`` of the schedule, ``margin_week`` from which the margin is kept for good (None: not
    while the healing curve lasts), ``week`` the longer of both and of the stages before (None: no week can be given).

    The numbers are those of the hardest activity of the stage at ``scheduled_week``. ``green`` only when they keep
    margin and chance there and from there on; ``reason`` says why not, with the numbers.
    """

    key: str
    """name of the stage"""
    title: str
    """the stage in words"""
    what: str
    """what the patient does then"""
    published_low_week: float
    """earliest published week"""
    published_high_week: float
    """latest published week"""
    published_source: str
    """citation of the weeks"""
    scheduled_week: float
    """week of the schedule"""
    margin_week: float | None
    """week from which the margin is kept for good; null: not while the healing curve lasts"""
    week: float | None
    """the longer of both and of the stages before; null: no week can be given"""
    longer: str
    """why it is longer than scheduled, in words"""
    on: date | None
    """date of the week; null without a date of operation"""
    green: bool
    """true only when margin and chance are kept from the scheduled week on"""
    activity: str
    """the hardest activity of the stage"""
    load_p50_N: float
    """middle load in it"""
    load_p95_N: float
    """load that one in twenty exceeds"""
    strength_p05_N: float
    """strength of the weakest in twenty then"""
    ratio: float
    """fifth percentile of strength over middle load"""
    needed: float
    """ratio asked for"""
    chance: float
    """share of pairs of leg and junction in which the load exceeds the strength [0..1]"""
    reason: str
    """why it is not green, in words"""
    released_by: str
    """who may release it, as roles"""
    look_first: str
    """what is looked at before it is released"""


@dataclass(frozen=True)
class StageFactor:
    """What in the patient tightens the stages, by how much and why."""

    what: str
    """what in the patient tightens the stages"""
    by: float
    """by how much"""
    reason: str
    """why"""
    row: str
    """id of the reference row"""


@dataclass(frozen=True)
class Sign:
    """One sign: who watches, what to see, what to do, and how it is known."""

    reader: Reader
    """who watches"""
    see: str
    """what to see"""
    do: str
    """what to do"""
    known: Known
    """how it is known"""


@dataclass(frozen=True, kw_only=True)
class Protection(Computed):
    """The weeks after one operation as planned. ``green`` only when every stage keeps its margin as scheduled;
    ``rows`` are the ids of every row of the reference that was used."""

    document: Literal["protect"] = "protect"
    """kind of the document"""
    choice: OperationSummary
    """the operation as it is planned"""
    hold: str
    """cast, boot or frame"""
    pace: str
    """end of the published weeks that the schedule follows: early, usual or late"""
    margin: float
    """strength of the weakest in twenty over middle load that is asked for"""
    most_chance: float
    """highest chance of giving way that stays green [0..1]"""
    operated_on: date | None
    """date of the operation; null: not given"""
    cast_deg: float
    """ankle in the hold; dorsiflexion +"""
    stretch_limit_deg: float
    """how far down the therapist may bring the foot; dorsiflexion +"""
    sewn: SewnJunction
    """the junction and its strength"""
    tension: FixingTension
    """tension of the relaxed donor"""
    carried: tuple[Carried, ...]
    """what the junction carries in each activity"""
    weeks: tuple[Week, ...]
    """strength as it heals"""
    factors: tuple[StageFactor, ...]
    """what in the patient tightens the stages"""
    lines: tuple[StageLine, ...]
    """the stages in order"""
    signs: tuple[Sign, ...]
    """what to watch for, the gravest first"""
    green: bool
    """true only when every stage keeps its margin as scheduled"""
    sentences: tuple[str, ...]
    """the weeks after in words"""
    warnings: tuple[Caution, ...]
    """what travels with the plan"""
    assumptions: tuple[str, ...]
    """what was assumed, in words"""
    sources: tuple[str, ...]
    """citations behind the rows"""
    rows: tuple[str, ...]
    """ids of every row of the reference that was used"""

    def brief(self) -> Brief:
        """Every stage with its week and whether the margin is kept."""
        rows = tuple(
            (line.title, "no week" if line.week is None else f"week {line.week:.1f}",
             "keeps the margin" if line.green else "margin not kept", f"{line.ratio:.2f} ({line.needed:.2f})")
            for line in self.lines
        )  # fmt: skip
        heads = ("stage, released by a clinician", "not before", "as scheduled", "strength over load (asked for)")
        return Brief(self.title(self.choice.title, self.choice.subtitle), heads, rows, self.sentences)
