"""Ladder and ruler on paper say what the terminal says, from the same data."""

from __future__ import annotations

from dataclasses import replace
from xml.etree import ElementTree

import pytest

from sinewright.export.drawing import profile_of, ruler_of
from sinewright.export.ladder import LiftAxis, draw_ladder
from sinewright.export.ladder_picture import ladder_of
from sinewright.export.metrics import text_width
from sinewright.export.planned import Planned
from sinewright.export.ruler_picture import BANDS, draw_ruler
from sinewright.wording.columns import LADDER_COLUMNS

SVG = "{http://www.w3.org/2000/svg}"


def words(svg: str) -> str:
    return " ".join((e.text or "") for e in ElementTree.fromstring(svg).iter(f"{SVG}text"))


def test_the_ladder_has_the_rungs_and_numbers_of_the_answer(planned: Planned) -> None:
    answer = planned.weighing.answer
    assert answer is not None and answer.rungs
    svg = draw_ladder(ladder_of(planned.weighing, 5))
    told = words(svg)
    assert f"{planned.case.side.upper()} FOOT" in told and "Not a medical device" in told and "Invented case" in told
    found = {each.choice.id: each for each in planned.weighing.outcomes}
    lift = next(column for column in LADDER_COLUMNS if column.key == "lift_deg")
    for rung in answer.rungs[:5]:
        outcome = found[rung.best.id]
        middle, nine = lift.cell(outcome.spread("lift_deg"), "°")
        assert middle in told and nine in told and f"{rung.number} {rung.title}".split(",")[0][:20] in told
        clears = outcome.chances["clears_swing"]
        assert f"{100.0 * clears.low:.0f} to {100.0 * clears.high:.0f}" in told
        pull = outcome.spread("junction_pull_N")
        assert pull is not None and f"{pull.p50:.0f} N" in told
    assert told.count("ruled out:") == len(answer.ruled_out)
    assert draw_ladder(ladder_of(planned.weighing, 5)) == svg


def boxes(svg: str) -> list[tuple[float, float, float, str]]:
    """Baseline, left and right of every text that begins at its place [mm], by the widths of the font."""
    out = []
    for each in ElementTree.fromstring(svg).iter(f"{SVG}text"):
        x, y, size, text = float(each.get("x", 0)), float(each.get("y", 0)), float(each.get("font-size", 0)), each.text
        wide = text_width(text or "", size) * (1.12 if each.get("font-weight") == "bold" else 1.0)
        left = x - wide / 2.0 if each.get("text-anchor") == "middle" else x
        out.append((y, left, left + wide, text or ""))
    return sorted(out)


def test_no_words_of_the_ladder_run_into_others_or_over_the_edge(planned: Planned) -> None:
    svg = draw_ladder(ladder_of(planned.weighing, 8))
    width = float(ElementTree.fromstring(svg).get("viewBox", "").split()[2])
    placed = boxes(svg)
    assert len(placed) > 20
    assert not [text for _, _, right, text in placed if right > width]
    for y, left, right, text in placed:
        here = [b for b in placed if abs(b[0] - y) < 1.5 and b[3] != text and b[1] >= left]
        assert not [other for _, start, _, other in here if start < right], f"{text!r} runs into its neighbour"


def test_the_widths_are_those_of_the_font() -> None:
    assert text_width("WWWW", 10.0) > 2.0 * text_width("iiii", 10.0)
    assert text_width("0123456789", 2.0) == pytest.approx(2.0 * text_width("0123456789", 1.0))


def test_a_drawing_taken_alone_says_what_it_is(planned: Planned) -> None:
    for svg in (profile_of(planned), ruler_of(planned)):
        told = words(svg)
        for said in ("Invented case.", "Not a medical device", "Licensed practice only", "consent and skin mark"):
            assert said in told
        assert f"{planned.case.side.upper()} FOOT" in told
    assert "DRAFT" in words(profile_of(replace(planned, by_hand=False)))


def test_a_bar_that_runs_off_the_axis_gets_an_arrowhead() -> None:
    axis = LiftAxis(-20.0, 20.0, 0.0)
    assert axis.at(-90.0) == axis.at(-20.0) and axis.at(90.0) == axis.at(20.0)
    assert axis.at(0.0) == (axis.at(-20.0) + axis.at(20.0)) / 2


def test_the_ruler_names_its_bands_its_point_and_what_was_measured(planned: Planned) -> None:
    told = words(draw_ruler(planned.ruler, planned.case.side, measured_mm=3.0))
    assert f"{planned.case.side.upper()} FOOT" in told and "measured" in told
    chosen = planned.ruler.chosen.quantities
    for band in BANDS:
        assert band.said(chosen[band.key].p50) in told
    assert "measured" not in words(draw_ruler(planned.ruler, planned.case.side)).split("Before")[0]
