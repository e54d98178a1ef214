"""What can be entered on the table, in words that leave no sign to guess.

``tendon``: free tendon from the lowest muscle fibres to the cut [mm]. ``mark``: how far the mark on the muscle-tendon
junction lies beyond its start point once sewn [mm, tighter +]. ``rest``: angle at which the relaxed foot lies
[deg, up +]. ``stimulated``: angle while the donor is stimulated, strength of the stimulus unknown [deg, up +].
``spring``: pull on a spring scale at the tendon end at the mark, muscle relaxed [N]. ``moved``: the junction was set
again by so much [mm, tighter +]; what is entered later belongs to the new setting.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from datetime import datetime
from math import isfinite
from typing import Literal, get_args

from sinewright.errors import InputError
from sinewright.wording.directions import BENT, STRETCH, UP_DOWN

Kind = Literal["tendon", "mark", "rest", "stimulated", "spring", "moved"]
Limb = Literal["lying", "hanging"]
KINDS: tuple[Kind, ...] = get_args(Kind)
LIMBS: tuple[Limb, ...] = get_args(Limb)

ANGLES, STRETCHES, PLAIN = ("rest", "stimulated"), ("mark", "moved"), ("tendon", "spring")
UNITS = {"tendon": "mm", "mark": "mm", "rest": "deg", "stimulated": "deg", "spring": "N", "moved": "mm"}
ALLOWED = {
    "tendon": (20.0, 300.0),
    "mark": (-30.0, 60.0),
    "rest": (-80.0, 40.0),
    "stimulated": (-80.0, 45.0),
    "spring": (0.0, 300.0),
    "moved": (-30.0, 30.0),
}
KNEE_DEG = (0.0, 100.0)
_WORDED = re.compile(r"\s*(\d+(?:\.\d+)?)\s*(?:deg|°|mm)?\s*([a-z]+)\s*")
_DIRECTIONS = {
    "angle": {"up": 1.0, "down": -1.0},
    "stretch": {"tighter": 1.0, "slacker": -1.0},
}
_EXAMPLES = {"angle": ("11down or 4up", "neutral"), "stretch": ("6tighter or 3slacker", "unchanged")}


@dataclass(frozen=True)
class TableReading:
    """One thing read or done on the table, kept with its time; ``taken_back`` when it no longer counts.

    ``value`` in the unit of its kind (``UNITS``), up and tighter positive. ``knee_deg`` and ``limb`` belong to angles.
    Raises InputError for a value that cannot be.
    """

    kind: Kind
    value: float
    at: datetime
    knee_deg: float | None = None
    limb: Limb = "lying"
    note: str = ""
    taken_back: datetime | None = None

    def __post_init__(self) -> None:
        if self.kind not in KINDS:
            raise InputError("kind", f'"{self.kind}"', ", ".join(KINDS), "name what was measured")
        if self.at.tzinfo is not None or (self.taken_back and self.taken_back.tzinfo is not None):
            raise InputError("at", self.at.isoformat(), "the clock on the wall, without a zone", "leave the zone out")
        low, high = ALLOWED[self.kind]
        unit = UNITS[self.kind]
        if not (isfinite(self.value) and low <= self.value <= high):
            allowed = f"{said(self.kind, low)} to {said(self.kind, high)}"
            raise InputError(self.kind, said(self.kind, self.value), allowed, f"check the unit ({unit}) and read again")
        if self.kind in ANGLES and self.limb not in LIMBS:
            raise InputError("limb", f'"{self.limb}"', ", ".join(LIMBS), "say how the shank lay")
        if self.kind == "stimulated" and self.limb != "lying":
            raise InputError("limb", f'"{self.limb}"', "lying", "read a stimulated angle with the leg lying")
        if self.knee_deg is not None and not KNEE_DEG[0] <= self.knee_deg <= KNEE_DEG[1]:
            raise InputError("knee_deg", f"{self.knee_deg:g} deg", "0 (straight) to 100 deg", "bend the knee less")

    @property
    def counts(self) -> bool:
        """False once it was taken back."""
        return self.taken_back is None

    def words(self, knee_deg: float | None = None) -> str:
        """The entry as a phrase; ``knee_deg`` is the knee that stands where none was given."""
        names = {
            "tendon": "free tendon", "mark": "mark", "rest": "resting angle", "stimulated": "angle under stimulation",
            "spring": "spring scale", "moved": "junction set again",
        }  # fmt: skip
        told = f"{names[self.kind]} {said(self.kind, self.value)}"
        if self.kind not in ANGLES:
            return told
        knee = self.knee_deg if self.knee_deg is not None else knee_deg
        bent = "" if knee is None else ", knee straight" if knee == 0.0 else f", knee {BENT.exact(knee)}"
        return f"{told}, {'leg lying' if self.limb == 'lying' else 'shank hanging'}{bent}"


def said(kind: str, value: float) -> str:
    """A value of a kind in words: ``11° down``, ``6 mm tighter``, ``130 mm``, ``40 N``; never a bare sign."""
    unit = UNITS[kind]
    if kind in PLAIN:
        return f"{value:g} {unit}"
    if kind in ANGLES:
        return UP_DOWN.exact(value)
    if value == 0.0:
        return "at its start point" if kind == "mark" else "unchanged"
    return STRETCH.exact(value)


def angle_from(field: str, text: str) -> float:
    """Degrees [up +] from ``11down``, ``4 up`` or ``neutral``. Raises InputError for a bare number or a sign."""
    return _from(field, text, "angle")


def stretch_from(field: str, text: str) -> float:
    """Millimetres [tighter +] from ``6tighter``, ``3 slacker`` or ``unchanged``. Raises InputError otherwise."""
    return _from(field, text, "stretch")


def _from(field: str, text: str, what: str) -> float:
    directions, (examples, none) = _DIRECTIONS[what], _EXAMPLES[what]
    lowered = text.strip().lower()
    if lowered == none:
        return 0.0
    found = _WORDED.fullmatch(lowered)
    if found is None or found[2] not in directions:
        words = " or ".join(directions)
        advice = f"write the direction as a word ({words}): a bare number or a minus sign can be read both ways"
        raise InputError(field, f'"{text}"', f"such as {examples}, or {none}", advice)
    return float(found[1]) * directions[found[2]]


def in_order(entries: tuple[TableReading, ...]) -> tuple[TableReading, ...]:
    """Entries by time; of one moment, by what they say: the answer cannot depend on the order of typing."""
    return tuple(sorted(entries, key=lambda e: (e.at, e.kind, e.value, e.knee_deg or 0.0, e.limb)))


def settings(entries: tuple[TableReading, ...]) -> tuple[tuple[tuple[int, TableReading], ...], tuple[float, ...]]:
    """Readings that count, each with the number of its setting, and the changes [mm] between the settings."""
    readings: list[tuple[int, TableReading]] = []
    moves: list[float] = []
    for entry in in_order(entries):
        if not entry.counts:
            continue
        if entry.kind == "moved":
            moves.append(entry.value)
        else:
            readings.append((len(moves), entry))
    return tuple(readings), tuple(moves)


def known_beside(entries: tuple[TableReading, ...], entry: TableReading) -> tuple[TableReading, ...]:
    """All that counts in the setting of a reading and before it, without the reading itself."""
    out: list[TableReading] = []
    met = False
    for other in in_order(entries):
        if met and other.kind == "moved" and other.counts:
            break
        if other is entry:
            met = True
        else:
            out.append(other)
    return tuple(out)


def take_back(entries: tuple[TableReading, ...], now: datetime) -> tuple[TableReading, ...]:
    """The entries with the last one that counts taken back; it stays in the list with the time of taking back.

    Raises InputError when none is left to take back.
    """
    left = [entry for entry in entries if entry.counts]
    if not left:
        raise InputError("undo", "no entry that counts", "an entry made before", "enter a measurement first")
    newest = max(entry.at for entry in left)
    last = [entry for entry in left if entry.at == newest][-1]  # of one moment, the one that was typed last
    return tuple(replace(entry, taken_back=now) if entry is last else entry for entry in entries)
