"""Where the entries of the examination come from: how each is known, by what it was found, and when."""

from __future__ import annotations

from datetime import date

from sinewright.app.form import groups, path_in_words, paths_of
from sinewright.app.frame import day
from sinewright.case import Case, Finding, entries, entry
from sinewright.case.listing import Entry
from sinewright.case.said import said

DECIDED = "decided, not measured"


def origins(case: Case, place: str) -> dict[str, list[str]]:
    """One line for every finding and every number of one part of the form, by the title of its group."""
    told = [item for item in entries(case) if item.known or isinstance(item.value, int | float)]
    found = {}
    for group in groups(place, case.side):
        paths = paths_of(group)
        lines = [line(case, item) for item in told if item.path in paths or item.path.startswith(_lists(paths))]
        found[group["title"]] = lines
    return found


def _lists(paths: tuple[str, ...]) -> tuple[str, ...]:
    """How the entries of a list begin, for instance ``history.nerve_studies (entry 1).``"""
    return tuple(f"{path} (entry " for path in paths)


def line(case: Case, item: Entry) -> str:
    """One entry: its name, its value in words, how it is known, instrument or method, date."""
    what = f"{path_in_words(item.path)}: {said(item, '°')}"
    if not item.known:
        return f"{what}; {DECIDED}"
    by, on = _by_and_on(case, item.path)
    when = day(on) if on else f"at the examination, {day(case.examined_on)}" if case.examined_on else "not dated"
    return f"{what}; {item.known}; {by or 'instrument or method not given'}; {when}"


def _by_and_on(case: Case, path: str) -> tuple[str, date | None]:
    """Instrument or method and date of a finding: its own, else the instrument of all findings of its section."""
    if " (entry " in path:
        return "", None
    finding = entry(case, path)
    section = entry(case, path.rpartition(".")[0]) if "." in path else None
    own = finding if isinstance(finding, Finding) else None
    by = (own.by if own else None) or getattr(section, "by", None) or ""
    return str(by), own.on if own else None
