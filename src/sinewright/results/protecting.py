"""What protection says for one plan, as frozen data: newtons, weeks, dates. Angles in degrees, up positive."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

from sinewright.results.ruler import FixingTension
from sinewright.results.spread import Spread
from sinewright.results.weighing import Caution, Known, OperationSummary, Side

Reader = Literal["patient", "therapist"]


@dataclass(frozen=True)
class SewnJunction:
    """How the junction is sewn: construct, which tests, strength on the day of the operation, source."""

    construct: str
    title: str
    tests: str
    told: str
    middle_N: float
    p05_N: float
    specimens: int
    source: str


@dataclass(frozen=True)
class Carried:
    """One activity: what the junction carries, the share of legs without an answer."""

    activity: str
    title: str
    setup: str
    load_N: Spread
    failed_share: float


@dataclass(frozen=True)
class Week:
    """Strength at a week [N]: fifth percentile and middle."""

    week: float
    p05_N: float
    p50_N: float


@dataclass(frozen=True)
class StageLine:
    """One stage. ``scheduled_week`` of the schedule, ``margin_week`` from which the margin is kept for good (None: not
    while the healing curve lasts), ``week`` the longer of both and of the stages before (None: no week can be given).

    The numbers are those of the hardest activity of the stage at ``scheduled_week``. ``green`` only when they keep
    margin and chance there and from there on; ``reason`` says why not, with the numbers.
    """

    key: str
    title: str
    what: str
    published_low_week: float
    published_high_week: float
    published_source: str
    scheduled_week: float
    margin_week: float | None
    week: float | None
    longer: str
    on: date | None
    green: bool
    activity: str
    load_p50_N: float
    load_p95_N: float
    strength_p05_N: float
    ratio: float
    needed: float
    chance: float
    reason: str
    released_by: str
    look_first: str


@dataclass(frozen=True)
class StageFactor:
    """What in the patient tightens the stages, by how much and why."""

    what: str
    by: float
    reason: str
    row: str


@dataclass(frozen=True)
class Sign:
    """One sign: who watches, what to see, what to do, and how it is known."""

    reader: Reader
    see: str
    do: str
    known: Known


@dataclass(frozen=True)
class Protection:
    """The weeks after one operation as planned. ``green`` only when every stage keeps its margin as scheduled;
    ``rows`` are the ids of every row of the reference that was used."""

    version: str
    seed: int
    draws: int
    side: Side
    pseudonym: str
    choice: OperationSummary
    hold: str
    pace: str
    margin: float
    most_chance: float
    operated_on: date | None
    cast_deg: float
    stretch_limit_deg: float
    sewn: SewnJunction
    tension: FixingTension
    carried: tuple[Carried, ...]
    weeks: tuple[Week, ...]
    factors: tuple[StageFactor, ...]
    lines: tuple[StageLine, ...]
    signs: tuple[Sign, ...]
    green: bool
    sentences: tuple[str, ...]
    warnings: tuple[Caution, ...]
    assumptions: tuple[str, ...]
    sources: tuple[str, ...]
    rows: tuple[str, ...]
