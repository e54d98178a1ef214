"""The JSON document: complete, stable, and as its schema says."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from pathlib import Path

import jsonschema
import pytest

from docs_commands import commands_text
from sinewright.results import Weighing, json_text, schema_text

from .invented_weighing import WEIGHING

DOCS = Path(__file__).parents[2] / "docs"
TEXT = json_text(WEIGHING)


def test_commands_page_is_not_stale() -> None:
    assert (DOCS / "commands.md").read_text("utf-8") == commands_text(), "run: python tools/docs.py"


def test_document_fits_its_schema_and_says_every_quantity() -> None:
    schema = json.loads((DOCS / "weigh.schema.json").read_text("utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    document = json.loads(TEXT)
    jsonschema.validate(document, schema)
    outcomes = document["outcomes"]
    assert [each["choice"]["id"] for each in outcomes] == ["a", "b", "d", "c", "e"]
    assert outcomes[0]["quantities"]["lift_deg"] == {"p05": -2.0, "p25": 3.0, "p50": 6.0, "p75": 9.0, "p95": 14.0}
    assert outcomes[4]["quantities"] == {}
    assert outcomes[0]["standing"]["met"] == {"no_brace": 0.7, "small_operation": 0.7}
    assert [each["standing"] and each["standing"]["rank"] for each in outcomes] == [1, 1, 1, 2, None]
    assert document["effective_sample_size"] == 173.2
    assert [each["weight"] for each in document["goals"]] == [0.6, 0.4]
    assert outcomes[0]["choice"]["fixing"] == {"ankle_deg": 10.0, "subtalar_deg": -2.0, "knee_deg": 30.0}


@pytest.mark.parametrize("spoil", ["side", "extra", "outcome", "quantity"])
def test_schema_refuses_what_is_not_the_document(spoil: str) -> None:
    document = json.loads(TEXT)
    if spoil == "side":
        document["side"] = "R"
    if spoil == "extra":
        document["score"] = 0.7
    if spoil == "outcome":
        del document["outcomes"][0]["status"]
    if spoil == "quantity":
        document["outcomes"][0]["quantities"]["lift_mm"] = document["outcomes"][0]["quantities"]["lift_deg"]
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(document, json.loads(schema_text(Weighing)))


def test_document_is_the_same_whatever_the_order_of_computing() -> None:
    assert json_text(replace(WEIGHING, outcomes=WEIGHING.outcomes[::-1])) == TEXT
    assert not re.search(r"-0\.0\b", TEXT)
