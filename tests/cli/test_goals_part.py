"""What is said of goals, weights and the place of a choice is what the result holds."""

from __future__ import annotations

import pytest

from sinewright.case import Case, parse_case
from sinewright.choose.goals import GOALS, weights_of
from sinewright.cli.case_argument import refuse_keeping_other_weights, reweighed
from sinewright.cli.ladder import goals_lines, standing_lines, weights_line
from sinewright.cli.screen import Screen
from sinewright.errors import InputError
from sinewright.wording.standing import Worths

from .invented_weighing import FIRST, SECOND, THIRD, WEIGHING

WORTHS = Worths.of(WEIGHING)
CASE = 'schema_version = 1\npseudonym = "quiet-otter-58"\nside = "right"\n[goals]\nlift = 2\n'


def said(outcome: object, screen: Screen) -> str:
    lines = standing_lines(outcome.standing, WORTHS, screen, "  ")  # type: ignore[attr-defined]
    return " ".join(" ".join(line.plain for line in lines).split())


def test_a_row_says_worth_goals_and_reserve(plain: Screen) -> None:
    told = said(FIRST, plain)
    assert "Weighted goals 70 of 100 on average (60 to 80). Best weighted goals." in told
    assert "Each goal: no brace 70, small operation 70." in told
    assert "If it fails: Long peroneal, long toe extensors, above the retinaculum." in told


def test_overlap_is_said_as_not_told_apart(plain: Screen) -> None:
    assert "Difference from the first is within the doubt: the first is better in 61 of 100 virtual legs." in said(
        SECOND, plain
    )
    assert "If it fails: no other choice is left." in said(SECOND, plain)
    told = said(THIRD, plain)
    assert "The first is better in 97 of 100 virtual legs." in told
    assert "told apart" not in told


def test_weights_are_said_heaviest_first_and_every_scale_is_printed(plain: Screen) -> None:
    goals = WEIGHING.goals[::-1]
    assert [line.plain for line in weights_line(goals, plain)] == ["Weights: no brace 60 %, small operation 40 %."]
    told = [line.plain for line in goals_lines(goals, plain)]
    assert "small_operation   40 %  1 for one donor" in told
    assert "no_brace          60 %  share that clears" in told
    assert goals_lines((), plain) == [] and weights_line((), plain) == []


def test_typed_weights_replace_those_of_the_case_and_no_others() -> None:
    case = parse_case(CASE)
    other = reweighed(case, ["push-off=10", "small_operation = 0"])
    raw = {"lift": 2.0, "push_off": 10.0, "small_operation": 0.0}
    wanted = [raw.get(name, 5.0) for name in GOALS]
    assert weights_of(other) == pytest.approx([each / sum(wanted) for each in wanted])
    assert reweighed(case, []) is case


@pytest.mark.parametrize(
    ("given", "words"),
    [
        (["lifting=3"], "did you mean lift"),
        (["beauty=3"], "one of no_brace, lift"),
        (["lift=11"], "allowed NAME=0 to NAME=10"),
        (["lift=-1"], "0 does not matter"),
        (["lift=nan"], "0 does not matter"),
        (["lift"], "0 does not matter"),
        (["lift=much"], "0 does not matter"),
        (["lift=3", "lift=4"], "each goal once"),
    ],
)
def test_what_is_no_weight_is_refused_and_named(given: list[str], words: str) -> None:
    case: Case = parse_case(CASE)
    with pytest.raises(InputError, match=words) as told:
        reweighed(case, given)
    assert str(told.value).startswith("--weight: given ")


def test_a_plan_under_other_weights_is_not_kept() -> None:
    refuse_keeping_other_weights([])
    with pytest.raises(InputError, match="weights of the stored case"):
        refuse_keeping_other_weights(["lift=3"])
