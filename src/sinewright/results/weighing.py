"""What a weighing of the choices says, as frozen data.

Every quantity is a distribution over virtual legs, kept as five percentiles. Angles are in degrees, lengths
in millimetres, moments in newton metres and forces in newtons: these types stand at the border.
Dorsiflexion, inversion and knee flexion are positive; neutral is the sole square to the shank.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, fields
from types import MappingProxyType
from typing import Annotated, ClassVar, Literal

from pydantic import Field

from sinewright.results.answer import Answer, Opening
from sinewright.results.brief import Brief, in_hundred, middle
from sinewright.results.document import Computed
from sinewright.results.spread import AS_TABLE, Basis, Chance, Spread, names, refuse_not_finite

Status = Literal["workable", "doubtful", "set aside"]
Known = Literal["read", "quoted", "recalled", "derived", "judged", "practice"]
Tendon = Literal["elastic", "rigid"]
Kind = Literal["warn", "block"]
Suits = Literal["yes", "unclear", "no"]
Severity = Literal["danger", "caution", "note"]
Costs = Literal["nothing", "first place", "offer"]

STATUSES: tuple[Status, ...] = ("workable", "doubtful", "set aside")
SEVERITIES: tuple[Severity, ...] = ("danger", "caution", "note")
COSTS: tuple[Costs, ...] = ("nothing", "first place", "offer")
KNOWN: tuple[Known, ...] = ("read", "quoted", "recalled", "derived", "judged", "practice")

QUANTITY_WORDS: Mapping[str, str] = {
    "lift_deg": "ankle angle, donor at full effort, knee straight; dorsiflexion +",
    "lift_knee_bent_deg": "the same with the knee bent; dorsiflexion +",
    "rest_deg": "ankle angle, foot hanging, nobody contracting; dorsiflexion +",
    "rest_on_table_deg": "ankle angle at rest lying on the table; dorsiflexion +",
    "pushdown_deg": "lowest ankle angle the calf reaches; plantarflexion negative",
    "moment_neutral_Nm": "moment at neutral; + lifts the foot",
    "share_of_normal": "that moment over a normal one, as a fraction",
    "hindfoot_in_lift_deg": "subtalar angle in lift; inversion +",
    "reach_margin_mm": "tendon to spare at the recipient; - falls short",
    "junction_pull_N": "pull across the junction",
    "swing_ankle_deg": "ankle angle at mid-swing, unhurried walk; dorsiflexion +",
    "heel_strike_deg": "ankle angle at heel strike; dorsiflexion +",
    "steppage_hip_deg": "extra hip flexion that would clear the floor; 0 = none needed",
}
"""What stands under `Outcome.quantities`; a quantity that was not computed is absent, never a placeholder number."""
QUANTITIES = tuple(QUANTITY_WORDS)
Spreads = Annotated[Mapping[str, Spread], AS_TABLE, names(QUANTITY_WORDS)]

CHANCE_WORDS: Mapping[str, str] = {
    "lifts_to_neutral": "full effort lifts the foot to neutral or above, knee straight, and the tendon reaches",
    "clears_swing": "the sole passes the floor with the margin asked for, without a brace",
    "lowers_foot": "the lifting moment at heel strike is at least what the floor asks for: the foot does not slap",
}
"""What stands under `Outcome.chances`."""
CHANCES = tuple(CHANCE_WORDS)
Chances = Annotated[Mapping[str, Chance], AS_TABLE, names(CHANCE_WORDS)]

CALF_PROCEDURES: tuple[str, ...] = ("none", "gastrocnemius recession", "achilles lengthening")


@dataclass(frozen=True)
class Posture:
    """A posture of the limb [deg]: dorsiflexion +, inversion +, knee flexion +."""

    ankle_deg: float
    """ankle angle; dorsiflexion +"""
    subtalar_deg: float
    """hindfoot angle; inversion +"""
    knee_deg: float
    """knee angle; flexion +"""

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
    """name of the operation"""
    donor: str
    """muscle that is moved"""
    route: str
    """way of its tendon"""
    recipient: str
    """what it is sewn to"""
    fixing: Posture
    """posture in which the junction is sewn"""
    set_stretch_mm: float
    """donor's junction beyond its start point once sewn; tighter +"""
    title: str
    """donor and route in words of the trade"""
    subtitle: str
    """the rest in words of the trade"""

    def __post_init__(self) -> None:
        refuse_not_finite("OperationSummary", "set_stretch_mm", self.set_stretch_mm)
        for name in ("id", "title"):
            if not getattr(self, name).strip():
                raise ValueError(f"OperationSummary.{name} is empty")


@dataclass(frozen=True)
class View:
    """What one source says: `text` one sentence, `key` of the source, `source` its rows and citation for print.

    Views of one rule may disagree; they are shown side by side, never merged.
    """

    text: str
    """what the source says, one sentence"""
    key: str
    """key of the source"""
    source: str
    """its rows and citation"""
    known: Known
    """how it is known"""

    def __post_init__(self) -> None:
        if self.known not in KNOWN:
            raise ValueError(f"View.known is {self.known!r}, allowed: {', '.join(KNOWN)}")
        for name in ("text", "key", "source"):
            if not getattr(self, name).strip():
                raise ValueError(f"View.{name} is empty")


@dataclass(frozen=True)
class Fired:
    """One rule that spoke: `text` is one sentence with the finding that fired it, `views` what its sources say.

    A `block` sets the operation aside unless `override` holds the written reason of the case file. `severity` says how
    far in front the sentence stands: a danger is never left out. `costs` says what it takes from the operation it is
    about: nothing, the first place (it ranks behind whatever lifts without such a finding), or the offer (it ranks
    behind not operating); a written reason gives it back. `opens` names the one change that would silence it.
    """

    code: str
    """name of the rule"""
    kind: Kind
    """warn, or block: sets the operation aside"""
    text: str
    """one sentence with the finding that fired it"""
    views: Annotated[tuple[View, ...], Field(exclude=True)]
    """what its sources say; a document lists them once, by the code of the rule"""
    override: str = ""
    """written reason against a block; empty: none"""
    severity: Severity = "caution"
    """how far in front it stands: a danger is never left out"""
    costs: Costs = "nothing"
    """what it takes from the operation: nothing, the first place, or the offer"""
    opens: str = ""
    """the one change that would silence it; empty: none is named"""

    def __post_init__(self) -> None:
        if self.kind not in ("warn", "block"):
            raise ValueError(f"Fired.kind is {self.kind!r}, allowed: warn, block")
        if self.severity not in SEVERITIES:
            raise ValueError(f"Fired.severity is {self.severity!r}, allowed: {', '.join(SEVERITIES)}")
        if self.costs not in COSTS:
            raise ValueError(f"Fired.costs is {self.costs!r}, allowed: {', '.join(COSTS)}")
        if not self.text.strip() or not self.views:
            raise ValueError(f"Fired {self.code} needs a sentence and at least one view")
        if self.override and self.kind != "block" and self.costs == "nothing":
            raise ValueError(f"Fired {self.code} warns only: there is nothing to override")

    @property
    def stops(self) -> bool:
        """True for a block without a written reason against it."""
        return self.kind == "block" and not self.override

    @property
    def takes(self) -> Costs:
        """What it costs as the case stands: nothing once there is a written reason against it."""
        return "nothing" if self.override else self.costs

    @property
    def rank(self) -> tuple[bool, int]:
        """Key that sorts what stops before what warns, and dangers before cautions before notes."""
        return (not self.stops, SEVERITIES.index(self.severity))


@dataclass(frozen=True)
class Alternative:
    """A way other than moving a tendon: does it suit this patient, why, and what is known. No predicted number."""

    id: str
    """name of the way"""
    title: str
    """the way in words"""
    suits: Suits
    """whether it suits this patient"""
    reason: str
    """why, one sentence"""
    views: tuple[View, ...]
    """what sources say"""

    def __post_init__(self) -> None:
        if self.suits not in ("yes", "unclear", "no"):
            raise ValueError(f"Alternative.suits is {self.suits!r}, allowed: yes, unclear, no")
        if not self.reason.strip() or not self.views:
            raise ValueError(f"Alternative {self.id} needs a reason and at least one view")


@dataclass(frozen=True)
class Balance:
    """What can turn the foot in and out at neutral in stance, before and after muscles left their place.

    Moments [N.m] at full effort about the subtalar axis, both positive; the calf apart, inversion +. A share is
    inward over inward plus outward [0..1], 0.5 = even; None where too few legs have any. `flags` are sentences.
    """

    inward_before_Nm: Spread
    """what turns the sole in, before; calf left out"""
    outward_before_Nm: Spread
    """what turns the sole out, before; printed positive"""
    inward_after_Nm: Spread
    """what turns the sole in, after muscles left their place"""
    outward_after_Nm: Spread
    """what turns the sole out, after"""
    calf_Nm: Spread
    """the calf apart; inversion +"""
    inward_share_before: Spread | None = None
    """inward over both, before; 0.5 = even; null: too few legs have any"""
    inward_share_after: Spread | None = None
    """inward over both, after"""
    flags: tuple[str, ...] = ()
    """what to mind, in sentences"""


@dataclass(frozen=True)
class Goal:
    """One thing that matters to the patient: its weight (all add to 1) and how its scale from 0 to 1 is read.

    `swing`: by how much it differs among what can be offered here, 0..1; `decides`: its weight times that, as a share
    of all goals. A goal that every choice meets alike decides nothing, however much it weighs.
    """

    name: str
    """name of the goal"""
    weight: float
    """how much it matters; all weights add to 1"""
    scale: str
    """how 0 to 1 is read"""
    swing: float = 0.0
    """by how much it differs among what can be offered [0..1]"""
    decides: float = 0.0
    """its weight times that, as a share of all goals [0..1]"""


@dataclass(frozen=True)
class Standing:
    """Where one choice stands in the ladder under the patient's weights, not operating and the brace counted.

    Choices that the numbers do not tell apart share a `rank`. `tied` is true for the first's tier alone: too few legs
    surely prefer the first (row own-told-apart), or the mean difference `behind` is within two of its errors.
    """

    met: Mapping[str, float]
    """mean of each goal over the virtual legs, by its name [0..1]"""
    utility: Spread
    """weighted mean of the goals in each virtual leg [0..1]"""
    mean: float
    """mean of the utility"""
    place: int
    """1 for what leads: by tier, then utility, then clearing among what is too close to call"""
    rank: int
    """1 and one more for each choice of a better tier or told apart and better; shared = not told apart"""
    first_better: float
    """share of the virtual legs that prefer the first choice [0..1]"""
    pareto_front: bool
    """false when another choice is as good in every weighed goal and better in one"""
    reserve: str = ""
    """id of the best choice left if this one fails; empty: none is left"""
    behind: float = 0.0
    """by how much the first choice is worth more, mean of the differences in the same virtual legs [0..1]"""
    behind_error: float = 0.0
    """standard error of that mean, from the number of legs alone"""
    tied: bool | None = None
    """true when it is too close to the first choice to call; null in documents that did not say"""
    tier: str = ""
    """lifts, with or without a danger; not operating; not to be offered; no better than today; below the floor"""


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
    """the operation as it is sewn"""
    status: Status
    """workable, doubtful or set aside"""
    reason: str
    """why, one sentence"""
    quantities: Spreads = field(default_factory=dict)
    """by name, in the unit of the name's ending; absent: not computed"""
    failed_share: float = 0.0
    """share of the virtual legs without a solution, left out [0..1]"""
    rules: tuple[Fired, ...] = ()
    """rules that spoke about this operation, blocks first"""
    balance: Balance | None = None
    """stance balance before and after; null: not computed"""
    standing: Standing | None = None
    """place under the weights; null when set aside"""
    chances: Chances = field(default_factory=dict)
    """shares of the virtual legs, by name; absent: not computed"""

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
    """calf procedure"""
    outcomes: tuple[Outcome, ...]
    """what leads under any calf procedure, as it would be after this one; the sewing is chosen anew"""
    leaders: tuple[str, ...] = ()
    """ids of what leads after this procedure, best first"""
    tried: int = 0
    """operations screened"""
    screened: int = 0
    """virtual legs on which they were, and on which the chances stand"""

    def __post_init__(self) -> None:
        if self.procedure not in CALF_PROCEDURES:
            raise ValueError(f"CalfTrial.procedure is {self.procedure!r}, allowed: {', '.join(CALF_PROCEDURES)}")


@dataclass(frozen=True)
class Caution:
    """A warning that travels with the plan: `code` for finding it, `text` one sentence, `source` its citation.

    `known` says how it is known: read, quoted, recalled, derived, judged or (common) practice.
    """

    code: str
    """name of the warning"""
    text: str
    """one sentence"""
    source: str
    """its citation"""
    known: Known
    """how it is known"""

    def __post_init__(self) -> None:
        if self.known not in KNOWN:
            raise ValueError(f"Caution.known is {self.known!r}, allowed: {', '.join(KNOWN)}")


def in_order(outcomes: Sequence[Outcome]) -> list[Outcome]:
    """By place under the weights; those without a place after them, by status and id."""

    def key(outcome: Outcome) -> tuple[float, int, str]:
        place = outcome.standing.place if outcome.standing else float("inf")
        return place, STATUSES.index(outcome.status), outcome.choice.id

    return sorted(outcomes, key=key)


def views_by_code(rules: Iterable[Fired]) -> dict[str, tuple[View, ...]]:
    """What sources say, once for each rule."""
    return {rule.code: rule.views for rule in sorted(rules, key=lambda rule: rule.code)}


@dataclass(frozen=True, kw_only=True)
class Weighing(Computed):
    """Every operation weighed for one patient's leg. The same case, draws and seed give the same document.

    The operations stand in order, whatever the order in which they were computed.
    """

    document: Literal["weigh"] = "weigh"
    """kind of the document"""
    tendon: Tendon
    """whether tendons give"""
    effective_sample_size: float = 0.0
    """of the proposed virtual legs under the examination"""
    basis: Basis | None = None
    """the virtual legs behind the numbers"""
    goals: tuple[Goal, ...] = ()
    """what matters to the patient"""
    warnings: tuple[Caution, ...]
    """what travels with the plan"""
    assumptions: tuple[str, ...]
    """what was assumed, in words"""
    sources: tuple[str, ...]
    """citations behind the rows"""
    rows: tuple[str, ...] = ()
    """ids of every row of the reference that was used"""
    rules: tuple[Fired, ...] = ()
    """rules that spoke about the patient, whatever is moved"""
    rule_views: Mapping[str, tuple[View, ...]] = field(init=False, default_factory=dict)
    """what sources say, by the code of each rule"""
    options: tuple[Alternative, ...] = ()
    """ways other than a transfer, from least to most done"""
    calf: tuple[CalfTrial, ...] = ()
    """without and with each calf procedure; empty when the calf is not short"""
    answer: Answer | None = None
    """the first screen of the weighing; null while it is being computed"""
    without: tuple[Outcome, ...] = ()
    """not operating and the brace, with their places in the same ladder"""
    calf_procedure: str = "none"
    """the calf procedure that every operation is weighed with"""
    calf_assumed: bool = False
    """true where the plan does not name it and the examination asks for it"""
    openings: tuple[Opening, ...] = ()
    """what would open an operation that stands aside"""
    sentences: tuple[str, ...] = ()
    """what the ladder says: against not operating, among those too close to call, under other weights"""
    refused: str = ""
    """why no number is given, and which finding to check; empty: numbers are given"""
    outcomes: tuple[Outcome, ...]
    """every operation: by place under the weights; those set aside come last"""

    def findings_on(self, outcome: Outcome) -> tuple[Fired, ...]:
        """What speaks about one choice and about the patient: what stops first, then dangers; none is left out."""
        return tuple(sorted((*outcome.rules, *self.rules), key=lambda fired: fired.rank))

    @property
    def ladder(self) -> tuple[Outcome, ...]:
        """Everything with a place, best first, not operating and the brace among it."""
        placed = [(one.standing.place, one) for one in (*self.outcomes, *self.without) if one.standing]
        return tuple(one for _, one in sorted(placed, key=lambda each: each[0]))

    def __post_init__(self) -> None:
        super().__post_init__()
        if self.tendon not in ("elastic", "rigid"):
            raise ValueError(f"Weighing.tendon is {self.tendon!r}, allowed: elastic, rigid")
        ids = [outcome.choice.id for outcome in self.outcomes]
        repeated = sorted({each for each in ids if ids.count(each) > 1})
        if repeated:
            raise ValueError(f"Weighing.outcomes repeats choices: {', '.join(repeated)}")
        object.__setattr__(self, "outcomes", tuple(in_order(self.outcomes)))
        every = (*self.rules, *(rule for outcome in self.outcomes for rule in outcome.rules))
        object.__setattr__(self, "rule_views", views_by_code(every))

    def brief(self) -> Brief:
        """The leading operations; those set aside are counted."""
        left = [outcome for outcome in self.outcomes if outcome.status != "set aside"]
        rows = tuple(
            (f"{one.choice.title}, {one.choice.subtitle}", one.status, middle(one.spread("lift_deg"), "deg"),
             in_hundred(one.chances.get("clears_swing")),
             f"{100 * one.standing.mean:.0f} of 100" if one.standing else "")
            for one in left[: self.SHOWN]
        )  # fmt: skip
        heads = ("operation", "status", "lift, up +", "clears in swing", "weighted goals")
        more = f"{len(left)} operations can be offered, {len(self.outcomes) - len(left)} are set aside."
        return Brief(self.title(f"{self.draws} virtual legs, seed {self.seed}"), heads, rows, (more,))

    SHOWN: ClassVar[int] = 8
