"""Other weights than those of the case, typed as ``--weight NAME=0..10``."""

from __future__ import annotations

from collections.abc import Sequence
from difflib import get_close_matches
from typing import TYPE_CHECKING

from sinewright.errors import InputError

if TYPE_CHECKING:
    from sinewright.case import Case

OPTION = "--weight"
ALLOWED = "NAME=0 to NAME=10"


def reweighed(case: Case, given: Sequence[str]) -> Case:
    """The case with its goals weighed as `given`. Raises InputError for an unknown goal or an unreadable weight."""
    if not given:
        return case
    from sinewright.case import changed

    changes: dict[str, float] = {}
    for text in given:
        name, weight = _parted(text)
        if name in changes:
            raise InputError(OPTION, f"{name} twice", "each goal once", "leave one of them out")
        changes[name] = weight
    return changed(case, {f"goals.{name}": weight for name, weight in changes.items()})


def refuse_keeping_other_weights(given: Sequence[str]) -> None:
    """Raises InputError: a kept plan must follow from the stored case alone."""
    if given:
        advice = "write the weights into the case under [goals], import it, then keep"
        raise InputError("--keep", f"together with {OPTION}", "the weights of the stored case", advice)


def _parted(text: str) -> tuple[str, float]:
    from sinewright.choose.goals import GOALS

    name, mark, number = (part.strip() for part in text.partition("="))
    name = name.lower().replace("-", "_")
    if name not in GOALS:
        near = get_close_matches(name, GOALS, 1)
        advice = f"did you mean {near[0]}" if near else "weigh prints the goals with their names"
        raise InputError(OPTION, f'"{text}"', f"{ALLOWED} with NAME one of {', '.join(GOALS)}", advice)
    try:
        weight = float(number)
    except ValueError:
        weight = -1.0
    if not mark or not 0.0 <= weight <= 10.0:
        raise InputError(OPTION, f'"{text}"', ALLOWED, "0 does not matter, 10 matters most")
    return name, weight
