"""Entries of the weeks after: checked in words, kept in their own fields with the operation, drawn on a calendar."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, timedelta
from types import SimpleNamespace
from typing import Any, cast

import pytest

from sinewright.app.calendar_grid import begun, by_date, calendar_markup, months_between, sentence
from sinewright.app.protect_form import (
    Given,
    date_words,
    given_in,
    note_with,
    planned_junction,
    planned_otherwise,
    question,
    wish_in,
)
from sinewright.case import read_case
from sinewright.errors import InputError
from sinewright.protect.constructs import find_construct
from sinewright.protect.stages import KEYS
from sinewright.results import StageLine
from sinewright.service.worker import FrozenPlan
from sinewright.store.records import OperationNote, OwnWeeks, record_from
from sinewright.store.store import Store

from .app_browser import EXAMPLES

GIVEN: Given = {
    "on": "2026-03-04", "construct": "weave", "passes": "4", "overlap_mm": "35", "hold": "boot", "pace": "late",
    "tests": "pessimistic", "margin": "1.8", "chance": "0.02", "cast_deg": "-5", "stretch_limit_deg": "-15",
    "week.motion": "5", "week.sport": "26",
}  # fmt: skip


def test_every_entry_reaches_the_wish_and_comes_back_from_the_store_as_it_was(store: Store) -> None:
    wish = wish_in(GIVEN, 4.0)
    assert wish is not None
    assert (wish.tests, wish.passes, wish.overlap_mm, wish.hold, wish.pace) == ("pessimistic", 4, 35.0, "boot", "late")
    assert (wish.margin, wish.chance, wish.cast_deg, wish.stretch_limit_deg) == (1.8, 0.02, -5.0, -15.0)
    assert wish.own_weeks == {"motion": 5.0, "sport": 26.0}
    assert (wish.operated_on, wish.planned_mm) == (date(2026, 3, 4), 4.0)
    with store.write("surgeon") as unit:
        name = unit.add_case(read_case(EXAMPLES / "stiff_calf.toml"))
        unit.add(name, note_with(wish, 3, None))
    (kept,) = store.records(name, OperationNote)
    assert kept.record.note is None
    assert given_in(kept.record) == GIVEN
    assert wish_in(given_in(kept.record), 4.0) == wish


def test_what_else_stands_in_the_record_stays(store: Store) -> None:
    before = record_from(OperationNote, {"on": "2026-03-01", "departures": "sewn tighter", "note": "a long day"})
    wish = wish_in(GIVEN, 4.0)
    assert wish is not None
    after = note_with(wish, 3, before)
    assert (after.departures, after.note, after.on, after.plan) == ("sewn tighter", "a long day", date(2026, 3, 4), 3)


def test_hold_and_pace_that_an_earlier_version_kept_in_the_text_are_read_and_moved() -> None:
    before = record_from(
        OperationNote, {"on": "2026-03-01", "junction": "weave", "note": "hold frame; pace early", "plan": 1}
    )
    given = given_in(before)
    assert (given["hold"], given["pace"]) == ("frame", "early")
    wish = wish_in(given, 4.0)
    assert wish is not None
    after = note_with(wish, 1, before)
    assert (after.note, after.protection.hold, after.protection.pace) == (None, "frame", "early")


@pytest.mark.parametrize("missing", ["on", "construct"])
def test_without_date_or_junction_there_is_no_wish(missing: str) -> None:
    assert wish_in({**GIVEN, missing: ""}, 4.0) is None
    assert wish_in({**GIVEN, "construct": "choose"}, 4.0) is None


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("margin", "0.5"), ("margin", "two"), ("chance", "0.9"), ("passes", "2.5"), ("passes", "9"),
        ("overlap_mm", "80"), ("cast_deg", "50"), ("week.motion", "-1"), ("week.motion", "nan"), ("on", "4 March"),
        ("hold", "string"), ("tests", "kind"), ("construct", "glue"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused_in_words(name: str, text: str) -> None:
    with pytest.raises(InputError) as refused:
        wish_in({**GIVEN, name: text}, 4.0)
    assert refused.value.allowed


def test_passes_and_overlap_count_only_for_a_junction_that_has_them() -> None:
    wish = wish_in({**GIVEN, "construct": "anchor"}, 4.0)
    assert wish is not None
    assert (wish.passes, wish.overlap_mm) == (None, None)


def test_the_record_has_a_place_for_the_week_of_every_stage() -> None:
    assert tuple(OwnWeeks.model_fields) == tuple(key for key in KEYS if key != "hold")


# -- calendar ---------------------------------------------------------------------------------------------------------

OPERATED = date(2026, 12, 30)


def line(key: str, after_days: int | None, green: bool = True) -> StageLine:
    on = None if after_days is None else OPERATED + timedelta(days=after_days)
    return cast(StageLine, SimpleNamespace(key=key, title=f"Stage <{key}>", on=on, green=green))


LINES = (line("hold", 0), line("load", 21, green=False), line("motion", 21), line("sport", 70), line("never", None))


def cell(markup: str, month: str, number: int) -> str:
    table = next(each for each in markup.split("<table")[1:] if f"<caption>{month}<" in each)
    found: Any = re.search(rf'<td[^>]*><span class="date">{number}</span>.*?</td>', table)
    return str(found[0])


def test_a_stage_stands_on_its_day_and_leads_to_its_words() -> None:
    markup = calendar_markup(LINES, OPERATED)
    assert re.findall(r"<caption>(.*?)<", markup) == ["December 2026", "January 2027", "February 2027", "March 2027"]
    assert "op</span>" in cell(markup, "December 2026", 30)
    assert 'href="#stage-hold"' in cell(markup, "December 2026", 30)
    both = cell(markup, "January 2027", 20)
    assert re.findall(r'href="#stage-(\w+)"', both) == ["load", "motion"]
    assert both.count("▲") == 1  # a mark, not a colour alone, for the one that is late
    assert 'href="#stage-sport"' in cell(markup, "March 2027", 10)
    assert markup.count('href="#stage-') == 4
    assert "20 Jan 2027: 2 Stage &lt;load&gt;, not before this day" in markup


def test_every_day_of_a_month_is_there_once_and_weeks_count_from_the_operation() -> None:
    table = calendar_markup(LINES, OPERATED).split("<table")[2]
    assert [int(each) for each in re.findall(r'class="date">(\d+)<', table)] == list(range(1, 32))
    assert re.findall(r'<th scope="row">(\d*)</th>', table) == ["0", "0", "1", "2", "3"]
    assert begun(LINES, OPERATED - timedelta(days=1)) == 0
    assert begun(LINES, OPERATED + timedelta(days=21)) == 3


def test_the_calendar_is_told_in_words_and_has_an_end() -> None:
    told = sentence(LINES, OPERATED)
    assert told.startswith("Operation 30 Dec 2026. Not before: 1 stage <hold> 30 Dec 2026")
    assert told.endswith("No day can be given for: 5 stage <never>.")
    assert months_between(date(2026, 1, 1), date(2036, 1, 1))[-1] == (2028, 2)


@pytest.mark.parametrize(
    ("given", "otherwise"),
    [({"on": "2026-03-04", "construct": "weave", "passes": "4"}, False), ({"pace": "usual", "hold": "cast"}, False),
     ({"pace": "late"}, True), ({"margin": "2"}, True), ({"week.load": "6"}, True), ({"margin": ""}, False)],
)  # fmt: skip
def test_the_page_opens_how_the_weeks_are_planned_only_where_something_is_not_as_usual(
    given: dict[str, str], otherwise: bool
) -> None:
    assert planned_otherwise(given) is otherwise


@dataclass
class Found:
    """The lines of a plan of protection."""

    lines: tuple[Any, ...]


def test_stages_stand_in_the_order_of_their_dates() -> None:
    weeks = (0.0, 4.35, 12.0, 8.0, None, 8.0)
    found = Found(tuple(SimpleNamespace(key=place, week=week) for place, week in enumerate(weeks)))
    assert [line.key for line in by_date(cast(Any, found)).lines] == [0, 1, 3, 5, 2, 4]


@pytest.mark.parametrize(
    ("end", "planned", "other"),
    [
        ("membrane_under.lateral_cuneiform_dorsum", "tunnel_sutured", "weave"),
        ("membrane_over.long_extensors_below", "weave", "screw"),
    ],
)
def test_the_planned_junction_stands_there_and_another_kind_is_asked_about(end: str, planned: str, other: str) -> None:
    choice = f"tibialis_posterior.{end}"
    case = read_case(EXAMPLES / "deep_branch_strong_peroneals.toml")
    frozen = FrozenPlan(case, choice, 8.0, draws=100, seed=1, number=1)
    assert planned_junction(frozen).name == planned
    assert given_in(None, planned) == {"construct": planned}
    assert question(frozen, planned) == question(frozen, "choose") == question(frozen, "") == ""
    asked = question(frozen, other)
    assert find_construct(other).title in asked
    assert asked.endswith("Was it sewn otherwise than planned?")


def test_a_date_stands_in_words() -> None:
    assert date_words("2026-03-04") == "4 March 2026, Wednesday"
    assert date_words("") == date_words("2026-02-31") == ""
