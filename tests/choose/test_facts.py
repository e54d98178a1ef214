"""No sentence of a rule or option holds a number that its rows do not hold, and every source resolves."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from docs_rules import rules_text
from sinewright.choose import facts_body, facts_moving, facts_options, facts_timing
from sinewright.choose.fact import Fact
from sinewright.choose.options import WAYS
from sinewright.choose.rules import ALL
from sinewright.reference import Row, load

DOCS = Path(__file__).parents[2] / "docs"
MODULES = (facts_body, facts_moving, facts_options, facts_timing)
FACTS = {
    f"{module.__name__.rpartition('.')[2]}.{name}": fact
    for module in MODULES
    for name, fact in vars(module).items()
    if isinstance(fact, Fact)
}
NUMBER = re.compile(r"\d+(?:\.\d+)?")
# names of a source's system, not results: Goutallier 3, Mercuri 3 stand in the fact from memory
NAMES = {"facts_moving.FAT": {"3"}}
GROUPS = ("nv-m4-done-within-6-months-george2014", "nv-m4-done-after-12-months-george2014")


def numbers(text: str) -> set[float]:
    return {float(each) for each in NUMBER.findall(text)}


def held(row: Row) -> set[float]:
    """Every number that a row holds, in cells and words."""
    cells = (row.quantity, row.structure, row.condition, row.population, row.method, row.spread, row.note)
    out = {number for cell in cells for number in numbers(cell)} | ({float(row.n)} if row.n is not None else set())
    if row.bounds:
        out |= {abs(bound) for bound in row.bounds}
    return out


@pytest.mark.parametrize("name", FACTS)
def test_a_fact_has_a_source_and_no_number_of_its_own(name: str) -> None:
    fact = FACTS[name]
    view = fact.view()
    assert view.text.endswith(".") and view.source and (fact.rows or fact.key)
    rows = [load().row(row) for row in fact.rows]
    assert len({(row.source, row.known) for row in rows}) <= 1
    allowed = set().union(*(held(row) for row in rows)) if rows else {float(each) for each in NAMES.get(name, ())}
    assert numbers(fact.text) <= allowed


def test_a_made_up_number_is_seen() -> None:
    spoiled = Fact("Brace off in 95 %.", ("out-stevoska2021-share-free-of-brace-after",))
    assert not numbers(spoiled.text) <= held(load().row(spoiled.rows[0]))


@pytest.mark.parametrize("way", WAYS, ids=lambda way: way.id)
def test_an_option_gives_a_result_only_with_the_size_of_its_group(way: object) -> None:
    for fact in way.facts:  # type: ignore[attr-defined]
        rows = [load().row(row) for row in fact.rows]
        results = [
            row for row in rows if row.has_number and re.match(r"share|count|speed|six|trials|torque", row.quantity)
        ]
        sized = any(row.n or "95" in row.spread_kind or "studies" in row.population for row in results)
        assert not results or sized, fact.text
        assert not any(row.id in GROUPS for row in rows) or "not kept" in fact.text


def test_every_fact_is_used_by_a_rule_or_an_option() -> None:
    used = {fact for rule in ALL for fact in rule.facts} | {fact for way in WAYS for fact in way.facts}
    assert [name for name, fact in FACTS.items() if fact not in used] == []


def test_a_fact_from_memory_and_one_of_the_trade_say_so() -> None:
    assert {fact.view().known for fact in FACTS.values() if fact.key == "from-memory"} == {"recalled"}
    trade = [fact.view() for fact in FACTS.values() if fact.known == "practice"]
    assert trade and all(view.source == "common practice" for view in trade)


def test_the_printed_page_is_fresh() -> None:
    assert (DOCS / "rules.md").read_text("utf-8") == rules_text(), "run: python tools/docs.py"


def test_the_printed_page_names_every_rule_and_way() -> None:
    page = rules_text()
    assert all(f"### `{rule.code}`" in page for rule in ALL)
    assert all(f"### {way.title}" in page for way in WAYS)
