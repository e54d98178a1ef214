"""The answer as rows of the page: every rung and way, the scale of the figures, the other decision about the calf."""

from __future__ import annotations

import pytest

from sinewright.app.answer_rows import SCALES, drawn_figures, lift_axis, other_calf, out_rows, rung_rows
from sinewright.results import CalfTrial, Chance, OperationSummary, Outcome, Posture, Spread, Weighing
from sinewright.results.answer import Answer, Danger, Figure, RuledOut, Rung, Way

CLEARS = Chance(0.71, 0.62, 0.79, 100)


def lift(middle: float) -> Spread:
    return Spread(middle - 9.0, middle - 4.0, middle, middle + 4.0, middle + 9.0)


def way(number: str, middle: float) -> Way:
    return Way(number, f"op-{number}", "through the membrane", lift(middle), CLEARS, tied=False)


def rung(number: str, *ways: Way, tied: bool = False, left: int = 2) -> Rung:
    dangers = (Danger("thin", "thin skin", "cover it"),)
    reserve = CLEARS if left else None
    return Rung(number, f"Donor {number}", ways, "arch may sink", left, left_clears=reserve, tied=tied, dangers=dangers)


def outcome(id: str, middle: float, clears: Chance = CLEARS) -> Outcome:
    choice = OperationSummary(id, "tibialis_posterior", "way", "bone", Posture(8.0, 0.0, 30.0), 4.0, "Donor", "way")
    return Outcome(choice, "workable", "", {"lift_deg": lift(middle)}, chances={"clears_swing": clears})


ANSWER = Answer(
    ("The numbers lean to it.",),
    figures=(
        Figure("clears_swing", "clears", "71 of 100", "62 to 79", "in print", ("out-pooled-brace-free-six-series",)),
        Figure("lift_deg", "lift", "13° up", "4 to 22 up", "in print", ("out-hove1998-active-dorsiflexion",)),
        Figure("lowers_foot", "lowers", "10 of 100", "5 to 20"),
    ),
    rungs=(rung("1", way("1", 13.0), way("1b", -44.0), tied=True), rung("2", way("2", 3.0), left=0)),
    ruled_out=(RuledOut("Short peroneal", "Short peroneal is paralysed: it cannot pull."),),
)
WEIGHING = Weighing(
    version="0", seed=1, draws=100, side="left", pseudonym="label", warnings=(), sources=(), assumptions=(),
    outcomes=(outcome("op-1", 13.0), outcome("op-2", 3.0)), tendon="elastic",
)  # fmt: skip


def test_a_rung_holds_its_best_way_and_folds_every_other() -> None:
    first, second = rung_rows(ANSWER, {"op-1": 5.0})
    assert (first["id"], first["lift"], first["range"], first["clears"]) == ("op-1", "13° up", "4 to 22 up", "71")
    assert [each["number"] for each in first["ways"]] == ["1b"]
    assert first["more"] == "1 more way"
    assert (first["other"], second["other"]) == (5.0, None)
    assert (first["left"], first["best"]) == ("2 left", "best clears 71")
    assert (second["left"], second["best"]) == ("none left", "")
    assert first["dangers"] == [{"word": "thin skin", "advice": "cover it"}]


def test_a_rung_that_is_tied_with_no_other_has_no_bar() -> None:
    assert [each["tied"] for each in rung_rows(ANSWER, {})] == [False, False]
    both = Answer(ANSWER.sentences, rungs=(rung("1", way("1", 2.0), tied=True), rung("2", way("2", 1.0), tied=True)))
    assert [each["tied"] for each in rung_rows(both, {})] == [True, True]


def test_one_axis_holds_every_way() -> None:
    assert lift_axis(ANSWER) == (-60.0, 30.0)
    assert lift_axis(Answer(("Nothing.",))) == (-20.0, 20.0)


def test_print_stands_on_the_scale_of_the_computed_number() -> None:
    clears, lifts = drawn_figures(ANSWER, WEIGHING)
    assert clears.computed == pytest.approx((62.0, 71.0, 79.0))
    assert clears.published is not None
    assert clears.published[1] == pytest.approx(100.0 * 106.0 / 115.0)
    assert lifts.computed == (4.0, 13.0, 22.0)
    assert lifts.published == (-15.0, 5.0, 10.0)


def test_degrees_printed_below_neutral_are_ours_below_zero() -> None:
    figure = Figure("pushdown_deg", "down", "39° down", "47 to 27 down", "p", ("out-hove1998-active-plantarflexion",))
    first = outcome("op-1", 13.0)
    weighing = Weighing(
        version="0", seed=1, draws=100, side="left", pseudonym="label", warnings=(), sources=(), assumptions=(),
        outcomes=(Outcome(first.choice, "workable", "", {"pushdown_deg": lift(-39.0)}),), tendon="elastic",
    )  # fmt: skip
    (drawn,) = drawn_figures(Answer(ANSWER.sentences, figures=(figure,), rungs=ANSWER.rungs), weighing)
    assert drawn.published == (-45.0, -40.0, -10.0)


def test_what_lies_beyond_a_scale_stands_at_its_end() -> None:
    scale = SCALES["lift_deg"]
    assert [scale.at(value) for value in (-90.0, -30.0, 0.0, 45.0)] == [0.0, 0.0, 50.0, 100.0]


def test_the_other_decision_about_the_calf_is_the_one_after_which_most_legs_clear() -> None:
    few, many = Chance(0.2, 0.1, 0.3, 100), Chance(0.6, 0.5, 0.7, 100)
    trials = [
        CalfTrial("none", (outcome("op-1", -3.0, few),), ("op-1",)),
        CalfTrial("gastrocnemius recession", (outcome("op-1", 1.0, few),), ("op-1",)),
        CalfTrial("achilles lengthening", (outcome("op-1", 8.0, many),), ("op-1",)),
    ]
    assert other_calf(trials, "none") == ("after Achilles lengthening", {"op-1": 8.0})
    assert other_calf(trials, "achilles lengthening")[0] == "calf left as it is"
    assert other_calf((), "none") == ("", {})


def test_a_donor_that_is_ruled_out_has_one_line() -> None:
    assert out_rows(ANSWER) == [{"title": "Short peroneal", "reason": "short peroneal is paralysed"}]
