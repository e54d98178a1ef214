"""Finds one operation by its id or by an abbreviation that fits no other; a wrong one would be another operation."""

from __future__ import annotations

from difflib import get_close_matches

from sinewright.errors import InputError

SHOWN = 5


def find(given: str, ids: tuple[str, ...]) -> str:
    """The id meant by ``given``. Raises InputError, with near ids, when none or several are meant.

    An abbreviation shortens the words between the dots from their ends, or is any part of an id:
    ``tibialis_p.membrane_o.lateral`` or ``membrane_over.lateral_cuneiform``.
    """
    wanted = given.strip().lower()
    if wanted in ids:
        return wanted
    fitting = [id for id in ids if _shortened(wanted, id)] or [id for id in ids if wanted and wanted in id]
    if len(fitting) == 1:
        return fitting[0]
    if fitting:
        allowed = f"an id, or an abbreviation that fits one only (this fits {len(fitting)})"
        raise InputError("choice", f'"{given}"', allowed, f"write more of one of these: {_some(fitting)}")
    near = get_close_matches(wanted, ids, SHOWN, 0.3) or list(ids)
    raise InputError("choice", f'"{given}"', "an id that weigh prints", f"near ones: {_some(near)}")


def _shortened(wanted: str, id: str) -> bool:
    """True when each dotted word of ``wanted`` begins the word at the same place of ``id``."""
    words, full = wanted.split("."), id.split(".")
    return len(words) == len(full) and all(
        word and whole.startswith(word) for word, whole in zip(words, full, strict=True)
    )


def _some(ids: list[str]) -> str:
    more = f" and {len(ids) - SHOWN} more" if len(ids) > SHOWN else ""
    return ", ".join(ids[:SHOWN]) + more
