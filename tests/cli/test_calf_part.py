"""The calf procedures as lines of text."""

from __future__ import annotations

from dataclasses import replace

from sinewright.cli.screen import Screen
from sinewright.cli.weigh_page import calf_lines
from sinewright.results import CALF_PROCEDURES, CalfTrial

from .invented_weighing import FIRST


def test_each_choice_is_told_once_with_every_procedure_below(plain: Screen) -> None:
    outcome = FIRST
    trials = tuple(CalfTrial(name, (outcome,), (outcome.choice.id,), 27, 128) for name in CALF_PROCEDURES)
    told = " ".join(" ".join(line.plain for line in calf_lines(trials, plain)).split())
    assert told.count(outcome.choice.title) == 1
    for said in (
        "After Achilles lengthening: A lead, of 27 operations tried.",
        "calf left as it is: lift ",
        "after gastrocnemius recession: lift ",
        "after Achilles lengthening: lift ",
    ):
        assert said in told
    assert "first 128 virtual legs" in told
    assert "is not counted" in told and all(len(line.plain) <= plain.width for line in calf_lines(trials, plain))


def test_what_cannot_be_done_gives_its_reason(plain: Screen) -> None:
    outcome = FIRST
    aside = replace(outcome, status="set aside", reason="The tendon does not reach.", quantities={})
    told = " ".join(line.plain for line in calf_lines((CalfTrial("none", (aside,)),), plain))
    assert "calf left as it is: The tendon does not reach." in told


def test_nothing_is_printed_for_a_supple_calf(plain: Screen) -> None:
    assert calf_lines((), plain) == []
