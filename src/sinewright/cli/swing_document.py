"""The swing of one choice as a JSON document: docs/swing.schema.json is made from the models below."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

from pydantic import Field

from sinewright.cli.document import (
    ChancePart,
    FixingPart,
    Part,
    Rounded,
    SpreadPart,
    chance_part,
    fixing_part,
    json_text,
    rounded,
    schema_text,
    spread_part,
)
from sinewright.results import Chance, Side, Spread

if TYPE_CHECKING:
    from sinewright.results import SwingFoot, SwingPage


class FootPart(Part):
    """One foot from toe-off to heel strike; a moment that was not computed is null."""

    name: str = Field(description="today, brace, learned, untrained, trained or healthy")
    title: str
    swing_ankle_deg: SpreadPart = Field(description="ankle at mid-swing; dorsiflexion +")
    swing_hindfoot_deg: SpreadPart = Field(description="hindfoot at mid-swing; inversion +")
    heel_strike_deg: SpreadPart = Field(description="ankle at heel strike; dorsiflexion +")
    heel_strike_hindfoot_deg: SpreadPart = Field(description="hindfoot at heel strike; inversion +")
    clearance_mm: SpreadPart = Field(description="least height of the sole above the floor; below it negative")
    steppage_hip_deg: SpreadPart = Field(description="extra hip flexion that would clear; 0 = none needed")
    steppage_knee_deg: SpreadPart = Field(description="extra knee flexion that goes with it")
    available_Nm: SpreadPart | None = Field(description="lifting moment at heel strike, held still")
    demand_Nm: SpreadPart | None = Field(description="moment with which the floor pushes the foot down")
    clears_swing: ChancePart
    lowers_foot: ChancePart | None = Field(description="available is at least the demand: no slap")
    failed_share: Rounded


class SwingDocument(Part):
    """What `sinewright swing` found for one choice: a calculation to think with, not a medical device."""

    version: str
    seed: int
    draws: int
    side: Side
    pseudonym: str
    id: str
    title: str
    subtitle: str
    fixing: FixingPart
    set_stretch_mm: Rounded
    speed_m_s: Rounded
    margin_mm: Rounded
    feet: tuple[FootPart, ...]
    per_degree_mm: dict[str, SpreadPart] = Field(description="clearance gained by one degree of ankle, knee, hip")
    notes: tuple[str, ...]
    rows: tuple[str, ...] = Field(description="ids of the evidence rows behind the walk")


def swing_text(page: SwingPage, version: str, seed: int, draws: int, side: Side, pseudonym: str) -> str:
    """The JSON document of a swing, ending in a newline."""
    document = SwingDocument(
        version=version,
        seed=seed,
        draws=draws,
        side=side,
        pseudonym=pseudonym,
        id=page.choice.id,
        title=page.choice.title,
        subtitle=page.choice.subtitle,
        fixing=fixing_part(page.choice.fixing),
        set_stretch_mm=rounded(page.choice.set_stretch_mm),
        speed_m_s=rounded(page.speed_m_s),
        margin_mm=rounded(page.margin_mm),
        feet=tuple(_foot(foot) for foot in page.feet),
        per_degree_mm={joint: spread_part(spread) for joint, spread in page.per_degree_mm.items()},
        notes=page.notes,
        rows=page.rows,
    )
    return json_text(document.model_dump(mode="json"))


def _foot(foot: SwingFoot) -> FootPart:
    return FootPart(
        name=foot.name,
        title=foot.title,
        swing_ankle_deg=spread_part(foot.swing_ankle_deg),
        swing_hindfoot_deg=spread_part(foot.swing_hindfoot_deg),
        heel_strike_deg=spread_part(foot.heel_strike_deg),
        heel_strike_hindfoot_deg=spread_part(foot.heel_strike_hindfoot_deg),
        clearance_mm=spread_part(foot.clearance_mm),
        steppage_hip_deg=spread_part(foot.steppage_hip_deg),
        steppage_knee_deg=spread_part(foot.steppage_knee_deg),
        available_Nm=_or_null(foot.available_Nm),
        demand_Nm=_or_null(foot.demand_Nm),
        clears_swing=_sure(foot.clears_swing),
        lowers_foot=chance_part(foot.lowers_foot),
        failed_share=rounded(foot.failed_share),
    )


def _or_null(spread: Spread | None) -> SpreadPart | None:
    return None if spread is None else spread_part(spread)


def _sure(chance: Chance) -> ChancePart:
    part = chance_part(chance)
    assert part is not None
    return part


if __name__ == "__main__":
    target = Path(sys.argv[1] if len(sys.argv) > 1 else "docs/swing.schema.json")
    target.write_text(schema_text(SwingDocument), encoding="utf-8")
