"""Every kind of document: its head, its schema in docs/, every field told, bytes that do not depend on order."""

from __future__ import annotations

import json
from dataclasses import fields, is_dataclass
from html.parser import HTMLParser
from pathlib import Path

import jsonschema
import pytest

import docs_documents
from sinewright import results as r

from .cli.invented_steps import ASKED, RULED
from .cli.invented_weighing import WEIGHING

ROOT = Path(__file__).parents[1]


INVENTED = (WEIGHING, RULED, ASKED, r.PlanDocument.of(WEIGHING, r.Chosen.of(RULED.ruler)))


@pytest.mark.parametrize("name", docs_documents.KINDS)
def test_the_schema_in_docs_is_the_one_of_the_program(name: str) -> None:
    text = (ROOT / "docs" / f"{name}.schema.json").read_text("utf-8")
    assert text == r.schema_text(docs_documents.KINDS[name]), "python tools/docs.py"
    jsonschema.Draft202012Validator.check_schema(json.loads(text))


@pytest.mark.parametrize("name", docs_documents.KINDS)
def test_every_document_carries_its_head(name: str) -> None:
    properties = json.loads(r.schema_text(docs_documents.KINDS[name]))["properties"]
    assert {"document", "version", "invented", "caution", "side"} <= set(properties)
    assert properties["document"]["const"] == name


@pytest.mark.parametrize("name", docs_documents.KINDS)
def test_every_field_of_every_document_is_told_in_words(name: str) -> None:
    untold = [
        field
        for field, told in docs_documents.fields_of(json.loads(r.schema_text(docs_documents.KINDS[name])))
        if not told
    ]
    assert untold == []


def test_nomenclature_lists_every_field_as_it_is_today() -> None:
    text = (ROOT / "NOMENCLATURE.md").read_text("utf-8")
    assert text == docs_documents.nomenclature_text(), "python tools/docs.py"
    for name in docs_documents.KINDS:
        for field, _ in docs_documents.fields_of(json.loads(docs_documents.schema_text(name))):
            assert f"| `{field}` |" in text


@pytest.mark.parametrize("document", INVENTED, ids=lambda document: document.document)
def test_a_document_fits_its_schema_and_says_what_it_is_not(document: r.Document) -> None:
    content = json.loads(r.json_text(document))
    jsonschema.validate(content, json.loads(r.schema_text(type(document))))
    assert list(content)[:5] == ["document", "version", "invented", "caution", "side"]
    assert "not a medical device" in content["caution"] and "licensed practice" in content["caution"]
    assert content["side"] == document.side


def floats(part: object) -> list[float]:
    if isinstance(part, float):
        return [part]
    inner = part.values() if isinstance(part, dict) else part if isinstance(part, list) else ()
    return [value for each in inner for value in floats(each)]


@pytest.mark.parametrize("document", INVENTED, ids=lambda document: document.document)
def test_every_float_has_four_decimals_and_no_negative_zero(document: r.Document) -> None:
    found = floats(r.plain(document))
    assert found and all(value == round(value, 4) for value in found)
    assert "-0.0" not in [str(value) for value in found]


class Cells(HTMLParser):
    """Counts the rows of a table and collects its text."""

    def __init__(self) -> None:
        super().__init__()
        self.rows, self.text = 0, ""

    def handle_starttag(self, tag: str, attrs: object) -> None:
        self.rows += tag == "tr"

    def handle_data(self, data: str) -> None:
        self.text += data


@pytest.mark.parametrize("document", INVENTED, ids=lambda document: document.document)
def test_terminal_and_notebook_show_side_rows_and_caution(document: r.Document) -> None:
    brief, cells = document.brief(), Cells()
    cells.feed(document._repr_html_())
    assert cells.rows == 1 + len(brief.rows)
    for shown in (str(document), cells.text):
        assert shown.startswith(f"{document.side} foot".upper())
        assert "not a medical device" in shown
        assert all(cell in shown for row in brief.rows for cell in row)
    assert all(len(row) == len(brief.heads) for row in brief.rows)


def test_a_name_cannot_break_out_of_a_notebook() -> None:
    brief = r.Brief("<b>", ("<i>",), (("<script>",),))

    class Bad(r.Document):
        def brief(self) -> r.Brief:
            return brief

    shown = Bad(document="x", version="0", side=None)._repr_html_()
    assert "<script>" not in shown and "<i>" not in shown and "&lt;script&gt;" in shown


def test_the_weighing_stands_in_order_whatever_the_order_of_computing() -> None:
    places = [outcome.standing.place for outcome in WEIGHING.outcomes if outcome.standing]
    assert places == sorted(places)
    assert [outcome.status for outcome in WEIGHING.outcomes][len(places) :] == ["set aside"]


def test_what_was_chosen_is_kept_to_the_last_digit() -> None:
    ruler = RULED.ruler
    exact = 7.123456
    chosen = r.Chosen(ruler.choice.id, "title", "subtitle", exact, r.Posture(-5.81234567, 0.0, 30.0))
    kept = r.PlanDocument.of(WEIGHING, chosen).content()
    assert r.chosen_in(json.loads(json.dumps(kept))) == chosen
    assert r.chosen_in(r.PlanDocument.of(WEIGHING).content()) is None


OLD_PLAN = {
    "version": "0.1.0", "seed": 1, "draws": 300, "side": "right", "pseudonym": "quiet-otter-58",
    "choices": [{"id": "a", "status": "workable"}],
    "chosen": {
        "id": "a", "title": "Tibialis posterior", "subtitle": "through the membrane", "set_stretch_mm": 9.5,
        "fixing": {"ankle_deg": 8.0, "subtalar_deg": 0.0, "knee_deg": 30.0}, "by_hand": True,
    },
}  # fmt: skip


def test_a_plan_of_before_documents_had_heads_still_says_what_was_chosen() -> None:
    chosen = r.chosen_in(OLD_PLAN)
    assert chosen is not None and (chosen.id, chosen.set_stretch_mm, chosen.fixing.ankle_deg) == ("a", 9.5, 8.0)
    assert r.chosen_in({name: part for name, part in OLD_PLAN.items() if name != "chosen"}) is None
    with pytest.raises(ValueError, match="set_stretch_mm"):
        r.chosen_in({"chosen": {"id": "a", "title": "", "subtitle": "", "fixing": OLD_PLAN["chosen"]["fixing"]}})  # type: ignore[index]


def test_every_result_type_is_frozen() -> None:
    kinds = [kind for name in r.__all__ if is_dataclass(kind := getattr(r, name))]
    assert len(kinds) > 40
    assert all(kind.__dataclass_params__.frozen for kind in kinds)  # type: ignore[union-attr]
    assert all(fields(kind) for kind in kinds)  # type: ignore[arg-type]
