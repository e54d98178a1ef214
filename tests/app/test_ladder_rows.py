"""Rows of the ladder on screen: order, words, what is set aside; a plan that is frozen keeps what was chosen."""

from __future__ import annotations

from dataclasses import replace

import pytest

from sinewright.app.ladder_rows import HEADS, LIFT, SORTS, aside, beside, beside_note, notes, ordered, row
from sinewright.case import read_case
from sinewright.choose.goals import GOALS, scales, weights_of
from sinewright.choose.ladder import goals_in_words
from sinewright.results import Fired, OperationSummary, Outcome, Posture, Spread, Standing, View, Weighing

from .app_browser import EXAMPLES

CASE = read_case(EXAMPLES / "stiff_calf.toml")
POSTURE = Posture(8.0, 0.0, 30.0)


def outcome(name: str, lift: float, place: int, status: str = "workable") -> Outcome:
    choice = OperationSummary(name, "tibialis_posterior", "way", "bone", POSTURE, 4.0, name.title(), "by some way")
    if status == "set aside":
        return Outcome(choice, "set aside", "It does not reach.")
    spread = Spread(lift - 9.0, lift - 4.0, lift, lift + 4.0, lift + 9.0)
    utility = Spread(0.1, 0.2, 0.3, 0.4, 0.5)
    standing = Standing(dict.fromkeys(GOALS, 0.5), utility, 0.3, place, 1, 0.5, True, "second")
    return Outcome(choice, "workable", "", {"lift_deg": spread, "reach_margin_mm": spread}, standing=standing)


GOALS_TOLD = goals_in_words(None, weights_of(CASE), scales())
FIRST, SECOND, ASIDE = outcome("first", -6.0, 1), outcome("second", 12.0, 2), outcome("aside", 0.0, 0, "set aside")


@pytest.mark.parametrize(("sort", "top"), [("worth", FIRST), ("lift_deg", SECOND), ("reach_margin_mm", SECOND)])
def test_the_best_stands_on_top_and_those_set_aside_last(sort: str, top: Outcome) -> None:
    found = ordered([ASIDE, SECOND, FIRST], sort)
    assert found[0] is top
    assert found[-1] is ASIDE


@pytest.mark.parametrize("sort", SORTS)
def test_every_order_takes_outcomes_that_lack_the_quantity(sort: str) -> None:
    assert len(ordered([ASIDE, FIRST, SECOND], sort)) == 3


def test_a_row_says_direction_in_words_and_one_cell_for_each_heading() -> None:
    made = row(FIRST)
    assert made["lift"] == ["6° down", "15 down to 3 up"]
    assert len(made["cells"]) == len(HEADS)
    assert made["bar"] == sorted(made["bar"])
    assert made["cells"][0] == ["not computed", ""]


def test_one_set_aside_has_its_reason_and_no_bar() -> None:
    made = row(ASIDE)
    assert (made["bar"], made["reason"], made["kind"]) == (None, "It does not reach.", "set-aside")


def test_a_comparison_has_one_cell_for_each_choice() -> None:
    weighing = Weighing(
        version="0",
        seed=1,
        draws=100,
        side="left",
        pseudonym="label",
        warnings=(),
        sources=(),
        assumptions=(),
        outcomes=(FIRST, SECOND, ASIDE),
        tendon="elastic",
    )
    rows = {name: cells for _, name, cells in beside([FIRST, SECOND], weighing)}
    assert all(len(cells) == 2 for cells in rows.values())
    assert rows["lift"] == ["6° down (15 down to 3 up)", "12° up (3 to 21 up)"]
    assert rows["still possible if it fails"][0] == "Second, by some way"
    assert beside([replace(FIRST, standing=None)], weighing)


def test_ways_that_are_set_aside_for_the_same_reason_stand_in_one_row_and_none_is_lost() -> None:
    other = replace(ASIDE, choice=replace(ASIDE.choice, id="other", subtitle="by another way"))
    else_ = replace(ASIDE, choice=replace(ASIDE.choice, id="else"), reason="It is too weak.")
    together, alone = aside([ASIDE, other, else_])
    assert (together["id"], together["subtitle"]) == ("aside", "2 ways")
    assert together["ways"] == ["by some way", "by another way"]
    assert (alone["subtitle"], alone["reason"], "ways" in alone) == ("by some way", "It is too weak.", False)


def test_one_set_aside_says_why_by_findings_by_numbers_or_by_the_rule_that_stopped_it() -> None:
    (found,) = notes(ASIDE, CASE, "Computed.")
    assert found["said"] == "It does not reach."
    assert "From this patient's examination" in found["note"]
    assert "tibialis posterior" in found["note"]
    judged = replace(ASIDE, quantities=FIRST.quantities)
    assert "[own-judge-low-lift]" in notes(judged, CASE, "Computed.")[0]["note"]
    rule = Fired("weak", "block", "The donor is too weak.", (View("It says so.", "key", "Somebody 1999", "read"),))
    assert "Somebody 1999" in notes(replace(ASIDE, rules=(rule,)), CASE, "Computed.")[0]["note"]
    assert "Somebody 1999" in beside_note("watch", [replace(FIRST, rules=(rule,))], CASE, "Computed.")


def test_every_number_of_a_row_has_its_note() -> None:
    made = notes(FIRST, CASE, "Computed on 100 virtual legs, seed 1.")
    assert [each["label"] for each in made] == [LIFT, *HEADS]
    assert made[0]["said"] == "6° down (15 down to 3 up)"
    assert all("Computed on 100 virtual legs, seed 1." in each["note"] for each in made)
    assert "tibialis posterior" in made[0]["note"]


def test_every_line_of_a_comparison_that_holds_numbers_has_its_note() -> None:
    weighing = Weighing(
        version="0",
        seed=1,
        draws=100,
        side="left",
        pseudonym="label",
        warnings=(),
        sources=(),
        assumptions=(),
        outcomes=(FIRST, SECOND),
        tendon="elastic",
        goals=GOALS_TOLD,
    )
    keys = [key for key, _, _ in beside([FIRST, SECOND], weighing)]
    assert "goal:push_off" in keys
    without = {key for key in keys if not beside_note(key, [FIRST, SECOND], CASE, "Computed.")}
    assert without == {"watch"}
