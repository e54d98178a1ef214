"""Which of two disagreeing papers sets a parameter: the rule, and the written decisions that overrule it."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from sinewright.errors import SourceDataError
from sinewright.reference import Reference, choose, decision, load
from sinewright.reference.choice import DECISIONS

Build = Callable[..., Reference]

NEWER = {"id": "a-2", "source": "paper2020", "value": "-36"}
ARM = ("moment-arm", "achilles")


@pytest.mark.parametrize(
    ("older", "newer", "chosen", "reason"),
    [
        ({"known": "read", "n": "5"}, {"known": "recalled", "n": "90"}, "a-1", "better known"),
        ({"known": "derived"}, {"known": "quoted"}, "a-2", "better known"),
        ({"known": "judged"}, {"known": "recalled"}, "a-2", "better known"),
        ({"n": "12"}, {"n": "9"}, "a-1", "more people"),
        ({"n": ""}, {"n": "9"}, "a-2", "more people"),
        ({"n": "9"}, {"n": "9"}, "a-2", "newer"),
    ],
)
def test_rule_order(build: Build, older: dict[str, str], newer: dict[str, str], chosen: str, reason: str) -> None:
    selection = choose(build(older, NEWER | newer), *ARM)
    assert selection.chosen.id == chosen
    assert {row.id for row in selection.passed_over} == {"a-1", "a-2"} - {chosen}
    assert reason in selection.why


@pytest.mark.parametrize("use", ["check", "context"])
def test_only_rows_marked_fit_stand_for_choice(build: Build, use: str) -> None:
    selection = choose(build({"n": "3"}, NEWER | {"n": "500", "use": use}), *ARM)
    assert (selection.chosen.id, selection.passed_over) == ("a-1", ())


def test_conditions_and_wording_narrow_the_choice(build: Build) -> None:
    reference = build({"condition": "axis=talocrural; rest"}, {"id": "a-9", "condition": "axis=subtalar; rest"})
    assert choose(reference, *ARM, conditions={"axis": "subtalar"}).chosen.id == "a-9"
    with pytest.raises(SourceDataError, match="no row marked fit"):
        choose(reference, *ARM, conditions={"axis": "subtalar"}, wording="contraction")


@pytest.mark.parametrize(
    ("rival", "problem"),
    [
        ({"unit": "cm"}, "different units"),
        ({"condition": "axis=subtalar"}, "different conditions"),
        ({"source": "paper2001"}, "offers 2 rows"),
    ],
)
def test_unlike_rows_are_not_compared(build: Build, rival: dict[str, str], problem: str) -> None:
    with pytest.raises(SourceDataError, match=problem):
        choose(build({}, NEWER | rival), *ARM)


def test_arms_about_different_axes_are_not_compared() -> None:
    with pytest.raises(SourceDataError, match="different"):
        choose(load(), "moment-arm", "peroneus-longus")


def test_a_tie_is_refused_not_broken(build: Build) -> None:
    rows = ({"source": "paper2001"}, NEWER | {"source": "same-year"})
    reference = build(rows[0])
    sources = reference.folder / "sources.toml"
    with pytest.raises(SourceDataError, match="same-year"):
        build(*rows)
    sources.write_text(sources.read_text() + "\n[same-year]\nauthors = 'C'\nyear = 2001\n", encoding="utf-8")
    with pytest.raises(SourceDataError, match=r"a-1 and a-2 tie .* choices\.csv"):
        choose(type(reference)(reference.folder), *ARM)


def test_a_written_decision_overrules_the_rule(build: Build) -> None:
    choices = "topic,chosen,passed_over,reason\narm,a-1,a-2,measured in the living\n"
    reference = build({"n": "3"}, NEWER | {"n": "500"}, choices=choices)
    assert choose(reference, *ARM) == decision(reference, "arm")
    assert (choose(reference, *ARM).chosen.id, choose(reference, *ARM).why) == (
        "a-1",
        "measured in the living",
    )


def test_a_decision_must_name_every_rival(build: Build) -> None:
    choices = "topic,chosen,passed_over,reason\narm,a-1,a-2,because\n"
    third = {"id": "a-3", "source": "paper2020", "structure": "achilles"}
    reference = build({}, NEWER | {"use": "context"}, third, choices=choices)
    with pytest.raises(SourceDataError, match="does not name a-3"):
        choose(reference, *ARM)


@pytest.mark.parametrize(
    ("choices", "problem"),
    [
        ("topic,chosen,reason\n", "columns must be"),
        ("topic,chosen,passed_over,reason\narm,a-1,a-2,\n", "must be filled"),
        ("topic,chosen,passed_over,reason\narm,a-2,a-1,because\n", "may not set a parameter"),
        ("topic,chosen,passed_over,reason\narm,a-7,a-1,because\n", "a-7"),
    ],
)
def test_a_faulty_decision_is_refused(build: Build, choices: str, problem: str) -> None:
    reference = build({}, NEWER | {"use": "check"}, choices=choices)
    with pytest.raises(SourceDataError, match=problem):
        choose(reference, *ARM)


@pytest.mark.parametrize(
    ("topic", "chosen", "value"),
    [
        ("subtalar deviation", "ax-subtalar-deviation-krahenbuhl2017", 23.0),
        ("ankle centre", "ax-ankle-centre-in-front-salami2020", 7.0),
        ("gracilis fibre length", "arch-gracilis-optimal-fibre-length-bindermarkey2023", 129.0),
    ],
)
def test_decisions_of_the_package(topic: str, chosen: str, value: float) -> None:
    selection = decision(load(), topic)
    assert (selection.chosen.id, selection.chosen.value) == (chosen, value)
    assert selection.passed_over
    with pytest.raises(SourceDataError, match=DECISIONS):
        decision(load(), topic + " of somebody else")


def test_subtalar_deviation_is_settled_by_the_written_decision() -> None:
    selection = choose(load(), "axis-medial-deviation-from-foot-midline", "subtalar")
    assert selection == decision(load(), "subtalar deviation")
