"""Entries of the operating table: stored one by one, kept when taken back, apart for each plan; directions as words."""

from __future__ import annotations

from datetime import datetime

import pytest

from sinewright.app.pages.theatre import _entry
from sinewright.app.table_record import keep, noted, take_back
from sinewright.case import read_case
from sinewright.errors import InputError
from sinewright.learn.entries import Entry
from sinewright.store.records import TableEntry
from sinewright.store.store import Store

from .app_browser import EXAMPLES

AT = datetime(2026, 3, 4, 9, 30, 0)


@pytest.fixture
def name(store: Store) -> str:
    with store.write("surgeon") as unit:
        return unit.add_case(read_case(EXAMPLES / "stiff_calf.toml"))


def test_an_entry_comes_back_as_it_was_entered_and_stands_in_its_own_field(store: Store, name: str) -> None:
    entry = Entry("rest", -11.0, AT, knee_deg=30.0)
    keep(store, "surgeon", name, 2, entry)
    (found,) = noted(store, name, 2)
    assert found.entry == entry
    (kept,) = store.records(name, TableEntry)
    assert kept.record.resting_ankle_deg is not None
    assert kept.record.resting_ankle_deg.value == -11.0
    assert noted(store, name, 1) == ()


def test_the_last_entry_is_taken_back_and_stays_in_the_record(store: Store, name: str) -> None:
    for value in (3.0, 4.0):
        keep(store, "surgeon", name, 1, Entry("mark", value, AT))
    back = take_back(store, "surgeon", name, 1, AT)
    assert back is not None
    assert back.value == 4.0
    assert [each.entry.counts for each in noted(store, name, 1)] == [True, False]
    take_back(store, "surgeon", name, 1, AT)
    assert take_back(store, "surgeon", name, 1, AT) is None
    assert len(store.records(name, TableEntry)) == 2


@pytest.mark.parametrize(
    ("told", "value"),
    [
        ({"kind": "rest", "size": 11, "way": "down"}, -11.0),
        ({"kind": "rest", "size": 4, "way": "up"}, 4.0),
        ({"kind": "mark", "size": 6, "way": "tighter"}, 6.0),
        ({"kind": "moved", "size": 3, "way": "slacker"}, -3.0),
        ({"kind": "spring", "size": 40, "way": ""}, 40.0),
        ({"kind": "rest", "size": 0, "way": ""}, 0.0),
    ],
)
def test_a_direction_is_a_word(told: dict[str, object], value: float) -> None:
    assert _entry(told).value == value


@pytest.mark.parametrize(
    "told",
    [
        {"kind": "rest", "size": 11, "way": ""},
        {"kind": "mark", "size": 6},
        {"kind": "rest", "size": 200, "way": "down"},
        {"kind": "other", "size": 1, "way": "up"},
    ],
)
def test_what_cannot_be_is_refused_in_words(told: dict[str, object]) -> None:
    with pytest.raises(InputError):
        _entry(told)
