"""Every number of the examination says how it is known, by what it was found, and when."""

from __future__ import annotations

import pytest

from sinewright.app.form import DECIDED, PARTS, origins
from sinewright.case import changed, entries, read_case
from sinewright.store.flat import with_dates

from .app_browser import EXAMPLES

CASE = read_case(EXAMPLES / "stiff_calf.toml")


def test_every_number_of_a_case_stands_once_under_one_part() -> None:
    lines = [line for part in PARTS for found in origins(CASE, part.place).values() for line in found]
    wanted = [each for each in entries(CASE) if each.known or isinstance(each.value, int | float)]
    named = [each for each in wanted if each.path not in ("schema_version", "invented")]
    assert len(lines) == len(named) > 20


@pytest.mark.parametrize(
    ("given", "told"),
    [
        (
            {"value": 251.0, "known": "estimated"},
            "251 mm; estimated; instrument or method not given; at the examination",
        ),
        (
            {"value": 251.0, "known": "measured", "by": "sliding rule", "on": "2025-02-03"},
            "251 mm; measured; sliding rule; 3 Feb 2025",
        ),
    ],
)
def test_a_line_says_how_by_what_and_when(given: dict[str, object], told: str) -> None:
    case = changed(CASE, {"leg.foot_length_mm": with_dates(given)})
    (line,) = [each for each in origins(case, "measure")["Sizes of the leg"] if "foot length" in each]
    assert told in line


def test_a_wish_is_decided_and_not_measured() -> None:
    case = changed(CASE, {"goals.push_off": 7.0})
    assert f"keep the push-off: weight 7; {DECIDED}" in "".join(origins(case, "life")["Goals"])


def test_the_instrument_of_a_section_stands_for_its_findings_unless_one_names_its_own() -> None:
    case = changed(
        CASE,
        {"range.affected.by": "a goniometer", "range.affected.inversion_limit_deg": {"value": 20.0, "by": "by eye"}},
    )
    lines = origins(case, "move")["Range of both legs"]
    assert any(
        line.startswith("passive dorsiflexion, knee straight (leg to be operated on)") and "; a goniometer; " in line
        for line in lines
    )
    assert any(
        line.startswith("passive inversion of the hindfoot (leg to be operated on)") and "; by eye; " in line
        for line in lines
    )
