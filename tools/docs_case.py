"""The JSON Schema and the printed list of fields of a case, made from the models so that they cannot disagree."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

from pydantic.fields import FieldInfo

from sinewright.case.fields import Section
from sinewright.case.labels import label
from sinewright.case.model import Case
from sinewright.case.paths import finding_type, inner_section, is_list
from sinewright.case.wording import allowed

_HEAD = """\
# The case file

*This page is generated from the program; a test fails when it is stale.*

A case file is a TOML text (UTF-8, at most 1 MiB) about one leg of one patient. Only `schema_version`,
`pseudonym` and `side` must be there; leave out whatever was not examined, and the plan says what it
assumed instead. Unknown entries, wrong units, numbers in quotes and findings that contradict each other
are refused with a sentence that says what to do.

**Sides.** `side` names the leg that is to be operated on, as a whole word. Everywhere else the legs are
called `affected` and `other`. There is no default.

**Signs.** Neutral is the sole square to the shank. Dorsiflexion is positive, so a dropped foot and a
fixed equinus are negative. Entries with `_down_`, `inversion_` or `_out_` in their name count positive
in that direction: write `plantarflexion_limit_down_deg = 40`, never -40. Torques and forces are
positive.

**Units** end the name of the entry: `_deg` degrees, `_mm` millimetres, `_cm` centimetres, `_kg`
kilograms, `_N` newtons, `_Nm` newton metres, `_months` and `_years`.

**How a finding is known.** A plain value means measured. Otherwise write a table; `on` and `by` are
optional:

```toml
foot_length_mm = 262
shank_length_mm = { value = 380, known = "estimated", on = 2025-03-04, by = "tape" }
```

`known` is `"measured"`, `"estimated"` or `"assumed"`. In the lists below such entries are marked
*finding*.

The same rules for programs: [case.schema.json](case.schema.json). Complete invented cases stand in
`examples/`.
"""


def json_schema() -> dict[str, Any]:
    """JSON Schema of the case (dates as text), without null, which a TOML file cannot hold."""
    schema: dict[str, Any] = _without_null(Case.model_json_schema())
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **schema}


def schema_text() -> str:
    """The JSON Schema as it stands in its file."""
    return json.dumps(json_schema(), indent=2, ensure_ascii=False, sort_keys=True) + "\n"


def fields_text() -> str:
    """The list of all fields in Markdown, one table for each section."""
    return "\n".join([_HEAD, *_section("", Case, "Top of the file", "before the first heading")])


def _without_null(part: Any) -> Any:
    if isinstance(part, list):
        return [_without_null(each) for each in part if each != {"type": "null"}]
    if not isinstance(part, dict):
        return part
    kept = {key: _without_null(value) for key, value in part.items() if not (key == "default" and value is None)}
    only = kept.get("anyOf", [])
    return {**{key: value for key, value in kept.items() if key != "anyOf"}, **only[0]} if len(only) == 1 else kept


def _section(path: str, model: type[Section], title: str, description: str) -> Iterator[str]:
    """Heading and table of one section, then of the sections inside it; the muscles share one table."""
    plain = {name: field for name, field in model.model_fields.items() if inner_section(field) is None}
    inner = {name: field for name, field in model.model_fields.items() if inner_section(field) is not None}
    yield from (f"## {title}", "", f"{description[:1].upper()}{description[1:]}.", "")
    if plain:
        yield from ("| entry | called | takes | meaning |", "|---|---|---|---|")
        yield from (_row(name, field, path) for name, field in plain.items())
        yield ""
    if path == "muscles":
        yield from _muscles(inner)
        return
    for name, field in inner.items():
        here = f"{path}.{name}" if path else name
        heading = f"`[[{here}]]`" if is_list(field) else f"`[{here}]`"
        inside = inner_section(field)
        if inside is not None:
            yield from _section(here, inside, heading, str(field.description))


def _muscles(inner: dict[str, FieldInfo]) -> Iterator[str]:
    yield from ("| heading | muscle |", "|---|---|")
    yield from (f"| `[muscles.{name}]` | {field.description} |" for name, field in inner.items())
    yield ""
    inside = next(iter(inner.values()))
    model = inner_section(inside)
    if model is not None:
        yield from _section("muscles.name", model, "Each `[muscles.<name>]`", "The same entries for every muscle")


def _row(name: str, field: FieldInfo, path: str) -> str:
    takes = allowed(field, (*path.split("."), name)).replace("|", "\\|")
    mark = "; *finding*" if finding_type(field) else ""
    must = "; **must be there**" if field.is_required() else ""
    called = label(f"{path}.{name}" if path else name)
    return f"| `{name}` | {called} | {takes}{mark}{must} | {field.description} |"
