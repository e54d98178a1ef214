"""Turns what the models refuse into sentences: the field as in the file, what was given, what is allowed.

For an entry that does not exist: what was probably meant; a wrong unit, side, section, short form or slip.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from datetime import date
from difflib import get_close_matches
from typing import Any, Literal, get_args, get_origin

from pydantic.fields import FieldInfo
from pydantic_core import ErrorDetails

from sinewright.case.fields import Finding, Section, bounds_of, unit_of
from sinewright.case.muscles import MUSCLES
from sinewright.case.paths import all_fields, field_at, fields_inside, section_at
from sinewright.errors import InputError

_UNITS = (
    "m", "cm", "mm", "in", "inch", "inches", "ft", "deg",
    "degree", "degrees", "rad", "kg", "g", "lb", "lbs", "N",
    "kN", "n", "kgf", "Nm", "Nmm", "Ncm", "nm", "years", "year", "months", "month", "weeks", "days", "h", "s",
)  # fmt: skip
_UNIT_END = re.compile(rf"_({'|'.join(sorted(_UNITS, key=len, reverse=True))})$")
_SIDES = {"right", "left", "r", "l", "rechts", "links", "healthy", "sound", "unaffected", "contralateral"}
_SHORT_FORMS = {
    "ta": "tibialis_anterior",
    "ehl": "extensor_hallucis_longus",
    "edl": "extensor_digitorum_longus",
    "pt": "peroneus_tertius",
    "pl": "peroneus_longus",
    "pb": "peroneus_brevis",
    "tp": "tibialis_posterior",
    "fdl": "flexor_digitorum_longus",
    "fhl": "flexor_hallucis_longus",
    "gastrocnemius": "gastrocnemius_medial or muscles.gastrocnemius_lateral",
}
Loc = tuple[int | str, ...]
OVERRIDES: Loc = ("plan", "overrides")  # its names are codes of rules, so all of them are listed


def unknown_field(loc: Loc, path: str, given: str) -> InputError:
    """The problem of an entry that no section knows, with what was probably meant."""
    name, parent = str(loc[-1]), loc[:-1]
    inside = section_at(parent)
    known = fields_inside(inside) if inside else []
    advice = (
        _side_hint(name, parent)
        or _muscle_hint(name, parent)
        or _unit_hint(name, parent, known)
        or _near_hint(name, known)
        or _elsewhere_hint(name)
        or "remove it, or see docs/case-file.md for the entries of this section"
    )
    shown = known if parent == OVERRIDES else known[:8]
    allowed = f"{', '.join(shown)}{', ...' if len(known) > len(shown) else ''}" if known else "no entries here"
    return InputError(path, f"{given} in an entry of unknown name", allowed, advice)


def _side_hint(name: str, parent: Loc) -> str:
    if parent[:1] in (("range",), ("torque",)) and name.lower() in _SIDES:
        return (
            f"sides are written once, as side at the top; write [{parent[0]}.affected] for the leg to be "
            f"operated on and [{parent[0]}.other] for the other one"
        )
    return ""


def _muscle_hint(name: str, parent: Loc) -> str:
    if parent != ("muscles",):
        return ""
    if name in ("grade", "state", "force_N"):
        return f"it belongs to one muscle, for instance {name} below [muscles.tibialis_posterior]"
    plain = re.sub(r"_(r|l|right|left)$", "", name.lower().replace(" ", "_"))
    meant = _SHORT_FORMS.get(plain) or (plain if plain in MUSCLES else "")
    if not meant:
        return ""
    return f"write the name in full and without a side: muscles.{meant}; the leg is given by side at the top"


def _unit_hint(name: str, parent: Loc, known: list[str]) -> str:
    """A known name with another unit at its end, or with none."""
    stem = _UNIT_END.sub("", name)
    for meant in known:
        field = field_at((*parent, meant))
        unit = unit_of(field) if field else ""
        if unit and meant != name and _UNIT_END.sub("", meant) == stem:
            return f"{meant} is probably meant, in {unit}: convert the number too, do not only rename the entry"
    return ""


def _near_hint(name: str, known: list[str]) -> str:
    near = get_close_matches(name[:80], known, n=1, cutoff=0.6)
    return f"{near[0]} is probably meant" if near else ""


def _elsewhere_hint(name: str) -> str:
    """A name that is right, but belongs to another section."""
    places = [path for path, _ in all_fields() if path.rpartition(".")[2] == name]
    if not places:
        return ""
    if places[0] == name:
        return f"{name} belongs at the top of the file, before the first [heading]"
    sections = " or ".join(f"[{path.rpartition('.')[0]}]" for path in places[:2])
    return f"{name} belongs below {sections}"


TEXT = "text in quotes"
_ADVICE = {
    "side": "write the leg that is to be operated on as a whole word; it is never guessed",
    "schema_version": "write schema_version = 1; a file of a later version needs a later Sinewright",
    "invented": "write true for a made-up person and false for a patient, without quotes",
    "grade": "a grade is text in quotes with - or +, never a number such as 3.7",
    "other_side_grade": "a grade is text in quotes with - or +, never a number such as 3.7",
    "plantarflexion_limit_down_deg": "this field counts positive DOWN from neutral: write 40, not -40",
    "active_plantarflexion_down_deg": "this field counts positive DOWN from neutral: write 40, not -40",
    "eversion_limit_out_deg": "this field counts positive OUTWARDS: write 15, not -15",
}


class FindingsError(InputError):
    """A case whose content is refused. `problems` lists each as an InputError, in the order of the file.

    `field`, `given`, `allowed` and `advice` are those of the first problem. `name` is the file or text read.
    """

    def __init__(self, problems: Sequence[InputError], name: str = "case") -> None:
        first = problems[0]
        super().__init__(first.field, first.given, first.allowed, first.advice)
        self.problems, self.name = tuple(problems), name

    def __reduce__(self) -> tuple[type[FindingsError], tuple[tuple[InputError, ...], str]]:
        return (FindingsError, (self.problems, self.name))

    def __str__(self) -> str:
        if len(self.problems) == 1:
            return f"{self.name}: {self.problems[0]}"
        listed = "\n".join(f"  {place}. {problem}" for place, problem in enumerate(self.problems, 1))
        return f"{self.name}: {len(self.problems)} problems\n{listed}"


def problems(errors: Sequence[ErrorDetails], tables: Mapping[str, Any]) -> tuple[InputError, ...]:
    """One InputError for each refusal in `errors`, in the order in which the entries stand in `tables`."""
    ordered = sorted(errors, key=lambda error: _place(error["loc"], tables))
    return tuple(problem for error in ordered for problem in _problem(error, tables))


def _place(loc: tuple[int | str, ...], tables: Any) -> tuple[int, ...]:
    """Where an entry stands in the file: one position for each level, -1 where it is missing."""
    found: list[int] = []
    for step in loc:
        names: list[Any] = list(tables) if isinstance(tables, Mapping) else []
        found.append(names.index(step) if step in names else step if isinstance(step, int) else -1)
        tables = _step(tables, step)
    return tuple(found)


def _step(tables: Any, step: int | str) -> Any:
    if isinstance(tables, Mapping):
        return tables.get(step)
    in_list = isinstance(tables, (list, tuple)) and isinstance(step, int) and step < len(tables)
    return tables[step] if in_list else None


def _problem(error: ErrorDetails, tables: Mapping[str, Any]) -> tuple[InputError, ...]:
    """The sentence or sentences for one refusal."""
    if error["type"] == "contradiction":
        return tuple(error["ctx"]["found"])
    loc = _as_in_file(error["loc"], tables)
    path = dotted(loc)
    if error["type"] == "extra_forbidden":
        return (unknown_field(loc, path, show(error["input"])),)
    field = field_at(loc)
    given = "nothing" if error["type"] == "missing" else show(_value(error["input"]), unit_of(field) if field else "")
    return (InputError(path, given, allowed(field, loc), _advice(error, loc)),)


def _as_in_file(loc: tuple[int | str, ...], tables: Mapping[str, Any]) -> tuple[int | str, ...]:
    """`loc` without the step to a finding's value when the file gives the plain value."""
    place: Any = tables
    for step in loc[:-1]:
        place = _step(place, step)
    return loc if isinstance(place, Mapping) else loc[:-1] if loc and loc[-1] == "value" else loc


def _value(given: Any) -> Any:
    return given["value"] if isinstance(given, dict) and "value" in given else given


def dotted(loc: tuple[int | str, ...]) -> str:
    """The path of a field as in the file, for instance ``history.nerve_studies (entry 2).on``."""
    text = ""
    for step in loc:
        text += f" (entry {step + 1})" if isinstance(step, int) else f"{'.' if text else ''}{shortened(step, 60)}"
    return text or "the whole case"


def shortened(text: str, longest: int) -> str:
    """At most `longest` signs of `text`, those that cannot be printed as a question mark."""
    safe = "".join(sign if sign.isprintable() else "?" for sign in text)
    return safe if len(safe) <= longest else f"{safe[:longest]}..."


def show(given: Any, unit: str = "") -> str:
    """A given value as one short printable text, numbers with `unit`."""
    if isinstance(given, bool):
        return "true" if given else "false"
    if isinstance(given, int) and abs(given) >= 10**15:
        return "a number with more than 15 digits"
    if isinstance(given, (int, float)):
        return f"{given!r} {unit}".strip()
    if isinstance(given, str):
        return f'the text "{shortened(given, 60)}"'
    if isinstance(given, Mapping):
        return "a table"
    if isinstance(given, (list, tuple)):
        return f"a list of {len(given)}"
    return "nothing" if given is None else shortened(str(given), 60)


def allowed(field: FieldInfo | None, loc: tuple[int | str, ...]) -> str:
    """What a field takes, with its unit, in words."""
    if field is None:
        return "what docs/case-file.md lists for this place"
    bounds = bounds_of(field)
    if bounds:
        return f"a number from {bounds[0]:g} to {bounds[1]:g} {unit_of(field)}"
    extra = field.json_schema_extra
    if isinstance(extra, dict) and "allowed" in extra:
        return str(extra["allowed"])
    longest = next((rule.max_length for rule in field.metadata if hasattr(rule, "max_length")), None)
    shortest = next((rule.min_length for rule in field.metadata if hasattr(rule, "min_length")), 1)
    taken = kind_in_words(field.annotation, isinstance(loc[-1], int))
    return f"{taken}, {shortest} to {longest} signs" if taken == TEXT else taken


def kind_in_words(kind: Any, one: bool = False) -> str:
    """What a type of a case field takes, in words; `one` for a single entry of a list."""
    parts = [part for part in get_args(kind) if part is not type(None)]
    if get_origin(kind) is Literal:
        return _choices(parts)
    if get_origin(kind) is tuple:
        return kind_in_words(parts[0]) if one else f"a list, each entry {kind_in_words(parts[0])}"
    if isinstance(kind, type) and issubclass(kind, Finding):
        return kind_in_words(kind.model_fields["value"].annotation)
    if isinstance(kind, type) and issubclass(kind, Section):
        return f"a table with {', '.join(fields_inside(kind)[:6])}..."
    if parts:
        return kind_in_words(parts[0], one)
    return {bool: "true or false", date: "a date such as 2025-03-04", str: TEXT}.get(kind, "a number")


def _choices(words: Sequence[Any]) -> str:
    shown = [f'"{word}"' if isinstance(word, str) else str(word) for word in words]
    return shown[0] if len(shown) == 1 else f"one of {', '.join(shown)}"


def _advice(error: ErrorDetails, loc: tuple[int | str, ...]) -> str:
    """What to do, from the field's own hazard or from the kind of refusal."""
    names = [step for step in loc if isinstance(step, str)]
    special = _ADVICE.get(names[-1]) if names else None
    given = _value(error["input"])
    if error["type"] == "missing":
        return special or "add this entry"
    if special:
        return special
    if isinstance(given, float) and given != given:
        return "leave the entry out when the value is not known"
    long_text = error["type"] == "too_long" and isinstance(given, str)
    return _KINDS.get("string_too_long" if long_text else error["type"], "correct this entry")


_KINDS = {
    "outside": "check the unit in the name of the field, and the sign",
    "literal_error": "use one of these words as written here",
    "float_type": "write a plain number without quotes, with a decimal point",
    "bool_type": "write true or false without quotes",
    "date_type": "write the date as year-month-day without quotes",
    "tuple_type": "write a list in square brackets, also for a single entry",
    "model_type": "write a [heading] with entries below it, or a table in curly brackets",
    "string_type": "write text in straight quotes",
    "no_reason": "say in a sentence why the plan goes on, or leave the entry out",
    "string_too_long": "shorten the text",
    "string_too_short": "write something, or leave the entry out",
    "too_long": "at most 40 entries fit in this list",
    "unprintable": "remove the sign that cannot be printed or that turns the writing direction",
    "string_pattern_mismatch": "use a label that says nothing about the person",
}
