"""A number as a person types it: with its unit, a comma, a real minus or a word for the direction; never guessed.

What is meant in another unit is converted only where no doubt is left; all else is refused with what to write.
"""

from __future__ import annotations

import re

from sinewright.case.fields import unit_of
from sinewright.case.labels import path_in_words
from sinewright.case.paths import field_at
from sinewright.case.said import direction_of
from sinewright.case.wording import allowed
from sinewright.errors import InputError
from sinewright.wording.directions import Direction

_SPELLED: dict[str, dict[str, float]] = {
    "deg": {"°": 1.0, "deg": 1.0, "degree": 1.0, "degrees": 1.0},
    "mm": {"mm": 1.0, "cm": 10.0},
    "cm": {"cm": 1.0, "mm": 0.1},
    "kg": {"kg": 1.0},
    "N": {"n": 1.0},
    "Nm": {"nm": 1.0, "n m": 1.0, "n.m": 1.0, "n·m": 1.0},
    "months": {"month": 1.0, "months": 1.0, "year": 12.0, "years": 12.0},
    "years": {"year": 1.0, "years": 1.0, "y": 1.0},
    "h/week": {"h": 1.0, "h/week": 1.0, "hours": 1.0},
    "deg/s": {"deg/s": 1.0, "°/s": 1.0},
}
_ADVICE = {
    ("cm", "m"): "write centimetres: 1.70 m is 170",
    ("mm", "m"): "write millimetres: 0.26 m is 260",
    ("N", "kg"): "write newtons: kilograms on the display times 9.8",
    ("kg", "lb"): "write kilograms: pounds times 0.454",
    ("kg", "g"): "write kilograms: grams divided by 1000",
}
_NUMBER = re.compile(r"(?P<sign>[-+]?)\s*(?P<digits>\d+(?:\.\d*)?|\.\d+)\s*(?P<rest>.*)", re.DOTALL)
_WORDS = {"dorsiflexion": "up", "plantarflexion": "down", "in": "inward", "out": "outward"}


def number_typed(path: str, text: str, way: str = "") -> float:
    """The number that is meant by `text` in the field at `path`, in the field's own unit and direction.

    Parameters
    ----------
    path : str
        Dotted path of a number.
    text : str
        As typed: ``40``, ``34,5``, ``40°``, ``−12``, ``26 cm``, ``12 down``.
    way : str
        Word chosen beside the number, such as ``down``; empty when none was.

    Raises
    ------
    InputError
        With the field, the text, what is allowed and what to write.

    Examples
    --------
    >>> number_typed("leg.foot_length_mm", "26,2 cm")
    262.0
    >>> number_typed("range.affected.dorsiflexion_knee_straight_deg", "12°", "down")
    -12.0
    """
    field = field_at(_steps(path))
    unit = unit_of(field) if field else ""
    parts = _NUMBER.fullmatch(text.strip().replace("−", "-").replace("–", "-").replace(",", "."))
    if parts is None:
        raise _refused(path, text, "write one number in digits")
    direction = direction_of(path)
    word, rest = _word_of(parts["rest"].strip().lower(), direction)
    factor = _factor(path, text, unit, rest)
    size = round(float(parts["digits"]) * factor, 9)
    return _signed(path, text, size, parts["sign"], word or way)


def _factor(path: str, text: str, unit: str, rest: str) -> float:
    known = _SPELLED.get(unit, {})
    if not rest:
        return 1.0
    if rest in known:
        return known[rest]
    raise _refused(
        path,
        text,
        _ADVICE.get((unit, rest), f"write the number alone, in {unit}" if unit else "write the number alone"),
    )


def _word_of(rest: str, direction: Direction | None) -> tuple[str, str]:
    """The word for a direction at the end of what was typed, and what stands before it."""
    if direction is None:
        return "", rest
    for said in (direction.plus, direction.minus, *_WORDS):
        if rest == said or rest.endswith((f" {said}", f"°{said}")):
            return _WORDS.get(said, said), rest.removesuffix(said).strip()
    return "", rest


def _signed(path: str, text: str, size: float, sign: str, word: str) -> float:
    """The number with its sign; a sign and a word that disagree, or neither where one is needed, are refused."""
    direction = direction_of(path)
    if direction is None:
        return -size if sign == "-" else size
    words = (direction.plus, direction.minus)
    if word and word not in words:
        raise _refused(path, text, f"say {' or '.join(words)}")
    if sign == "-" and own_way(path):
        raise _refused(
            path, text, f"write {size:g} and the word {' or '.join(words)}; a minus can be read both ways here"
        )
    if sign and word and word != words[sign == "-"]:
        raise _refused(
            path, text, f"the sign says {words[sign == '-']} and the word {word}: write {size:g} and one word"
        )
    if sign:
        return -size if sign == "-" else size
    word = word or own_way(path)
    if not word and size:
        raise _refused(path, text, f"say whether {size:g} is {' or '.join(words)}")
    return -size if word == words[1] and size else size


def own_way(path: str) -> str:
    """The direction that a field's own name means without a word, such as down for plantarflexion; else empty."""
    direction = direction_of(path)
    name = path.rpartition(".")[2]
    return direction.plus if direction and ("_down_" in name or "_out_" in name or "inversion_limit" in name) else ""


def _refused(path: str, text: str, advice: str) -> InputError:
    field = field_at(_steps(path))
    return InputError(path_in_words(path), f'the text "{text[:60]}"', allowed(field, _steps(path)), advice)


def _steps(path: str) -> tuple[str, ...]:
    """The path of a field without the places of entries in lists."""
    return tuple(step for step in path.split(".") if not step.isdigit())
