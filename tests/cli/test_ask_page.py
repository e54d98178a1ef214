"""One sentence for each question, the most useful first; one for each leading choice."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import jsonschema
import pytest

import sinewright.plan
from sinewright.cli.ask_page import ask_lines
from sinewright.cli.screen import Screen
from sinewright.results import Asked, json_text, schema_text
from sinewright.wording.asking import DULL as DULL_WORDS
from sinewright.wording.asking import NOTHING, hangs_on

from .cli_streams import Ran, Stream
from .invented_steps import ANGLE, ASKED, DULL, EFFECTS, LEARNING, METER, SCAR


def page(asked: Asked, width: int = 100, full: bool = False) -> list[str]:
    screen = Screen(Stream(full), width, full)
    return [line.plain.rstrip() for line in ask_lines(asked, screen)]


def flat(asked: Asked) -> str:
    return " ".join(" ".join(page(asked)).split())


@pytest.mark.parametrize("width", [60, 80, 120])
@pytest.mark.parametrize("full", [False, True])
def test_no_line_runs_over_the_edge(width: int, full: bool) -> None:
    assert max(map(len, page(ASKED, width, full))) <= width


def test_questions_stand_in_their_order_and_what_cannot_be_known_apart() -> None:
    told = flat(ASKED)
    places = [told.index(each) for each in ("1. A dynamometer", "2. A second reading", f"{DULL_WORDS}: hindfoot.")]
    assert places == sorted(places)
    assert "A test of the hindfoot" not in told
    assert told.index("What no measurement tells") > places[-1]
    assert "Best weighted goals under the case's weights: Tibialis posterior, through the membrane" in told
    assert NOTHING not in told
    assert NOTHING in flat(replace(ASKED, questions=(ANGLE, SCAR)))


@pytest.mark.parametrize(
    ("answered", "sentence"),
    [
        (
            METER,
            "A dynamometer on the donor would change the first choice in 31 of 100 legs like this one (known without "
            "error: 36) and raise the chance to clear by 5 in 100.",
        ),
        (
            ANGLE,
            "A second reading of the passive lift would not change the first choice but takes away 16 % of the doubt "
            "about its lift.",
        ),
        (DULL, "A test of the hindfoot would not change the first choice."),
        (
            SCAR,
            "Scar cannot be known beforehand; knowing it would change the first choice in 6 of 100 legs like this one.",
        ),
        (
            LEARNING,
            "How well the muscle learns cannot be known beforehand; knowing it would not change the first choice.",
        ),
    ],
    ids=lambda each: getattr(each, "title", "said"),
)
def test_each_answer_is_one_sentence(answered: object, sentence: str) -> None:
    assert answered.sentence == sentence  # type: ignore[attr-defined]


def test_what_the_case_cannot_hold_is_said_where_it_would_help() -> None:
    without = replace(METER, field="")
    assert without.sentence.endswith("by 5 in 100. The case has no place for it yet.")
    assert replace(DULL, field="").sentence.endswith("would not change the first choice.")


def test_an_error_that_is_our_own_is_named_as_an_assumption() -> None:
    assert "Assumed behind these readings" not in flat(ASKED)
    row = "own-ask-hindfoot-stiffness-error"
    told = flat(replace(ASKED, questions=(replace(DULL, rows=("me-pf-sem", row)),)))
    assert f"Assumed behind these readings: subtalar: measurement error 20 % (assumption, {row})." in told


def test_the_doubt_that_moves_the_lift_most_is_named_with_share_and_error() -> None:
    assert hangs_on(EFFECTS) == (
        "its lift hangs most on unharmed strength, 36 % of the doubt (standard error 3); then scar and gliding "
        "20 % (2), settling 10 % (1)."
    )
    assert hangs_on(EFFECTS[:1]).endswith("(standard error 3).")
    assert hangs_on(()) == "nothing drawn here moves its lift."


def test_without_a_choice_nothing_is_asked() -> None:
    assert "there is nothing to measure for" in flat(replace(ASKED, questions=(), leading=()))


def test_the_document_fits_its_schema() -> None:
    document = json.loads(json_text(ASKED))
    jsonschema.validate(document, json.loads(schema_text(Asked)))
    assert [each["title"] for each in document["questions"]] == [each.title for each in ASKED.questions]
    assert [each["sentence"] for each in document["questions"]] == [each.sentence for each in ASKED.questions]
    assert document["leading"][0]["effects"][0] == {"doubt": "unharmed strength", "total": 0.36, "error": 0.03}
    assert document["leading"][0]["choice"]["id"] == "a"


def test_the_command_prints_and_writes(
    run: Callable[..., Ran], monkeypatch: pytest.MonkeyPatch, case_file: Path
) -> None:
    monkeypatch.setattr(sinewright.plan, "ask_next", lambda *given: ASKED)
    target = case_file.parent / "ask.json"
    told = run("ask", case_file, "--json", target)
    assert (told.code, told.err) == (0, "")
    assert told.out.isascii() and "A dynamometer on the donor" in told.out
    assert json.loads(target.read_text("utf-8"))["draws"] == 300
    assert run("ask", case_file, "--json", case_file).code == 2
