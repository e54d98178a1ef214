"""Rules, other ways and balance on the page and in the document, from invented results."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import jsonschema
from rich.text import Text

from sinewright.case import parse_case
from sinewright.choose.checking import check
from sinewright.cli.check_page import check_lines
from sinewright.cli.screen import Screen
from sinewright.cli.weigh_page import PrintedRows, weigh_lines
from sinewright.results import Alternative, Balance, Fired, Spread, View, json_text

from .invented_weighing import ASIDE, FIRST, SECOND, WEIGHING, around

DOCS = Path(__file__).parents[2] / "docs"
EARLY = View("Do not wait.", "a1900", "row-a: Invented A. 1900.", "read")
LATE = View("Wait a year.", "b1901", "row-b: Invented B. 1901.", "quoted")
TRADE = View("Test it alone.", "common-practice", "common practice", "practice")
WHEN = Fired("when", "warn", "Sources differ on when.", (EARLY, LATE))
DONOR = Fired("donor", "warn", "The donor was not tested alone.", (TRADE,))
STOP = Fired("stop", "block", "There is no way through.", (TRADE,))
KEPT = replace(STOP, override="the way was opened before")
WAY = Alternative("brace", "Brace", "yes", "It serves now.", (TRADE,))
EVEN = Spread(0.4, 0.45, 0.5, 0.55, 0.6)
LEFT = Balance(
    around(10, 1, 3), around(9, 1, 3), around(2, 0.5, 1), around(9, 1, 3), around(11, 2, 5), EVEN, None, ("x",)
)
FULL = replace(
    WEIGHING,
    rules=(WHEN,),
    options=(WAY,),
    outcomes=(
        replace(FIRST, rules=(DONOR,), balance=LEFT),
        replace(SECOND, rules=(KEPT, DONOR)),
        ASIDE,
    ),
)


def flat(lines: list[Text]) -> str:
    return " ".join(" ".join(line.plain for line in lines).split())


def test_rules_are_printed_once_with_their_choices_and_disagreeing_sources_when_asked(plain: Screen) -> None:
    short = flat(weigh_lines(FULL, plain, PrintedRows()))
    assert "! Sources differ on when. Rests on: read a1900; quoted b1901." in short
    assert short.count("The donor was not tested alone. [2 choices]") == 1
    long = flat(weigh_lines(FULL, plain, PrintedRows(basis=True)))
    assert "Do not wait. (read in the source: row-a: Invented A. 1900.)" in long
    assert "Wait a year. (quoted by another paper: row-b: Invented B. 1901.)" in long
    assert "Test it alone. (common practice)" in long


def test_a_block_says_how_to_keep_it_and_an_override_why_it_was_kept(plain: Screen) -> None:
    told = flat(weigh_lines(FULL, plain, PrintedRows()))
    assert 'There is no way through. [1 choice] Overridden: "the way was opened before"' in told
    blocked = replace(FULL, outcomes=(replace(ASIDE, rules=(STOP,)),))
    told = flat(weigh_lines(blocked, plain, PrintedRows()))
    assert (
        "X There is no way through. [1 choice] Blocks; a written reason under [plan.overrides] as stop keeps it."
        in told
    )


def test_other_ways_and_balance_are_printed_without_a_predicted_number(plain: Screen) -> None:
    told = flat(weigh_lines(FULL, plain, PrintedRows()))
    assert "Brace: suits. It serves now. Rests on: common practice." in told
    assert "Now: inward 10.0 Nm (7.0 to 13.0), outward 9.0 Nm (6.0 to 12.0)." in told
    assert "moved: inward 2.0 Nm (1.0 to 3.0), outward 9.0 Nm (6.0 to 12.0); x." in told


def test_the_document_keeps_rules_reasons_and_balance() -> None:
    document = json.loads(json_text(FULL))
    jsonschema.validate(document, json.loads((DOCS / "weigh.schema.json").read_text("utf-8")))
    assert [each["code"] for each in document["rules"]] == ["when"]
    assert [view["key"] for view in document["rule_views"]["when"]] == ["a1900", "b1901"]
    assert document["outcomes"][1]["rules"][0]["override"] == "the way was opened before"
    assert document["outcomes"][0]["rules"][0]["override"] == ""
    assert document["outcomes"][0]["balance"]["inward_after_Nm"]["p50"] == 2.0
    assert document["outcomes"][0]["balance"]["inward_share_after"] is None
    assert document["options"][0]["suits"] == "yes"


def test_check_prints_the_rules_of_the_case(plain: Screen) -> None:
    head = 'schema_version = 1\npseudonym = "ZZ-9"\nside = "left"\n'
    told = flat(check_lines(check(parse_case(head + '[foot]\nulcer = "open"\n')), "", plain, everything=True))
    assert (
        "X A pressure ulcer of the foot is open. Blocks; a written reason under [plan.overrides] as open_ulcer" in told
    )
    assert "Other ways" not in told
