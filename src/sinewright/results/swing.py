"""The swing of one operation beside other feet, in degrees, millimetres and newton metres."""

from __future__ import annotations

from dataclasses import dataclass

from sinewright.results.spread import Chance, Spread
from sinewright.results.weighing import OperationSummary


@dataclass(frozen=True)
class SwingFoot:
    """One foot in swing: angles [deg], clearance [mm], steppage [deg], moments [N.m]; None = not computed.

    `clears_swing`: the sole passes with the margin; `lowers_foot`: the lifting moment at heel strike covers the demand,
    held still; `failed_share` of the virtual legs is left out.
    """

    name: str
    title: str
    swing_ankle_deg: Spread
    swing_hindfoot_deg: Spread
    heel_strike_deg: Spread
    heel_strike_hindfoot_deg: Spread
    clearance_mm: Spread
    steppage_hip_deg: Spread
    steppage_knee_deg: Spread
    available_Nm: Spread | None
    demand_Nm: Spread | None
    clears_swing: Chance
    lowers_foot: Chance | None
    failed_share: float


@dataclass(frozen=True)
class SwingPage:
    """One choice in swing beside other feet; `per_degree_mm`: least clearance that one degree more of a joint gives."""

    choice: OperationSummary
    speed_m_s: float
    margin_mm: float
    feet: tuple[SwingFoot, ...]
    per_degree_mm: dict[str, Spread]
    notes: tuple[str, ...]
    rows: tuple[str, ...]
