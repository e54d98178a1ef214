"""Ladder and ruler on paper say what the terminal says, from the same data."""

from __future__ import annotations

from xml.etree import ElementTree

from sinewright.export.ladder import LiftAxis, draw_ladder
from sinewright.export.ladder_picture import ladder_of
from sinewright.export.planned import Planned
from sinewright.export.ruler_picture import BANDS, draw_ruler
from sinewright.results import in_order
from sinewright.wording.columns import LADDER_COLUMNS
from sinewright.wording.standing import finding

SVG = "{http://www.w3.org/2000/svg}"


def words(svg: str) -> str:
    return " ".join((e.text or "") for e in ElementTree.fromstring(svg).iter(f"{SVG}text"))


def test_the_ladder_has_the_rows_and_numbers_of_the_terminal(planned: Planned) -> None:
    ordered = in_order(planned.weighing.outcomes)
    able = [each for each in ordered if each.status != "set aside"]
    svg = draw_ladder(ladder_of(planned.weighing, 5))
    told = words(svg)
    assert f"{planned.case.side.upper()} FOOT" in told
    assert finding(able).split()[0] in told
    lift = next(column for column in LADDER_COLUMNS if column.key == "lift_deg")
    for each in able[:5]:
        middle, nine = lift.cell(each.spread("lift_deg"), "°")
        assert middle in told and nine in told
        clears = each.chances["clears_swing"]
        assert f"{100.0 * clears.low:.0f} to {100.0 * clears.high:.0f}" in told
        pull = each.spread("junction_pull_N")
        assert pull is not None and f"{pull.p50:.0f} N" in told
    aside = [each for each in ordered if each.status == "set aside"]
    assert told.count("set aside:") == len(aside[:5])
    assert draw_ladder(ladder_of(planned.weighing, 5)) == svg


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
