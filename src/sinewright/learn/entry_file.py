"""The file that keeps what was entered on the table: TOML, for one patient, one leg and one choice."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from sinewright.case.writing import toml_value
from sinewright.errors import CaseFileError, InputError, SinewrightError
from sinewright.learn.entries import ANGLES, PLAIN, STRETCHES, UNITS, TableReading, angle_from, said, stretch_from

HEAD = ("pseudonym", "side", "choice")
FIELDS = ("at", "kind", "value", "knee_deg", "limb", "note", "taken_back")


@dataclass(frozen=True)
class Owner:
    """Whose entries they are."""

    pseudonym: str
    side: str
    choice: str


def read_entries(path: Path, owner: Owner) -> tuple[TableReading, ...]:
    """The entries of a file. Raises CaseFileError for an unreadable file or entry, InputError for another's file."""
    try:
        content = tomllib.loads(path.read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as problem:
        raise CaseFileError(path.name, f"cannot be read ({problem})", "see docs/table.md for its layout") from problem
    for name in HEAD:
        found, wanted = content.get(name), getattr(owner, name)
        if found != wanted:
            advice = "these entries belong to another patient, leg or choice: name the right file"
            raise InputError(f"--entries: {name}", f'"{found}"', f'"{wanted}"', advice)
    unknown = sorted(set(content) - {*HEAD, "entry"})
    if unknown:
        raise CaseFileError(path.name, f"holds {', '.join(unknown)}", f"allowed: {', '.join((*HEAD, 'entry'))}")
    return tuple(_entry(path.name, i, table) for i, table in enumerate(content.get("entry", []), start=1))


def _entry(file: str, number: int, table: Mapping[str, Any]) -> TableReading:
    where = f"entry {number}"
    unknown = sorted(set(table) - set(FIELDS))
    if unknown:
        raise CaseFileError(file, f"{where} holds {', '.join(unknown)}", f"allowed: {', '.join(FIELDS)}")
    try:
        kind, at = table["kind"], table["at"]
        value = _value(f"{file}, {where}: value", kind, table["value"])
        if not isinstance(at, datetime):
            raise InputError(f"{file}, {where}: at", at, "a date with a time", "write 2026-03-05T09:41:00")
        knee = table.get("knee_deg")
        knee = None if knee is None else float(knee)
        limb, note = table.get("limb", "lying"), str(table.get("note", ""))
        return TableReading(kind, value, at, knee_deg=knee, limb=limb, note=note, taken_back=table.get("taken_back"))
    except KeyError as missing:
        advice = "every entry needs at, kind and value"
        raise CaseFileError(file, f"{where} has no {missing.args[0]}", advice) from missing
    except (TypeError, ValueError) as problem:
        raise CaseFileError(file, f"{where}: {problem}", "see docs/table.md for its layout") from problem
    except SinewrightError as problem:
        raise CaseFileError(file, f"{where}: {str(problem).rstrip('.')}", "correct the entry") from problem


def _value(field: str, kind: str, given: object) -> float:
    """The value of a kind: angles and stretches as text with a direction, lengths and forces as plain numbers."""
    if kind in ANGLES:
        return angle_from(field, str(given))
    if kind in STRETCHES:
        return stretch_from(field, str(given))
    if kind in PLAIN and isinstance(given, (int, float)) and not isinstance(given, bool):
        return float(given)
    allowed = f"a plain number [{UNITS[kind]}]" if kind in PLAIN else "a known kind"
    raise InputError(field, f"{given!r}", allowed, "see docs/table.md for its layout")


def entries_text(owner: Owner, entries: tuple[TableReading, ...]) -> str:
    """The file as text; `read_entries` gives the same entries again."""
    lines = [f"{name} = {toml_value(getattr(owner, name))}" for name in HEAD]
    for entry in entries:
        table = {name: value for name, value in _table(entry).items() if value not in (None, "")}
        lines += ["", "[[entry]]", *(f"{name} = {toml_value(value)}" for name, value in table.items())]
    return "\n".join(lines) + "\n"


def _table(entry: TableReading) -> dict[str, object]:
    """What is kept of an entry, in the order of the file; an empty value is left out."""
    angle = entry.kind in ANGLES
    return {
        "at": entry.at,
        "kind": entry.kind,
        "value": entry.value if entry.kind in PLAIN else _worded(entry),
        "knee_deg": entry.knee_deg if angle else None,
        "limb": entry.limb if angle else None,
        "note": entry.note,
        "taken_back": entry.taken_back,
    }


def _worded(entry: TableReading) -> str:
    if entry.value == 0.0:
        return "neutral" if entry.kind in ANGLES else "unchanged"
    _, _, direction = said(entry.kind, entry.value).rpartition(" ")
    return f"{abs(entry.value)!r} {direction}"
