"""The results as a JSON document, defined by the models below: docs/weigh.schema.json is made from them."""

from __future__ import annotations

import json
import sys
from collections.abc import Sequence
from dataclasses import fields
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field

from sinewright.results import (
    CHANCES,
    QUANTITIES,
    Balance,
    Chance,
    Fired,
    Goal,
    Kind,
    Known,
    Outcome,
    Posture,
    Side,
    Spread,
    Standing,
    Status,
    Suits,
    Tendon,
    View,
    Weighing,
)

DECIMALS = 4
Rounded = Annotated[float, Field(allow_inf_nan=False)]


class Part(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class SpreadPart(Part):
    """Percentiles over the virtual legs: half lie from p25 to p75, nine-tenths from p05 to p95."""

    p05: Rounded
    p25: Rounded
    p50: Rounded
    p75: Rounded
    p95: Rounded


class ChancePart(Part):
    """Share of the virtual legs [0..1]; low to high: 95 % interval of the count alone (Wilson)."""

    share: Rounded
    low: Rounded
    high: Rounded
    draws: int


class FixingPart(Part):
    """Posture in which the junction is sewn: dorsiflexion +, inversion +, knee flexion +."""

    ankle_deg: Rounded
    subtalar_deg: Rounded
    knee_deg: Rounded


class WarningPart(Part):
    """A warning with its source; `known` says how it is known."""

    code: str
    text: str
    source: str
    known: Known


class ViewPart(Part):
    """What one source says. Views of one rule may disagree: they stand side by side."""

    text: str
    key: str
    source: str
    known: Known


class RulePart(Part):
    """A rule that spoke; `override` is the written reason against a block, null when there is none."""

    code: str
    kind: Kind
    text: str
    override: str | None


class OptionPart(Part):
    """A way other than moving a tendon: whether it suits, why, and what is known. Nothing is predicted."""

    id: str
    title: str
    suits: Suits
    reason: str
    views: tuple[ViewPart, ...]


class BalancePart(Part):
    """What can turn the foot in and out at neutral in stance at full effort; shares: inward over both, 0.5 = even."""

    inward_before_Nm: SpreadPart
    outward_before_Nm: SpreadPart
    inward_after_Nm: SpreadPart
    outward_after_Nm: SpreadPart
    calf_Nm: SpreadPart = Field(description="the calf apart; inversion +")
    inward_share_before: SpreadPart | None
    inward_share_after: SpreadPart | None
    flags: tuple[str, ...]


class GoalPart(Part):
    """What matters to the patient and how much; weights add to 1, `scale` says how 0 to 1 is read."""

    name: str
    weight: Rounded
    scale: str


class StandingPart(Part):
    """Where a choice stands under the weights; shares and worth from 0 to 1."""

    met: dict[str, Rounded] = Field(description="mean of each goal over the virtual legs, by its name")
    utility: SpreadPart = Field(description="weighted mean of the goals in each virtual leg")
    mean: Rounded = Field(description="mean of the worth; the choices stand in its order")
    place: int = Field(description="1 for the highest mean")
    rank: int = Field(description="1 and one more for each choice that enough legs prefer (row own-told-apart)")
    first_better: Rounded = Field(description="share of the virtual legs that prefer the first choice")
    pareto_front: bool = Field(
        description="false when another choice is as good in every weighed goal and better in one"
    )
    reserve: str | None = Field(description="id of the best choice left if this one fails; null when none is left")


class ChoicePart(Part):
    """One choice and what it is predicted to do; a quantity that was not computed is null."""

    id: str
    donor: str
    route: str
    recipient: str
    title: str
    subtitle: str
    fixing: FixingPart
    set_stretch_mm: Rounded
    status: Status
    reason: str
    failed_share: Rounded = Field(description="share of the virtual legs without a solution, left out below [0..1]")
    lift_deg: SpreadPart | None = Field(description="ankle angle, donor at full effort, knee straight; dorsiflexion +")
    lift_knee_bent_deg: SpreadPart | None = Field(description="the same with the knee bent; dorsiflexion +")
    rest_deg: SpreadPart | None = Field(description="ankle angle, foot hanging, nobody contracting; dorsiflexion +")
    rest_on_table_deg: SpreadPart | None = Field(description="ankle angle at rest lying on the table; dorsiflexion +")
    pushdown_deg: SpreadPart | None = Field(description="lowest ankle angle the calf reaches; plantarflexion negative")
    moment_neutral_Nm: SpreadPart | None = Field(description="moment at neutral; + lifts the foot")
    share_of_normal: SpreadPart | None = Field(description="that moment over a normal one, as a fraction")
    hindfoot_in_lift_deg: SpreadPart | None = Field(description="subtalar angle in lift; inversion +")
    reach_margin_mm: SpreadPart | None = Field(description="tendon to spare at the recipient; - falls short")
    junction_pull_N: SpreadPart | None = Field(description="pull across the junction")
    swing_ankle_deg: SpreadPart | None = Field(description="ankle angle at mid-swing, unhurried walk; dorsiflexion +")
    heel_strike_deg: SpreadPart | None = Field(description="ankle angle at heel strike; dorsiflexion +")
    steppage_hip_deg: SpreadPart | None = Field(description="extra hip flexion that would clear the floor; 0 = none")
    lifts_to_neutral: ChancePart | None = Field(description="full effort lifts to neutral, knee straight; it reaches")
    clears_swing: ChancePart | None = Field(description="the sole passes the floor with the usual margin, no brace")
    lowers_foot: ChancePart | None = Field(description="moment at heel strike is at least what the floor asks for")
    rules: tuple[RulePart, ...] = Field(description="rules that spoke about this operation, blocks first")
    balance: BalancePart | None = Field(description="stance balance before and after; null when it was not computed")
    standing: StandingPart | None = Field(description="place under the weights; null when set aside")


class CalfChoicePart(Part):
    """A choice that leads under some calf procedure, as it would be after this one; the sewing is chosen anew."""

    id: str
    fixing: FixingPart
    set_stretch_mm: Rounded
    status: Status
    lift_deg: SpreadPart | None
    rest_deg: SpreadPart | None
    pushdown_deg: SpreadPart | None
    clears_swing: ChancePart | None = Field(description="as for a choice, on the legs of the screen")


class CalfPart(Part):
    """Every operation screened with one calf procedure, and what leads under any of them on all legs."""

    procedure: str
    tried: int = Field(description="operations screened")
    screened: int = Field(description="virtual legs on which they were")
    leaders: tuple[str, ...] = Field(description="ids of what leads after this procedure, best first")
    choices: tuple[CalfChoicePart, ...]


class WeighDocument(Part):
    """What `sinewright weigh` found: a calculation to think with, not a medical device.

    It carries no date, so that the same case, draws and seed give the same bytes.
    """

    version: str
    seed: int
    draws: int
    side: Side
    pseudonym: str
    tendon: Tendon
    effective_sample_size: Rounded = Field(description="effective number of proposed virtual legs that agree")
    goals: tuple[GoalPart, ...]
    warnings: tuple[WarningPart, ...]
    assumptions: tuple[str, ...]
    sources: tuple[str, ...]
    rules: tuple[RulePart, ...] = Field(description="rules that spoke about the patient, whatever is moved")
    rule_views: dict[str, tuple[ViewPart, ...]] = Field(description="what sources say, by the code of each rule")
    options: tuple[OptionPart, ...] = Field(description="ways other than a transfer, from least to most done")
    calf: tuple[CalfPart, ...] = Field(description="without and with each calf procedure; empty when it is not short")
    choices: tuple[ChoicePart, ...] = Field(description="by place; those set aside come last")


class CheckPart(Part):
    """One published claim held against the program."""

    id: str
    claim: str
    source_key: str
    citation: str
    setup: str
    expected: str
    found: str
    outcome: Literal["reproduced", "within published spread", "outside", "cannot be checked"]
    reason: str
    row_ids: tuple[str, ...]
    known: Known


def weigh_text(weighing: Weighing, ordered: Sequence[Outcome]) -> str:
    """The JSON document of `weighing` with its choices as `ordered`, ending in a newline."""
    document = WeighDocument(
        version=weighing.version,
        seed=weighing.seed,
        draws=weighing.draws,
        side=weighing.side,
        pseudonym=weighing.pseudonym,
        tendon=weighing.tendon,
        effective_sample_size=rounded(weighing.effective_sample_size),
        goals=tuple(GoalPart(name=g.name, weight=rounded(g.weight), scale=g.scale) for g in weighing.goals),
        warnings=tuple(
            WarningPart(code=each.code, text=each.text, source=each.source, known=each.known)
            for each in weighing.warnings
        ),
        assumptions=weighing.assumptions,
        sources=weighing.sources,
        rules=_rules(weighing.rules),
        rule_views=_views_by_code((*weighing.rules, *(rule for each in ordered for rule in each.rules))),
        options=tuple(
            OptionPart(id=way.id, title=way.title, suits=way.suits, reason=way.reason, views=_views(way.views))
            for way in weighing.options
        ),
        calf=tuple(
            CalfPart(
                procedure=each.procedure,
                tried=each.tried,
                screened=each.screened,
                leaders=each.leaders,
                choices=tuple(_calf(one) for one in each.outcomes),
            )
            for each in weighing.calf
        ),
        choices=tuple(_choice(outcome, weighing.goals) for outcome in ordered),
    )
    return json_text(document.model_dump(mode="json"))


def checks_text(version: str, results: Sequence[Any]) -> str:
    """The JSON document of the published checks, in the order given, ending in a newline."""
    parts = [
        CheckPart(
            id=each.id,
            claim=each.claim,
            source_key=each.source_key,
            citation=each.citation,
            setup=each.setup,
            expected=each.expected_text,
            found=each.found_text,
            outcome=each.outcome,
            reason=each.reason,
            row_ids=tuple(each.row_ids),
            known=each.known,
        ).model_dump(mode="json")
        for each in results
    ]
    return json_text({"version": version, "checks": parts})


def schema_text(document: type[Part] = WeighDocument) -> str:
    """JSON Schema of a document, as it stands in docs/."""
    schema = document.model_json_schema(mode="serialization")
    return json_text({"$schema": "https://json-schema.org/draft/2020-12/schema", **schema})


def _choice(outcome: Outcome, goals: Sequence[Goal]) -> ChoicePart:
    choice = outcome.choice
    return ChoicePart(
        id=choice.id,
        donor=choice.donor,
        route=choice.route,
        recipient=choice.recipient,
        title=choice.title,
        subtitle=choice.subtitle,
        fixing=fixing_part(choice.fixing),
        set_stretch_mm=rounded(choice.set_stretch_mm),
        status=outcome.status,
        reason=outcome.reason,
        failed_share=rounded(outcome.failed_share),
        rules=_rules(outcome.rules),
        balance=_balance(outcome.balance),
        standing=_standing(outcome.standing, goals),
        **_numbers(outcome),
    )


def _numbers(outcome: Outcome) -> dict[str, Any]:
    spreads = {key: _spread(outcome.spread(key)) for key in QUANTITIES}
    return {**spreads, **{key: chance_part(outcome.chances.get(key)) for key in CHANCES}}


def fixing_part(posture: Posture) -> FixingPart:
    return FixingPart(
        ankle_deg=rounded(posture.ankle_deg),
        subtalar_deg=rounded(posture.subtalar_deg),
        knee_deg=rounded(posture.knee_deg),
    )


def _calf(outcome: Outcome) -> CalfChoicePart:
    return CalfChoicePart(
        id=outcome.choice.id,
        fixing=fixing_part(outcome.choice.fixing),
        set_stretch_mm=rounded(outcome.choice.set_stretch_mm),
        status=outcome.status,
        lift_deg=_spread(outcome.spread("lift_deg")),
        rest_deg=_spread(outcome.spread("rest_deg")),
        pushdown_deg=_spread(outcome.spread("pushdown_deg")),
        clears_swing=chance_part(outcome.chances.get("clears_swing")),
    )


def _rules(rules: Sequence[Fired]) -> tuple[RulePart, ...]:
    return tuple(
        RulePart(code=each.code, kind=each.kind, text=each.text, override=each.override or None) for each in rules
    )


def _views(views: Sequence[View]) -> tuple[ViewPart, ...]:
    return tuple(ViewPart(text=each.text, key=each.key, source=each.source, known=each.known) for each in views)


def _views_by_code(rules: Sequence[Fired]) -> dict[str, tuple[ViewPart, ...]]:
    return {each.code: _views(each.views) for each in sorted(rules, key=lambda rule: rule.code)}


def _balance(balance: Balance | None) -> BalancePart | None:
    if balance is None:
        return None
    spreads = {each.name: _spread(getattr(balance, each.name)) for each in fields(balance) if each.name != "flags"}
    return BalancePart.model_validate({**spreads, "flags": balance.flags})


def _standing(standing: Standing | None, goals: Sequence[Goal]) -> StandingPart | None:
    if standing is None:
        return None
    return StandingPart(
        met={goal.name: rounded(share) for goal, share in zip(goals, standing.met, strict=True)},
        utility=spread_part(standing.utility),
        mean=rounded(standing.mean),
        place=standing.place,
        rank=standing.rank,
        first_better=rounded(standing.first_better),
        pareto_front=standing.pareto_front,
        reserve=standing.reserve or None,
    )


def spread_part(spread: Spread) -> SpreadPart:
    return SpreadPart(**{name: rounded(value) for name, value in spread.as_dict().items()})


def _spread(spread: Spread | None) -> SpreadPart | None:
    return None if spread is None else spread_part(spread)


def chance_part(chance: Chance | None) -> ChancePart | None:
    """A chance, or null when it was not computed."""
    if chance is None:
        return None
    share, low, high = (rounded(each) for each in (chance.share, chance.low, chance.high))
    return ChancePart(share=share, low=low, high=high, draws=chance.draws)


def rounded(value: float) -> float:
    """`value` to four decimals, without a negative zero."""
    return round(float(value), DECIMALS) + 0.0


def json_text(content: object) -> str:
    return json.dumps(content, indent=2, ensure_ascii=False, allow_nan=False) + "\n"


if __name__ == "__main__":
    Path(sys.argv[1] if len(sys.argv) > 1 else "docs/weigh.schema.json").write_text(schema_text(), encoding="utf-8")
