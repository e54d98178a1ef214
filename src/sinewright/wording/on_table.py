"""The first line of what was measured on the table: what would bring the operation back to its plan, never an order."""

from __future__ import annotations

from sinewright.results.table import Advice

LEAVE = "leave it"


def change_back_mm(advice: Advice) -> float | None:
    """The change that brings the middle leg back to the plan [mm], tighter positive; 0 where none matters.

    Returns
    -------
    float or None
        Whole millimetres inside the interval that makes no difference, nearest to the planned lift, else to the planned
        rest; None where no change that was looked at is inside.
    """
    low, high = advice.low_mm, advice.high_mm
    if low is None or high is None:
        return None
    if low <= 0.0 <= high:
        return 0.0
    wanted = advice.to_planned_lift_mm if advice.to_planned_lift_mm is not None else advice.to_planned_rest_mm
    return float(round(min(high, max(low, 0.0 if wanted is None else wanted))))


def first_line(advice: Advice, furthest_mm: float) -> str:
    """``What keeps it to the plan: leave it.``; ``What would bring it back to the plan: tighten 2 mm.``"""
    change = change_back_mm(advice)
    if change is None:
        return f"No change of up to {furthest_mm:g} mm would bring it back to the plan."
    if not change:
        return f"What keeps it to the plan: {LEAVE}."
    return f"What would bring it back to the plan: {'tighten' if change > 0.0 else 'slacken'} {abs(change):.0f} mm."
