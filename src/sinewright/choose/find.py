"""Finds one operation by its id or by whole words of it that fit no other; a wrong one would be another operation."""

from __future__ import annotations

import re
from collections.abc import Sequence
from difflib import get_close_matches

from sinewright.errors import InputError

SHOWN = 5
NUMBER = re.compile(r"[1-9][0-9]*[a-z]*")


def is_number(given: str) -> bool:
    """Whether ``given`` is a short number of the ladder, such as ``1`` or ``2b``."""
    return NUMBER.fullmatch(given.strip().lower()) is not None


def find(given: str, ids: tuple[str, ...]) -> str:
    """The id meant by ``given``.

    Parameters
    ----------
    given : str
        An id, or some of its dotted words, each whole and in their order, such as
        ``tibialis_posterior.lateral_cuneiform_dorsum``.
    ids : tuple of str
        The operations to choose from.

    Returns
    -------
    str
        One of ``ids``.

    Raises
    ------
    InputError
        When none or several are meant, with near ids. A part of a word is never enough: ``long_peroneal`` must not find
        an operation that only ends at the stump of that muscle.
    """
    wanted = given.strip().lower()
    if wanted in ids:
        return wanted
    fitting = [id for id in ids if _holds(_words(id), _words(wanted))]
    if len(fitting) == 1:
        return fitting[0]
    if fitting:
        allowed = f"an id, or whole words of it that fit one only (these fit {len(fitting)})"
        raise InputError("choice", f'"{given}"', allowed, f"write more words of one of these: {_some(fitting)}")
    near = get_close_matches(wanted, ids, SHOWN, 0.3) or list(ids)
    allowed = "a number of the ladder, an id that weigh prints, or whole dotted words of one"
    raise InputError("choice", f'"{given}"', allowed, f"near ones: {_some(near)}")


def _words(id: str) -> list[str]:
    return [word for word in re.split(r"[.+]", id) if word]


def _holds(words: Sequence[str], wanted: Sequence[str]) -> bool:
    """Whether all ``wanted`` stand among ``words`` in their order."""
    left = iter(words)
    return bool(wanted) and all(word in left for word in wanted)


def _some(ids: list[str]) -> str:
    more = f" and {len(ids) - SHOWN} more" if len(ids) > SHOWN else ""
    return ", ".join(ids[:SHOWN]) + more
