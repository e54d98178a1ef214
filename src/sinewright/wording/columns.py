"""The quantities of the choice ladder and of the tension ruler: heading, label, and how their numbers are said."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from sinewright.results import Spread
from sinewright.wording.counts import percent
from sinewright.wording.directions import IN_OUT, MOMENT, MORE, PERCENT, PULL, REACH, UP_DOWN, Direction

LADDER_TITLE = "Choice ladder: ordered by weighted goals; the bar shows lift"
# No source gives a firm ankle angle for clearing the toes (row ga-cadence-swing-share): neutral is our mark.
ZONE_DEG = (0.0, 90.0)


@dataclass(frozen=True)
class Column:
    """One quantity of the ladder: its key, a two-line heading, a label for sentences, how its numbers are said."""

    key: str
    heading: tuple[str, str]
    label: str
    heading_unit: str
    direction: Direction
    prepare: Callable[[float], float] = float

    def cell(self, spread: Spread | None, degree: str) -> tuple[str, str]:
        """The middle, and below it the nine-tenths."""
        if spread is None:
            return ("not computed", "")
        low, middle, high = (self.prepare(value) for value in (spread.p05, spread.p50, spread.p95))
        return self.direction.one(middle, degree), self.direction.between(low, high)


LADDER_COLUMNS: Sequence[Column] = (
    Column("lift_deg", ("lift,", "knee straight"), "lift", "deg", UP_DOWN),
    Column("rest_deg", ("at rest,", "hanging"), "at rest hanging", "deg", UP_DOWN),
    Column("pushdown_deg", ("push-down", "kept"), "push-down kept", "deg", UP_DOWN),
    Column("moment_neutral_Nm", ("moment at", "neutral"), "moment at neutral", "", MOMENT),
    Column(
        "share_of_normal",
        ("of normal", "moment"),
        "of a normal moment",
        heading_unit="",
        direction=PERCENT,
        prepare=percent,
    ),
    Column("hindfoot_in_lift_deg", ("hindfoot", "in lift"), "hindfoot in lift", "deg", IN_OUT),
    Column("reach_margin_mm", ("reach to", "spare"), "reach", "", REACH),
    Column("swing_ankle_deg", ("ankle in", "mid-swing"), "ankle in mid-swing", "deg", UP_DOWN),
    Column("heel_strike_deg", ("at heel", "strike"), "at heel strike", "deg", UP_DOWN),
    Column("steppage_hip_deg", ("extra hip", "flexion"), "extra hip flexion to clear", "deg", MORE),
)
"""In the order of printing; what does not fit beside the bar is told in words under each choice."""

RULER_COLUMNS: Sequence[Column] = (
    Column("lift_deg", ("lift,", "knee straight"), "lift, knee straight", "deg", UP_DOWN),
    Column("rest_deg", ("at rest,", "hanging"), "at rest, hanging", "deg", UP_DOWN),
    Column("pushdown_deg", ("push-down", "kept"), "push-down kept", "deg", UP_DOWN),
    Column("moment_neutral_Nm", ("moment at", "neutral"), "lifting moment at neutral", "", MOMENT),
    Column("junction_pull_N", ("pull on", "junction"), "pull on the junction", "", PULL),
)
"""What the tension ruler shows above its millimetres, from top to bottom."""
