"""The examination as fields to fill in, made from the model of the case: label, unit, range, words, meaning."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from typing import Any, Literal, get_args, get_origin

from pydantic.fields import FieldInfo

from sinewright.app.frame import day
from sinewright.case import MUSCLES, Case, Finding, entries, entry
from sinewright.case.fields import Section, bounds_of, unit_of
from sinewright.case.labels import TRADE, help_text, label, path_in_words
from sinewright.case.paths import field_at, finding_type, inner_section, is_list, section_at
from sinewright.case.said import direction_of, said
from sinewright.case.typed import own_way
from sinewright.results import CaseEntry

Shown = dict[str, Any]
_UNITS = {"deg": "°", "weight": ""}
_FIRST = ("state", "grade", "other_side_grade", "force_N", "other_side_force_N", "tested_alone")


@dataclass(frozen=True)
class FormPart:
    """One part of the form: its place in the address, its name, the sections of the case that it shows."""

    place: str
    name: str
    sections: tuple[str, ...]


PARTS: tuple[FormPart, ...] = (
    FormPart("person", "Person and leg", ("", "person", "leg")),
    FormPart("angles", "Angles", ("range",)),
    FormPart("muscles", "Muscles", ("muscles",)),
    FormPart("torques", "Torques", ("torque",)),
    FormPart("foot", "Foot, skin, bed", ("foot",)),
    FormPart("history", "History", ("history",)),
    FormPart("life", "Life and goals", ("brace", "shoes", "work", "goals")),
    FormPart("wishes", "Wishes for the plan", ("plan", "plan.overrides")),
)


def part_of(path: str) -> FormPart:
    """The part of the form in which an entry stands."""
    top = path.split(".")[0].split(" ")[0]
    return next((part for part in PARTS if top in part.sections), PARTS[0])


def field(path: str, info: FieldInfo, whose: str = "") -> Shown:
    """One field for the page."""
    kind, options = _kind(info)
    low, high = bounds_of(info) or (None, None)
    unit = unit_of(info)
    longest = next((rule.max_length for rule in info.metadata if hasattr(rule, "max_length")), 120)
    return {
        "path": path, "label": sentence_case(label(path)), "whose": whose, "help": _help(path),
        "unit": _UNITS.get(unit, unit), "kind": kind, "options": options, "low": low, "high": high, "longest": longest,
        "finding": finding_type(info) is not None, "words": _words(options), "ways": _ways(path),
    }  # fmt: skip


def sentence_case(text: str) -> str:
    """`text` with a capital at its start."""
    return f"{text[:1].upper()}{text[1:]}"


def _help(path: str) -> str:
    text = help_text(path)
    return f"{sentence_case(text)}." if text else ""


def _words(options: list[Any]) -> list[str]:
    """The words of a field's options as they are said."""
    spoken = {True: "yes", False: "no"}
    return [spoken.get(option) or TRADE.get(option, str(option)) for option in options]


def _ways(path: str) -> Shown | None:
    """The two words between which a signed number is said, with the one that its name means; None without a sign."""
    direction = direction_of(path)
    return {"plus": direction.plus, "minus": direction.minus, "own": own_way(path)} if direction else None


def _kind(info: FieldInfo) -> tuple[str, list[Any]]:
    """What sort of entry, and the words it may take."""
    if bounds_of(info):
        return "number", []
    finding = finding_type(info)
    annotation: Any = finding.model_fields["value"].annotation if finding else info.annotation
    words = _literals(annotation)
    if words:
        return ("list" if is_list(info) else "word"), words
    kinds = _bare(annotation)
    if bool in kinds:
        return "word", [True, False]
    return ("date" if date in kinds else "text"), []


def _bare(annotation: Any) -> tuple[Any, ...]:
    return tuple(part for each in (get_args(annotation) or (annotation,)) for part in (each, *get_args(each)))


def _literals(annotation: Any) -> list[Any]:
    if get_origin(annotation) is Literal:
        return list(get_args(annotation))
    return next((found for part in get_args(annotation) if (found := _literals(part))), [])


@lru_cache(maxsize=32)
def groups(place: str, side: str) -> list[Shown]:
    """The groups of fields of one part; `side` is the leg that is to be operated on."""
    part = next(each for each in PARTS if each.place == place)
    other = "left" if side == "right" else "right"
    legs = [f"{side} leg, to be operated on", f"{other} leg"]
    if place in ("angles", "torques"):
        return [_pair(part.sections[0], legs)]
    if place == "muscles":
        return [_muscle(name) for name in MUSCLES]
    return [_section(path) for path in part.sections]


def _pair(top: str, legs: list[str]) -> Shown:
    model = section_at((top, "affected"))
    assert model is not None
    rows = [
        {
            "label": sentence_case(label(f"{top}.affected.{name}")),
            "help": _help(f"{top}.affected.{name}"),
            "cells": [field(f"{top}.{leg}.{name}", info, legs[i]) for i, leg in enumerate(("affected", "other"))],
        }
        for name, info in model.model_fields.items()
    ]
    title = "Angles of both legs" if top == "range" else "Torques of both legs"
    return {"title": title, "help": "", "shape": "pair", "columns": legs, "rows": rows}


def _muscle(name: str) -> Shown:
    model = section_at(("muscles", name))
    info = field_at(("muscles", name))
    assert model is not None
    assert info is not None
    made = {each: field(f"muscles.{name}.{each}", inner) for each, inner in model.model_fields.items()}
    more = [shown for each, shown in made.items() if each not in _FIRST]
    title = TRADE[name][:1].upper() + TRADE[name][1:]
    cells = [made[each] for each in _FIRST]
    return {"title": title, "help": _act(info), "shape": "muscle", "cells": cells, "more": more}


def _act(info: FieldInfo) -> str:
    """What a muscle does, where its description says so."""
    return str(info.description or "").partition(": ")[2]


def _section(path: str) -> Shown:
    steps = tuple(step for step in path.split(".") if step)
    model = section_at(steps) if steps else Case
    info = field_at(steps) if steps else None
    assert model is not None
    cells = []
    for name, inner in model.model_fields.items():
        here = f"{path}.{name}" if path else name
        if not steps and name not in ("examined_on", "note"):
            continue
        nested = inner_section(inner)
        if nested is not None and is_list(inner):
            cells.append(_rows(here, name, inner, nested))
        elif nested is None:
            cells.append(field(here, inner))
    title = steps[-1].capitalize() if steps else "Examination"
    if path == "plan":
        title = "Fixed before planning"
    if path == "plan.overrides":
        title = "Rules overridden, each with a written reason"
    told = str(info.description) if info else ""
    return {"title": title, "help": told[:1].upper() + told[1:], "shape": "grid", "cells": cells, "more": []}


def _rows(path: str, name: str, info: FieldInfo, model: type[Section]) -> Shown:
    one = {"nerve_studies": "nerve study", "earlier_surgery": "earlier operation"}[name]
    inner = [{**field(f"{path}.{each}", found), "path": each} for each, found in model.model_fields.items()]
    return {
        "path": path,
        "kind": "rows",
        "one": one,
        "label": sentence_case(label(path)),
        "help": _help(path),
        "inner": inner,
    }


def values(case: Case, place: str) -> dict[str, Shown]:
    """What the case holds for every field of one part."""
    return {path: leaf_for_page(entry(case, path)) for path in paths(place)}


@lru_cache(maxsize=32)
def paths(place: str) -> tuple[str, ...]:
    """Every path of one part."""
    return tuple(path for group in groups(place, "right") for path in paths_of(group))


def paths_of(group: Shown) -> tuple[str, ...]:
    """Every path of one group of fields."""
    cells = [cell for row in group.get("rows", ()) for cell in row["cells"]]
    return tuple(cell["path"] for cell in (*cells, *group.get("cells", ()), *group.get("more", ())))


def leaf_for_page(found: Any) -> Shown:
    """A finding, word, list or nothing as the page shows it."""
    if isinstance(found, Finding):
        return {"value": _plain(found.value), "known": found.known}
    return {"value": _plain(found), "known": ""}


def _plain(found: Any) -> Any:
    if isinstance(found, Section):
        return {name: _plain(part) for name, part in found if part is not None and part != ()}
    if isinstance(found, tuple):
        return [_plain(each) for each in found]
    if isinstance(found, float) and found.is_integer():
        return int(found)
    return found.isoformat() if isinstance(found, date) else found


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


def line(case: Case, item: CaseEntry) -> str:
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
