"""Dates that no finding can have: in the future, or before anybody alive was born.

They are refused where a person writes them, in a file or a form; a case that was stored long ago still opens.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from sinewright.case.fields import Section
from sinewright.case.model import Case
from sinewright.errors import InputError

EARLIEST = date(1900, 1, 1)


def impossible_dates(case: Case, today: date) -> tuple[InputError, ...]:
    """One problem for each date before 1900 or after `today`, in the order of the file."""
    return tuple(problem for path, when in _dates(case, "") for problem in date_problem(path, when, today))


def date_problem(path: str, when: date, today: date) -> tuple[InputError, ...]:
    """The problem of one date, or none."""
    allowed = f"a date from {EARLIEST} to {today}, which is today by the clock of this computer"
    return () if EARLIEST <= when <= today else (InputError(path, f"{when}", allowed, _advice(when, today)),)


def _advice(when: date, today: date) -> str:
    if when > today:
        return "a finding cannot come from the future: correct the date, or the clock"
    return "correct the year"


def _dates(part: Section, path: str) -> Iterator[tuple[str, date]]:
    for name, value in part:
        here = f"{path}.{name}" if path else name
        if isinstance(value, date):
            yield here, value
        elif isinstance(value, Section):
            yield from _dates(value, here)
        elif isinstance(value, tuple):
            for place, each in enumerate(value, 1):
                if isinstance(each, Section):
                    yield from _dates(each, f"{here} (entry {place})")
