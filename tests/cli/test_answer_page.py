"""The first screen of weigh: at most 40 lines at 100 columns, every danger whole, the side first."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from sinewright.case import Case, read_case
from sinewright.choose.answer import answer_of
from sinewright.cli.answer_page import about_line, answer_lines, basis_line
from sinewright.cli.case_argument import operation_meant, remember
from sinewright.cli.screen import Screen
from sinewright.errors import InputError
from sinewright.plan import weigh
from sinewright.results import Fired, View, Weighing
from sinewright.wording.dangers import OF_PATIENT

from .cli_streams import Stream
from .invented_weighing import WEIGHING

EXAMPLES = Path(__file__).parents[2] / "examples"
VIEW = View("It is so.", "common-practice", "common practice", "practice")


def words(weighing: Weighing, screen: Screen) -> list[str]:
    return [line.plain for line in answer_lines(weighing, "invented", basis_line(weighing), screen)]


@pytest.mark.parametrize("name", ["stiff_calf", "deep_branch_strong_peroneals", "front_compartment_loss"])
def test_an_example_fits_one_screen(name: str) -> None:
    case = read_case(EXAMPLES / f"{name}.toml")
    weighing = weigh(case, 100, 1)
    for width, most in ((100, 40), (80, 48)):
        screen = Screen(Stream(terminal=False), width=width, full=False)
        lines = answer_lines(weighing, about_line(case), basis_line(weighing), screen)
        assert len(lines) <= most
        assert max(len(line.plain) for line in lines) <= width
        assert f"{case.side} foot" in lines[0].plain and "not a medical device" in " ".join(
            line.plain for line in lines
        )


def test_no_danger_is_cut_off_even_when_all_stand(plain: Screen) -> None:
    rules = tuple(Fired(code, "warn", "Found.", (VIEW,)) for code in OF_PATIENT)
    text = " ".join(" ".join(words(replace(WEIGHING, rules=rules), plain)).split())
    for word, advice in OF_PATIENT.values():
        assert f"! {word}: {advice}" in text


def test_number_and_sentence_agree(plain: Screen) -> None:
    lines = words(WEIGHING, plain)
    answer = answer_of(WEIGHING)
    assert " ".join(answer.sentences[0].split()) in " ".join(" ".join(lines).split())
    assert any(line.startswith(" 1 ") and answer.rungs[0].title[:20] in line for line in lines)


@pytest.fixture
def case(case_file: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Case:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    return read_case(case_file)


def test_a_number_means_what_was_printed_last_for_this_very_case(
    case: Case, capsys: pytest.CaptureFixture[str]
) -> None:
    remember(case, WEIGHING)
    numbers = answer_of(WEIGHING).numbers()
    remember(case, replace(WEIGHING, answer=answer_of(WEIGHING)))
    assert operation_meant(case, " 1 ") == numbers["1"] and f"1 is {numbers['1']}" in capsys.readouterr().err
    with pytest.raises(InputError, match="allowed 1"):
        operation_meant(case, "77")


def test_another_case_never_meets_old_numbers(case: Case, monkeypatch: pytest.MonkeyPatch) -> None:
    remember(case, replace(WEIGHING, answer=answer_of(WEIGHING)))
    asked: list[Case] = []

    def weigh_anew(given: Case, *_: object) -> Weighing:
        asked.append(given)
        return replace(WEIGHING, answer=answer_of(WEIGHING))

    monkeypatch.setattr("sinewright.plan.weigh", weigh_anew)
    other = case.model_copy(update={"side": "left"})
    operation_meant(other, "1")
    assert asked == [other]


def test_words_of_another_muscle_open_nothing(case: Case) -> None:
    with pytest.raises(InputError, match="whole dotted words"):
        operation_meant(case, "long_peroneal")


def test_every_command_takes_the_number(run: Callable[..., object]) -> None:
    for command in ("ruler", "swing", "table", "protect"):
        assert "A number of the ladder" in " ".join(str(run(command, "--help")).split())
