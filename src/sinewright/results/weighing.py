"""What a weighing of the choices says, as frozen data.

Every quantity is a distribution over virtual legs, kept as five percentiles. Angles are in degrees, lengths
in millimetres, moments in newton metres and forces in newtons: these types stand at the border.
Dorsiflexion, inversion and knee flexion are positive; neutral is the sole square to the shank.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from types import MappingProxyType
from typing import Literal

from sinewright.results.answer import Answer
from sinewright.results.spread import Chance, Spread, refuse_not_finite

Status = Literal["workable", "doubtful", "set aside"]
Known = Literal["read", "quoted", "recalled", "derived", "judged", "practice"]
Tendon = Literal["elastic", "rigid"]
Side = Literal["right", "left"]
Kind = Literal["warn", "block"]
Suits = Literal["yes", "unclear", "no"]

STATUSES: tuple[Status, ...] = ("workable", "doubtful", "set aside")
KNOWN: tuple[Known, ...] = ("read", "quoted", "recalled", "derived", "judged", "practice")

QUANTITIES: tuple[str, ...] = (
    "lift_deg",
    "lift_knee_bent_deg",
    "rest_deg",
    "rest_on_table_deg",
    "pushdown_deg",
    "moment_neutral_Nm",
    "share_of_normal",
    "hindfoot_in_lift_deg",
    "reach_margin_mm",
    "junction_pull_N",
    "swing_ankle_deg",
    "heel_strike_deg",
    "steppage_hip_deg",
)
"""The keys of `Outcome.quantities`; a quantity that was not computed is absent, never a placeholder number.

`lift_deg`, `lift_knee_bent_deg`, `rest_deg`, `rest_on_table_deg`, `pushdown_deg`: ankle angles, dorsiflexion +, so a
foot that can still be pushed 20 deg down has `pushdown_deg` = -20. `moment_neutral_Nm`: + lifts the foot.
`share_of_normal`: fraction, 1 = normal. `hindfoot_in_lift_deg`: inversion +. `reach_margin_mm`: + = to spare.
`swing_ankle_deg`, `heel_strike_deg`: ankle at mid-swing and at heel strike. `steppage_hip_deg`: extra hip flexion that
would clear the floor, 0 where nothing extra is needed.
"""

CHANCES: tuple[str, ...] = ("lifts_to_neutral", "clears_swing", "lowers_foot")
"""The keys of `Outcome.chances`: full effort lifts the foot to neutral or above with the knee straight, and the tendon
reaches; the sole passes the floor with the margin asked for, without a brace; the lifting
moment at heel strike is at least what the floor asks for, so that the foot is let down and does not slap."""

CALF_PROCEDURES: tuple[str, ...] = ("none", "gastrocnemius recession", "achilles lengthening")


@dataclass(frozen=True)
class Posture:
    """A posture of the limb [deg]: dorsiflexion +, inversion +, knee flexion +."""

    ankle_deg: float
    subtalar_deg: float
    knee_deg: float

    def __post_init__(self) -> None:
        for each in fields(self):
            refuse_not_finite("Posture", each.name, getattr(self, each.name))


@dataclass(frozen=True)
class OperationSummary:
    """One operation that can be weighed, or not operating.

    `fixing` is the posture in which the junction is sewn; `set_stretch_mm` [mm] is how far the donor's
    muscle-tendon junction then lies beyond its start point. `title` and `subtitle` are in words of the trade.
    """

    id: str
    donor: str
    route: str
    recipient: str
    fixing: Posture
    set_stretch_mm: float
    title: str
    subtitle: str

    def __post_init__(self) -> None:
        refuse_not_finite("OperationSummary", "set_stretch_mm", self.set_stretch_mm)
        for name in ("id", "title"):
            if not getattr(self, name).strip():
                raise ValueError(f"Choice.{name} is empty")


@dataclass(frozen=True)
class View:
    """What one source says: `text` one sentence, `key` of the source, `source` its rows and citation for print.

    Views of one rule may disagree; they are shown side by side, never merged.
    """

    text: str
    key: str
    source: str
    known: Known

    def __post_init__(self) -> None:
        if self.known not in KNOWN:
            raise ValueError(f"View.known is {self.known!r}, allowed: {', '.join(KNOWN)}")
        for name in ("text", "key", "source"):
            if not getattr(self, name).strip():
                raise ValueError(f"View.{name} is empty")


@dataclass(frozen=True)
class Fired:
    """One rule that spoke: `text` is one sentence with the finding that fired it, `views` what its sources say.

    A `block` sets the operation aside unless `override` holds the written reason of the case file.
    """

    code: str
    kind: Kind
    text: str
    views: tuple[View, ...]
    override: str = ""

    def __post_init__(self) -> None:
        if self.kind not in ("warn", "block"):
            raise ValueError(f"Fired.kind is {self.kind!r}, allowed: warn, block")
        if not self.text.strip() or not self.views:
            raise ValueError(f"Fired {self.code} needs a sentence and at least one view")
        if self.override and self.kind != "block":
            raise ValueError(f"Fired {self.code} warns only: there is nothing to override")

    @property
    def stops(self) -> bool:
        """True for a block without a written reason against it."""
        return self.kind == "block" and not self.override


@dataclass(frozen=True)
class Alternative:
    """A way other than moving a tendon: does it suit this patient, why, and what is known. No predicted number."""

    id: str
    title: str
    suits: Suits
    reason: str
    views: tuple[View, ...]

    def __post_init__(self) -> None:
        if self.suits not in ("yes", "unclear", "no"):
            raise ValueError(f"Option.suits is {self.suits!r}, allowed: yes, unclear, no")
        if not self.reason.strip() or not self.views:
            raise ValueError(f"Option {self.id} needs a reason and at least one view")


@dataclass(frozen=True)
class Balance:
    """What can turn the foot in and out at neutral in stance, before and after muscles left their place.

    Moments [N.m] at full effort about the subtalar axis, both positive; the calf apart, inversion +. A share is
    inward over inward plus outward [0..1], 0.5 = even; None where too few legs have any. `flags` are sentences.
    """

    inward_before_Nm: Spread
    outward_before_Nm: Spread
    inward_after_Nm: Spread
    outward_after_Nm: Spread
    calf_Nm: Spread
    inward_share_before: Spread | None = None
    inward_share_after: Spread | None = None
    flags: tuple[str, ...] = ()


@dataclass(frozen=True)
class Goal:
    """One thing that matters to the patient: its weight (all add to 1) and how its scale from 0 to 1 is read."""

    name: str
    weight: float
    scale: str


@dataclass(frozen=True)
class Standing:
    """Where one choice stands under the patient's weights.

    `met` mean of each goal over the virtual legs, 0..1, in the order of `Weighing.goals`; `utility` their weighted
    mean in each virtual leg, `mean` its mean over them; `place` by that mean, 1 for the best; `rank` 1 and
    one more for each choice that enough of the virtual legs prefer to it (row own-told-apart): choices which the
    numbers do not tell apart share a rank; `first_better` share of the virtual legs that prefer the first choice (0.5
    for itself); `pareto_front` False when another choice is as good in every weighed goal and better in one;
    `reserve` id of the best remaining choice if this one fails.
    """

    met: tuple[float, ...]
    utility: Spread
    mean: float
    place: int
    rank: int
    first_better: float
    pareto_front: bool
    reserve: str = ""


@dataclass(frozen=True)
class Outcome:
    """What one choice is predicted to do in this patient.

    `reason` is one sentence; `quantities` maps keys of `QUANTITIES` to a Spread in the unit of the key's ending
    (`share_of_normal` is a fraction, 1 = a normal ankle's lifting moment); absent = not computed.
    `failed_share` [0..1] is the share of draws whose solution failed and which the spreads leave out.
    `rules` are those that spoke about this operation, `balance` what is left to turn the foot in and out, `standing`
    its place under the patient's weights (None when set aside); `chances` maps keys of `CHANCES` to a Chance.
    """

    choice: OperationSummary
    status: Status
    reason: str
    quantities: Mapping[str, Spread] = field(default_factory=dict)
    failed_share: float = 0.0
    rules: tuple[Fired, ...] = ()
    balance: Balance | None = None
    standing: Standing | None = None
    chances: Mapping[str, Chance] = field(default_factory=dict)

    def __post_init__(self) -> None:
        if self.status not in STATUSES:
            raise ValueError(f"Outcome.status is {self.status!r}, allowed: {', '.join(STATUSES)}")
        unknown = sorted(set(self.quantities) - set(QUANTITIES))
        if unknown:
            raise ValueError(f"Outcome.quantities has unknown keys: {', '.join(unknown)}")
        unknown = sorted(set(self.chances) - set(CHANCES))
        if unknown:
            raise ValueError(f"Outcome.chances has unknown keys: {', '.join(unknown)}")
        if not 0.0 <= self.failed_share <= 1.0:
            raise ValueError(f"Outcome.failed_share is {self.failed_share}, allowed: 0 to 1")
        if self.status != "workable" and not self.reason.strip():
            raise ValueError(f"Outcome.reason is empty but the status is {self.status!r}")
        object.__setattr__(self, "quantities", MappingProxyType(dict(self.quantities)))
        object.__setattr__(self, "chances", MappingProxyType(dict(self.chances)))

    def __reduce__(self) -> tuple[type[Outcome], tuple[object, ...]]:
        """Lets an Outcome travel between processes and be copied, although its mappings are read-only."""
        given = {each.name: getattr(self, each.name) for each in fields(self)}
        given |= {"quantities": dict(self.quantities), "chances": dict(self.chances)}
        return (Outcome, tuple(given.values()))

    def spread(self, key: str) -> Spread | None:
        """The Spread of one of `QUANTITIES`, or None when it was not computed. Raises KeyError for another key."""
        if key not in QUANTITIES:
            raise KeyError(key)
        return self.quantities.get(key)


@dataclass(frozen=True)
class CalfTrial:
    """What leads under any of `CALF_PROCEDURES` as it would be after one of them, each sewn anew.

    `leaders`: ids of what leads after this one, best first, found among `tried` operations on the first `screened`
    of the legs; `chances` of the outcomes come from those legs too. The outcomes of all trials of a weighing run alike.
    """

    procedure: str
    outcomes: tuple[Outcome, ...]
    leaders: tuple[str, ...] = ()
    tried: int = 0
    screened: int = 0

    def __post_init__(self) -> None:
        if self.procedure not in CALF_PROCEDURES:
            raise ValueError(f"CalfTrial.procedure is {self.procedure!r}, allowed: {', '.join(CALF_PROCEDURES)}")


@dataclass(frozen=True)
class Caution:
    """A warning that travels with the plan: `code` for finding it, `text` one sentence, `source` its citation.

    `known` says how it is known: read, quoted, recalled, derived, judged or (common) practice.
    """

    code: str
    text: str
    source: str
    known: Known

    def __post_init__(self) -> None:
        if self.known not in KNOWN:
            raise ValueError(f"Caution.known is {self.known!r}, allowed: {', '.join(KNOWN)}")


@dataclass(frozen=True)
class Weighing:
    """All choices weighed for one patient's leg. The same case, draws and seed give the same Weighing.

    `rules` are those that spoke about the patient whatever is moved; `options` the ways other than a transfer;
    `goals` what matters and how much; `effective_sample_size` of the proposed virtual legs under the
    examination; `calf` the leading choices without and with each calf procedure, empty when the calf is not short;
    `rows` ids of every row of the reference that was used; `answer` its first screen.
    """

    version: str
    seed: int
    draws: int
    side: Side
    pseudonym: str
    warnings: tuple[Caution, ...]
    sources: tuple[str, ...]
    assumptions: tuple[str, ...]
    outcomes: tuple[Outcome, ...]
    tendon: Tendon
    rules: tuple[Fired, ...] = ()
    options: tuple[Alternative, ...] = ()
    goals: tuple[Goal, ...] = ()
    effective_sample_size: float = 0.0
    calf: tuple[CalfTrial, ...] = ()
    rows: tuple[str, ...] = ()
    answer: Answer | None = None

    def __post_init__(self) -> None:
        if self.side not in ("right", "left"):
            raise ValueError(f"Weighing.side is {self.side!r}, allowed: right, left")
        if self.tendon not in ("elastic", "rigid"):
            raise ValueError(f"Weighing.tendon is {self.tendon!r}, allowed: elastic, rigid")
        ids = [outcome.choice.id for outcome in self.outcomes]
        repeated = sorted({each for each in ids if ids.count(each) > 1})
        if repeated:
            raise ValueError(f"Weighing.outcomes repeats choices: {', '.join(repeated)}")
