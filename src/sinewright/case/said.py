"""The value of an entry of a case in words, with its unit and without a bare sign."""

from __future__ import annotations

from collections.abc import Sequence

from sinewright.case.muscles import Muscles
from sinewright.results import CaseEntry
from sinewright.wording.directions import BENT, DOWN_UP, IN_OUT, OUT_IN, STRETCH, UP_DOWN, VARUS_VALGUS, Direction

# The first ending that fits says in which words a signed entry is printed.
_DIRECTIONS: tuple[tuple[str, Direction], ...] = (
    ("_down_deg", DOWN_UP),
    ("_out_deg", OUT_IN),
    ("inversion_limit_deg", IN_OUT),
    ("subtalar_deg", IN_OUT),
    ("varus_deg", VARUS_VALGUS),
    ("bent_deg", UP_DOWN),
    ("straight_deg", UP_DOWN),
    ("hanging_deg", UP_DOWN),
    ("supine_deg", UP_DOWN),
    ("ankle_deg", UP_DOWN),
    ("set_stretch_mm", STRETCH),
)


def direction_of(path: str) -> Direction | None:
    """In which two words the number at a dotted path is said; None for a number without a direction."""
    name = path.rsplit(".", 1)[-1]
    return None if _is_knee(name) else next((each for ending, each in _DIRECTIONS if name.endswith(ending)), None)


def _is_knee(name: str) -> bool:
    """True for a flexion of the knee, which only goes one way; not for an ankle angle with the knee bent."""
    return name == "knee_bent_deg" or name.endswith("knee_deg")


def said(item: CaseEntry, degree: str) -> str:
    """The value of an entry in words: no bare sign, the unit beside it, names without underscores."""
    if isinstance(item.value, bool):
        return "yes" if item.value else "no"
    if isinstance(item.value, (int, float)):
        direction = BENT if _is_knee(item.path.rsplit(".", 1)[-1]) else direction_of(item.path)
        if direction:
            return direction.exact(item.value, degree)
        return f"weight {item.value:g}" if item.unit == "weight" else f"{item.value:g} {item.unit}".strip()
    if isinstance(item.value, tuple):
        return ", ".join(str(each) for each in item.value).replace("_", " ")
    return str(item.value).replace("_", " ") if item.value in _muscle_names() else str(item.value)


def _muscle_names() -> Sequence[str]:
    return list(Muscles.model_fields)
