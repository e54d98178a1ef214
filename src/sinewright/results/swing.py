"""The swing of one operation beside other feet, in degrees, millimetres and newton metres."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from sinewright.results.brief import Brief, in_hundred, middle
from sinewright.results.document import Computed
from sinewright.results.spread import Chance, Spread
from sinewright.results.weighing import OperationSummary


@dataclass(frozen=True)
class SwingFoot:
    """One foot in swing: angles [deg], clearance [mm], steppage [deg], moments [N.m]; None = not computed.

    `clears_swing`: the sole passes with the margin; `lowers_foot`: the lifting moment at heel strike covers the demand,
    held still; `failed_share` of the virtual legs is left out.
    """

    name: str
    """today, brace, learned, untrained, trained or healthy"""
    title: str
    """the same in words"""
    swing_ankle_deg: Spread
    """ankle at mid-swing; dorsiflexion +"""
    swing_hindfoot_deg: Spread
    """hindfoot at mid-swing; inversion +"""
    heel_strike_deg: Spread
    """ankle at heel strike; dorsiflexion +"""
    heel_strike_hindfoot_deg: Spread
    """hindfoot at heel strike; inversion +"""
    clearance_mm: Spread
    """least height of the sole above the floor; below it negative"""
    steppage_hip_deg: Spread
    """extra hip flexion that would clear the floor; 0 = none needed"""
    steppage_knee_deg: Spread
    """extra knee flexion that goes with it"""
    available_Nm: Spread | None
    """lifting moment at heel strike, held still; null: not computed"""
    demand_Nm: Spread | None
    """moment with which the floor pushes the foot down; null: not computed"""
    clears_swing: Chance
    """the sole passes the floor with the margin, no brace"""
    lowers_foot: Chance | None
    """available is at least the demand: the foot is lowered and does not slap"""
    failed_share: float
    """share of the virtual legs without a solution, left out [0..1]"""


@dataclass(frozen=True, kw_only=True)
class SwingPage(Computed):
    """One choice in swing beside other feet; `per_degree_mm`: least clearance that one degree more of a joint gives."""

    document: Literal["swing"] = "swing"
    """kind of the document"""
    choice: OperationSummary
    """the operation as it is planned"""
    speed_m_s: float
    """walking speed"""
    margin_mm: float
    """clearance asked for under the sole"""
    feet: tuple[SwingFoot, ...]
    """the operation beside other feet"""
    per_degree_mm: Mapping[str, Spread]
    """clearance gained by one degree more of ankle, knee, hip"""
    notes: tuple[str, ...]
    """how it was computed, in sentences"""
    rows: tuple[str, ...]
    """ids of the reference rows behind the walk"""

    def brief(self) -> Brief:
        """Every foot side by side."""
        rows = tuple(
            (foot.title, in_hundred(foot.clears_swing), middle(foot.clearance_mm, "mm"),
             middle(foot.swing_ankle_deg, "deg"), in_hundred(foot.lowers_foot))
            for foot in self.feet
        )  # fmt: skip
        heads = ("foot", f"clears {self.margin_mm:g} mm", "clearance", "ankle at mid-swing, up +", "does not slap")
        return Brief(self.title(self.choice.title, self.choice.subtitle), heads, rows, self.notes)
