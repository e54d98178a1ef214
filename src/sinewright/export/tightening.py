"""If the foot rests outside the range: what `table` would say at each resting angle, worked out for paper."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from math import ceil, floor

from sinewright.learn.entries import ALLOWED, LIMBS, Limb, TableReading
from sinewright.learn.expected import SHIFTS_MM
from sinewright.learn.prepare import number
from sinewright.learn.session import Session
from sinewright.units import deg
from sinewright.wording.directions import CHANGE, UP_DOWN

STEP_DEG = 5.0
FARTHEST_DEG = 25.0  # from the planned resting angle; both ends of what `table` can bring back lie nearer
MOST_MM = float(SHIFTS_MM[-1])
_NO_TIME = datetime(2000, 1, 1)  # a reading of this table is made on paper, not at a time


@dataclass(frozen=True)
class Correction:
    """What brings the middle leg back to the planned resting angle when the foot is seen to rest at ``rest_deg``.

    Parameters
    ----------
    rest_deg : float
        Resting angle read before closing, up positive [deg].
    lying_mm, hanging_mm : float or None
        Change of the set stretch, tighter positive [mm]; None when no change of up to 12 mm does, or when hardly a
        leg that fits the examination could rest there.
    """

    rest_deg: float
    lying_mm: float | None
    hanging_mm: float | None


def corrections(table: Session) -> tuple[Correction, ...]:
    """Resting angles in steps of five degrees, from the first that cannot be mended to the last.

    Parameters
    ----------
    table : Session
        The operation as planned, with nothing entered.
    """
    planned = table.plan().rest_on_table_deg.p50
    low, high = ALLOWED["rest"]
    first = max(STEP_DEG * floor((planned - FARTHEST_DEG) / STEP_DEG), low)
    last = min(STEP_DEG * ceil((planned + FARTHEST_DEG) / STEP_DEG), high)
    angles = [first + STEP_DEG * i for i in range(round((last - first) / STEP_DEG) + 1)]
    rows = [Correction(angle, *(_change(table, angle, limb) for limb in LIMBS)) for angle in angles]
    mendable = [i for i, row in enumerate(rows) if row.lying_mm is not None or row.hanging_mm is not None]
    return tuple(rows[max(mendable[0] - 1, 0) : mendable[-1] + 2]) if mendable else ()


def _change(table: Session, rest_deg: float, limb: Limb) -> float | None:
    knee = round(deg(table.prepared.sewn.knee), 6)
    advice = table.add(TableReading("rest", rest_deg, _NO_TIME, knee, limb)).answer().advice
    return advice.to_planned_rest_mm if advice is not None else None


def correction_rows(found: tuple[Correction, ...]) -> list[list[str]]:
    """The table in words: foot rests at, leg lying, shank hanging."""
    return [
        [f"{UP_DOWN.one(row.rest_deg)}{_beyond(found, i)}", change_words(row.lying_mm), change_words(row.hanging_mm)]
        for i, row in enumerate(found)
    ]


def _beyond(found: tuple[Correction, ...], i: int) -> str:
    """Said of the first and the last row when neither posture can be mended there."""
    if found[i].lying_mm is not None or found[i].hanging_mm is not None:
        return ""
    return " or lower" if i == 0 else " or higher" if i == len(found) - 1 else ""


def change_words(millimetres: float | None) -> str:
    """``tighten 4 mm``, ``slacken 3 mm``, ``stop``; ``leave it`` for less than a hand sets again."""
    if millimetres is None:
        return "stop"
    if abs(millimetres) < number("own-protect-retension-error"):
        return "leave it"
    return f"{'tighten' if millimetres > 0.0 else 'slacken'} {abs(millimetres):.0f} {CHANGE.unit}"
