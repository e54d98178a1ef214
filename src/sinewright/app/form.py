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
from sinewright.case.labels import SPOKEN, TRADE, help_text, label, path_in_words
from sinewright.case.paths import field_at, finding_type, inner_section, is_list, section_at
from sinewright.case.said import direction_of, said
from sinewright.case.typed import own_way
from sinewright.results import CaseEntry

Shown = dict[str, Any]
_UNITS = {"deg": "°", "weight": ""}
_FIRST = ("grade", "state", "other_side_grade", "force_N", "other_side_force_N", "tested_alone")


@dataclass(frozen=True)
class FormGroup:
    """One group of fields: its title, the section of the case it shows, which of its fields (none: all), a hint."""

    title: str
    section: str
    names: tuple[str, ...] = ()
    hint: str = ""


@dataclass(frozen=True)
class FormPart:
    """One step of the examination: its place in the address, its name, its groups of fields."""

    place: str
    name: str
    groups: tuple[FormGroup, ...]


_LESION = (
    "cause", "cause_note", "onset_months", "onset_on", "recovering", "stable_months", "nerve_studies",
    "earlier_surgery", "imaging",
)  # fmt: skip
_HEALTH = (
    "infection", "infection_healed_months", "diabetes", "smoking", "blood_thinner", "leprosy_treatment", "note",
)  # fmt: skip
_SHAPE = ("hindfoot", "hindfoot_varus_deg", "forefoot", "arch", "toes")
_SKIN = ("skin_front_of_shin", "skin_top_of_foot", "scar_bed", "ulcer", "note")
_FELT = ("feeling_sole", "feeling_top_of_foot", "dorsalis_pedis_pulse", "posterior_tibial_pulse")
_TONE = ("circulation", "spasticity", "nerve_stump_living")
_BED = ("retinaculum", "extensor_mass", "membrane_scarred", "bone")
_JOINTS = ("ankle_joint", "subtalar_joint", "midfoot_joints", "equinus_fixed")
PARTS: tuple[FormPart, ...] = (
    FormPart(
        "history",
        "History",
        (
            FormGroup("Examination", "", ("examined_on", "note")),
            FormGroup("Lesion and course", "history", _LESION),
            FormGroup("Person", "person"),
            FormGroup("General health", "history", _HEALTH),
        ),
    ),
    FormPart("look", "Look", (FormGroup("Shape, standing", "foot", _SHAPE), FormGroup("Skin", "foot", _SKIN))),
    FormPart(
        "feel",
        "Feel",
        (
            FormGroup("Feeling and pulses", "foot", _FELT),
            FormGroup("Circulation and tone", "history", _TONE),
            FormGroup("Bed of the tendon", "foot", _BED),
        ),
    ),
    FormPart("move", "Move", (FormGroup("Range of both legs", "range"), FormGroup("Joints", "foot", _JOINTS))),
    FormPart("muscles", "Muscles", (FormGroup("", "muscles"),)),
    FormPart("measure", "Measure", (FormGroup("Torques of both legs", "torque"), FormGroup("Sizes of the leg", "leg"))),
    FormPart(
        "life",
        "Life and goals",
        (
            FormGroup("Goals", "goals", hint="0 does not matter, 10 matters most."),
            FormGroup("Brace", "brace"),
            FormGroup("Shoes", "shoes"),
            FormGroup("Work", "work"),
        ),
    ),
    FormPart(
        "wishes",
        "Wishes for the plan",
        (
            FormGroup("Fixed before planning", "plan"),
            FormGroup("Rules overridden, each with a written reason", "plan.overrides"),
        ),
    ),
)


def part_of(path: str) -> FormPart:
    """The part of the form in which an entry stands."""
    whole = path.partition(" (entry")[0]
    return next((part for part in PARTS if whole in paths(part.place)), PARTS[0])


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
        "blank": "as graded" if path.startswith("muscles.") and path.endswith(".state") else "not given",
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
    return [spoken.get(option) or SPOKEN.get(option, str(option)) for option in options]


def _ways(path: str) -> Shown | None:
    """The two words between which a signed number is said, with the one that its name means; None without a sign."""
    direction = direction_of(path)
    return (
        {"plus": direction.plus, "minus": direction.minus, "zero": direction.zero or "none", "own": own_way(path)}
        if direction
        else None
    )


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
    return [shown for group in part.groups for shown in _group(group, side)]


def _group(group: FormGroup, side: str) -> list[Shown]:
    if group.section == "muscles":
        return [_muscle(name) for name in MUSCLES]
    if group.section in ("range", "torque"):
        return [_pair(group, side)]
    return [_section(group)]


def _pair(group: FormGroup, side: str) -> Shown:
    top = group.section
    model = section_at((top, "affected"))
    assert model is not None
    legs = [f"{side} leg, to be operated on", f"{'left' if side == 'right' else 'right'} leg"]
    rows = [
        {
            "label": sentence_case(label(f"{top}.affected.{name}")),
            "help": _help(f"{top}.affected.{name}"),
            "cells": [field(f"{top}.{leg}.{name}", info, legs[i]) for i, leg in enumerate(("affected", "other"))],
        }
        for name, info in model.model_fields.items()
    ]
    return {"title": group.title, "help": "", "shape": "pair", "columns": legs, "rows": rows}


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


def _section(group: FormGroup) -> Shown:
    path = group.section
    model = section_at(tuple(path.split("."))) if path else Case
    assert model is not None
    cells = []
    for name in group.names or tuple(model.model_fields):
        here, inner = f"{path}.{name}" if path else name, model.model_fields[name]
        nested = inner_section(inner)
        if nested is not None and is_list(inner):
            cells.append(_rows(here, name, nested))
        elif nested is None:
            cells.append(field(here, inner))
    return {"title": group.title, "help": group.hint, "shape": "grid", "cells": cells, "more": []}


def shown_groups(place: str, side: str, spoken: frozenset[str]) -> list[Shown]:
    """The groups of one part, with the overrides only of rules that `spoken` names by their code."""
    shown = []
    for group in groups(place, side):
        if group["title"] != PARTS[-1].groups[-1].title:
            shown.append(group)
            continue
        cells = [cell for cell in group["cells"] if cell["path"].rpartition(".")[2] in spoken]
        told = "" if cells else "No rule stands against an operation as the examination is now."
        shown.append({**group, "cells": cells, "help": told})
    return shown


def _rows(path: str, name: str, model: type[Section]) -> Shown:
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
