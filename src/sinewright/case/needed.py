"""What must be known of a leg before an operation can be weighed at all, and the refusal of a case that is empty."""

from __future__ import annotations

from sinewright.case.labels import TRADE
from sinewright.case.missing import DONORS
from sinewright.case.model import Case
from sinewright.case.muscles import FRONT, Muscle
from sinewright.errors import InputError


def nothing_examined(case: Case) -> bool:
    """True when no muscle of the leg was examined in any way: all that could be weighed then is assumed."""
    return all(muscle == Muscle() for _, muscle in case.muscles.named())


def needed_first(case: Case) -> tuple[str, ...]:
    """What is needed before weighing, in words, the first first; what `case` holds already is left out."""
    motion = case.range.affected
    wanted = (
        ("the cause of the drop foot", bool(case.history.cause)),
        (f"the MRC grade of the lifters, from {TRADE[FRONT[0]]} on", _known(case, FRONT)),
        (f"the MRC grade of the donors: {', '.join(TRADE[name] for name in DONORS)}", _known(case, DONORS)),
        ("passive dorsiflexion with the knee straight", motion.dorsiflexion_knee_straight_deg is not None),
        ("passive dorsiflexion with the knee bent", motion.dorsiflexion_knee_bent_deg is not None),
    )
    return tuple(words for words, known in wanted if not known)


def _known(case: Case, names: tuple[str, ...]) -> bool:
    return any(muscle != Muscle() for name, muscle in case.muscles.named() if name in names)


def refuse_empty(case: Case) -> None:
    """Refuse a case of which no muscle was examined. Raises InputError with what is needed first."""
    if nothing_examined(case):
        raise InputError(
            "muscles", "no muscle that was examined", "a case with at least one graded muscle",
            f"an empty case is not weighed; needed first: {'; '.join(needed_first(case))}",
        )  # fmt: skip
