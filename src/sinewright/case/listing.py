"""Every filled entry of a case, with its unit and how it is known: the echo for screen and print."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from sinewright.case.fields import Finding, Section, unit_of
from sinewright.case.model import Case
from sinewright.results import CaseEntry


def entries(case: Case) -> tuple[CaseEntry, ...]:
    """All filled entries of `case`, in the order of the file."""
    return tuple(_entries(case, ""))


def entry(case: Case, path: str) -> Any:
    """What stands at a dotted path: a finding, word, list or None. Raises KeyError for an unknown path."""
    place: Any = case
    for step in path.split("."):
        if not isinstance(place, Section) or step not in type(place).model_fields:
            raise KeyError(path)
        place = getattr(place, step)
    return place


def _entries(part: Section, path: str) -> Iterator[CaseEntry]:
    for name, value in part:
        here = f"{path}.{name}" if path else name
        if isinstance(value, Section) and not isinstance(value, Finding):
            yield from _entries(value, here)
        elif isinstance(value, tuple) and value and isinstance(value[0], Section):
            for place, each in enumerate(value, 1):
                yield from _entries(each, f"{here} (entry {place})")
        elif value is not None and value != ():
            yield _entry(here, value, unit_of(type(part).model_fields[name]))


def _entry(path: str, value: Any, unit: str) -> CaseEntry:
    if isinstance(value, Finding):
        return CaseEntry(
            path, value.value, unit, known=value.known, text=value.echo(unit), on=value.on, by=value.by or ""
        )
    shown = ", ".join(map(str, value)) if isinstance(value, tuple) else str(value)
    return CaseEntry(path, value, unit, "", f"{shown} {unit}".strip())
