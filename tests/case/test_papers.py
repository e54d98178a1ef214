"""Examples, JSON Schema and the printed list of fields agree with the models."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from docs_case import fields_text, json_schema, schema_text
from sinewright.case import read_case
from sinewright.case.fields import Section, bounds_of, unit_of
from sinewright.case.paths import all_fields, finding_type, inner_section

from .case_helpers import EXAMPLES, ROOT, SMALL

FIELDS = all_fields()
NAMES = [path for path, _ in FIELDS]
UNITS = {
    "deg": "deg",
    "mm": "mm",
    "cm": "cm",
    "kg": "kg",
    "N": "N",
    "Nm": "Nm",
    "months": "months",
    "years": "years",
    "deg_per_s": "deg/s",
    "hours_per_week": "h/week",
}
WEIGHTS = "weight"


def as_json(text: str) -> Any:
    """TOML content with dates as text, as JSON would hold it."""
    return json.loads(json.dumps(tomllib.loads(text), default=str))


def test_generated_papers_are_fresh() -> None:
    again = "run: python tools/docs.py"
    assert (ROOT / "docs/case.schema.json").read_text(encoding="utf-8") == schema_text(), again
    assert (ROOT / "docs/case-file.md").read_text(encoding="utf-8") == fields_text(), again


@pytest.mark.parametrize(("path", "field"), FIELDS, ids=NAMES)
def test_every_field_has_a_description_and_numbers_a_unit_and_a_range(path: str, field: Any) -> None:
    assert field.description
    assert len(field.description) > 3
    name = path.rpartition(".")[2]
    if unit_of(field):
        low, high = bounds_of(field) or (0.0, 0.0)
        assert low < high
        ending = next((end for end in sorted(UNITS, key=len, reverse=True) if name.endswith(end)), None)
        assert unit_of(field) == (UNITS[ending] if ending else WEIGHTS)
    kinds = [field.annotation, *getattr(field.annotation, "__args__", ())]
    assert unit_of(field) or float not in kinds
    found = finding_type(field)
    assert unit_of(field) or found is None or "grade" in name


@pytest.mark.parametrize("path", NAMES)
def test_every_field_stands_in_the_printed_list(path: str) -> None:
    assert f"`{path.rpartition('.')[2]}`" in fields_text() or f"{path}]" in fields_text()


def test_sections_are_frozen_and_strict() -> None:
    sections = {inner_section(field) for _, field in FIELDS} | {finding_type(field) for _, field in FIELDS}
    for model in sections - {None}:
        assert model is not None
        assert issubclass(model, Section)
        assert model.model_config["frozen"] is model.model_config["strict"] is True
        assert model.model_config["extra"] == "forbid"


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_an_example_is_invented_says_so_and_fits_the_schema(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    case = read_case(path)
    assert text.startswith("# Invented for teaching: the person, the place and every number are made up.")
    assert case.invented
    jsonschema.validate(as_json(text), json_schema())


def test_the_examples_are_the_five_promised() -> None:
    sides = {path.stem: read_case(path).side for path in EXAMPLES}
    assert sides == {
        "deep_branch_strong_peroneals": "right",
        "knee_dislocation_common_peroneal": "left",
        "front_compartment_loss": "right",
        "borderline_donor": "left",
        "stiff_calf": "right",
    }


WRONG = [
    "[leg]\nfoot_length_mm = 26",
    "[leg]\nfoot_length_mm = { value = 26 }",
    '[leg]\nfoot_length_mm = { value = 260, known = "guessed" }',
    "[muscles.soleus]\ngrade = 4",
    "[leg]\nfoot_length_cm = 26",
    "[person]\nage_years = true",
]


@pytest.mark.parametrize("text", WRONG)
def test_the_schema_refuses_what_reading_refuses(text: str) -> None:
    jsonschema.validate(as_json(SMALL), json_schema())
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(as_json(SMALL + text), json_schema())
