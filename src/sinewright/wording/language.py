"""Words and numbers of the patient page in a language: English and German, any other as a file with the same keys."""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from importlib.resources import files
from pathlib import Path
from string import Template
from typing import Any

from sinewright.errors import InputError
from sinewright.results import Spread

OWN = ("en", "de")
BIGGEST_BYTES = 200_000


@dataclass(frozen=True)
class Words:
    """One language. `line` and `lines` fill in the $names; a name that is missing raises KeyError."""

    code: str
    table: Mapping[str, Any]

    def line(self, key: str, **given: object) -> str:
        """One text by its dotted key."""
        return Template(str(self._find(key))).substitute({name: str(value) for name, value in given.items()})

    def lines(self, key: str, **given: object) -> list[str]:
        """A list of texts by its dotted key."""
        filled = {name: str(value) for name, value in given.items()}
        return [Template(text).substitute(filled) for text in self._find(key)]

    def angle(self, degrees: float) -> str:
        """An ankle angle, up from neutral positive."""
        return self._signed(degrees, ("up", "down", "level"))

    def turn(self, degrees: float) -> str:
        """A turn of the hindfoot, inward positive."""
        return self._signed(degrees, ("in", "out", "straight"))

    def _signed(self, degrees: float, names: tuple[str, str, str]) -> str:
        digits = f"{abs(degrees):.0f}"
        plus, minus, zero = names
        if digits == "0":
            return self.line(f"angle.{zero}")
        return self.line(f"angle.{plus if degrees > 0.0 else minus}", n=digits)

    def spread(self, found: Spread, say: Callable[[float], str]) -> str:
        """The middle and its nine-tenths, each said by `say` (`angle` or `turn`)."""
        between = self.line("angle.range", low=say(found.p05), high=say(found.p95))
        return f"{say(found.p50)} ({between})"

    def mark(self, millimetres: float) -> str:
        """Where the mark lies, beyond its start point positive."""
        digits = f"{abs(millimetres):.0f}"
        if digits == "0":
            return self.line("mark.at")
        return self.line(f"mark.{'beyond' if millimetres > 0.0 else 'short'}", n=digits)

    def date(self, day: date) -> str:
        """A day in words, so that no order of digits is guessed."""
        return self.line("date.day", day=day.day, month=self._find("date.months")[day.month - 1], year=day.year)

    def _find(self, key: str) -> Any:
        found: Any = self.table
        for part in key.split("."):
            found = found[part]
        return found


def words_in(language: str) -> Words:
    """The words of a language: ``en``, ``de``, or the path of a translation file (TOML).

    Raises InputError when it is neither, or when the file lacks keys, adds some, or names other $names.
    """
    if language in OWN:
        return Words(language, _own(language))
    path = Path(language)
    if not path.is_file():
        advice = "copy the English file of the package and translate it"
        raise InputError("--language", language, f"{', '.join(OWN)}, or a translation file", advice)
    table = _read(path)
    problems = differences(_own("en"), table)
    if problems:
        raise InputError("--language", f"{path.name}: {problems[0]}", "the keys of the English file", "mend the file")
    return Words(str(table["code"]), table)


def _own(code: str) -> dict[str, Any]:
    return tomllib.loads((files("sinewright.wording") / "languages" / f"{code}.toml").read_text("utf-8"))


def _read(path: Path) -> dict[str, Any]:
    try:
        raw = path.read_bytes()
        if len(raw) > BIGGEST_BYTES:
            raise InputError("--language", f"{len(raw)} bytes", f"at most {BIGGEST_BYTES} bytes", "check the file")
        return tomllib.loads(raw.decode("utf-8"))
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as problem:
        raise InputError("--language", path.name, f"a TOML file in UTF-8 ({problem})", "mend the file") from problem


def differences(english: Mapping[str, Any], other: Mapping[str, Any], where: str = "") -> list[str]:
    """What a translation lacks, adds or names differently; empty when it is complete."""
    found = [f"{where}{key} is missing" for key in english if key not in other]
    found += [f"{where}{key} is unknown" for key in other if key not in english]
    for key, value in english.items():
        if key in other:
            found += _compared(value, other[key], f"{where}{key}")
    return found


def _compared(one: Any, two: Any, where: str) -> list[str]:
    if isinstance(one, Mapping):
        return differences(one, two, f"{where}.") if isinstance(two, Mapping) else [f"{where} must be a table"]
    if isinstance(one, list):
        if not isinstance(two, list) or len(one) != len(two) or not all(isinstance(each, str) for each in two):
            return [f"{where} must be a list of {len(one)} texts"]
        return [
            text for i, (a, b) in enumerate(zip(one, two, strict=True)) for text in _compared(a, b, f"{where}[{i}]")
        ]
    if not isinstance(two, str):
        return [f"{where} must be a text"]
    return [] if _names(one) == _names(two) else [f"{where} must hold {', '.join(sorted(_names(one))) or 'no $names'}"]


def _names(text: str) -> set[str]:
    found = set()
    for match in Template.pattern.finditer(text):
        name = match["named"] or match["braced"]
        found.add(f"${name}" if name else match[0])
    return found
