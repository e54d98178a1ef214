"""Usual pictures of a drop foot, to start the examination of the muscles from; only what was not entered is filled.

A starter says what the whole picture means, not what was tested one by one, so that its grades are estimated.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from sinewright.case.labels import TRADE
from sinewright.case.model import Case, Cause
from sinewright.case.muscles import FRONT, MUSCLES, Muscle, MuscleName

LEG: tuple[MuscleName, ...] = tuple(name for name in MUSCLES if name != "gracilis")
EVERTORS: tuple[MuscleName, ...] = ("peroneus_longus", "peroneus_brevis")


@dataclass(frozen=True)
class Starter:
    """A picture of what works.

    Parameters
    ----------
    title : str
        What it is called on the button.
    paralysed : tuple of str
        Muscles of grade 0.
    absent : tuple of str
        Muscles that were lost.
    cause : str, optional
        Cause of the drop foot that goes with it.
    """

    title: str
    paralysed: tuple[MuscleName, ...] = ()
    absent: tuple[MuscleName, ...] = ()
    cause: Cause | None = None


STARTERS: tuple[Starter, ...] = (
    Starter("All normal"),
    Starter("Deep branch gone", FRONT, cause="deep peroneal lesion"),
    Starter("Common peroneal gone", (*FRONT, *EVERTORS), cause="common peroneal lesion"),
    Starter("Front compartment lost", absent=FRONT, cause="front compartment loss"),
)


def filled(case: Case, starter: Starter) -> dict[str, Any]:
    """Entries by path that the starter adds to `case`; nothing that was entered is touched."""
    edits: dict[str, Any] = {}
    for name in LEG:
        if case.muscles[name] != Muscle():
            continue
        if name in starter.absent:
            edits[f"muscles.{name}.state"] = "absent"
        else:
            grade = "0" if name in starter.paralysed else "5"
            edits[f"muscles.{name}.grade"] = {"value": grade, "known": "estimated"}
    if edits and starter.cause and not case.history.cause:
        edits["history.cause"] = (starter.cause,)
    return edits


def filled_words(edits: Mapping[str, Any]) -> str:
    """What was filled, in a sentence.

    >>> filled_words({"muscles.soleus.grade": {"value": "5", "known": "estimated"}})
    'MRC 5 for soleus, as estimated.'
    """
    told: dict[str, list[str]] = {}
    for path, value in edits.items():
        if path.startswith("muscles."):
            word = f"MRC {value['value']}" if isinstance(value, dict) else str(value)
            told.setdefault(word, []).append(TRADE[path.split(".")[1]])
    parts = [f"{word} for {', '.join(names)}" for word, names in told.items()]
    cause = [f"cause {', '.join(edits['history.cause'])}"] if "history.cause" in edits else []
    return f"{'; '.join([*parts, *cause])}, as estimated."
