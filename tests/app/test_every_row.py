"""The list of every row behind a page: assumptions apart from print, each with its source; notes lead there."""

from __future__ import annotations

import pytest

from sinewright.app.where_from import ASSUMED, counted, is_assumption, lead_there, legs, parted, row_line
from sinewright.case import read_case
from sinewright.doubt.virtual import draw
from sinewright.reference import load

from .app_browser import EXAMPLES

ROWS = draw(read_case(EXAMPLES / "stiff_calf.toml"), 8, 1).rows


def test_every_row_of_the_virtual_legs_stands_once_as_assumption_or_from_print() -> None:
    listed = [row for _, rows in parted(ROWS) for row in rows]
    assert sorted(listed) == sorted(ROWS)
    (_, assumed), (_, printed) = parted(ROWS)
    assert {load().row(row).known for row in assumed} == set(ASSUMED)
    assert not {load().row(row).known for row in printed} & set(ASSUMED)


@pytest.mark.parametrize("row", ROWS[:40])
def test_a_line_names_row_source_and_how_it_is_known(row: str) -> None:
    told = row_line(row)
    assert told.endswith(f"[{row}]")
    assert load().source(load().row(row).source).citation in told
    assert ("; assumption, " in told) == is_assumption(row)


def test_a_note_says_how_many_rows_are_behind_it_and_where_they_stand() -> None:
    assumed = sum(load().row(row).known in ASSUMED for row in ROWS)
    assert counted(ROWS) == f"{len(ROWS)}, of them {assumed} assumptions"
    assert legs(100, 1, ROWS).endswith(lead_there(ROWS))
    assert legs(100, 1) == "Computed on 100 virtual legs, seed 1."
