"""Entries of the operating table: stored one by one, kept when taken back, apart for each plan; directions as words."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from sinewright.app.pages.theatre import _entry
from sinewright.case import read_case
from sinewright.errors import InputError
from sinewright.learn.entries import TableReading
from sinewright.store.records import TableEntry, record_from
from sinewright.store.store import Store
from sinewright.store.table_record import keep, keep_once, noted, take_back

from .app_browser import EXAMPLES

AT = datetime(2026, 3, 4, 9, 30, 0)


@pytest.fixture
def name(store: Store) -> str:
    with store.write("surgeon") as unit:
        return unit.add_case(read_case(EXAMPLES / "stiff_calf.toml"))


def test_an_entry_comes_back_as_it_was_entered_and_stands_in_its_own_field(store: Store, name: str) -> None:
    entry = TableReading("rest", -11.0, AT, knee_deg=30.0)
    keep(store, "surgeon", name, 2, entry)
    (found,) = noted(store, name, 2)
    assert found.entry == entry
    (kept,) = store.records(name, TableEntry)
    assert kept.record.resting_ankle_deg is not None
    assert kept.record.resting_ankle_deg.value == -11.0
    assert noted(store, name, 1) == ()


def test_every_kind_stands_in_its_own_field_with_knee_and_limb_and_none_in_a_note(store: Store, name: str) -> None:
    told = [
        TableReading("tendon", 131.0, AT),
        TableReading("mark", 6.0, AT),
        TableReading("spring", 40.0, AT),
        TableReading("moved", -3.0, AT),
        TableReading("rest", -11.0, AT, knee_deg=90.0, limb="hanging"),
        TableReading("stimulated", 8.0, AT, knee_deg=0.0),
    ]
    for entry in told:
        keep(store, "surgeon", name, 1, entry)
    assert [each.entry for each in noted(store, name, 1)] == told
    records = [each.record for each in store.records(name, TableEntry)]
    assert all(each.note is None and each.plan == 1 and each.at == "2026-03-04T09:30:00" for each in records)
    assert records[3].moved_mm is not None
    assert records[3].moved_mm.value == -3.0
    assert (records[4].limb, records[4].resting_knee_deg and records[4].resting_knee_deg.value) == ("hanging", 90.0)
    assert (records[5].limb, records[5].stimulated_knee_deg and records[5].stimulated_knee_deg.value) == ("lying", 0.0)
    take_back(store, "surgeon", name, 1, AT)
    last = store.records(name, TableEntry)[-1].record
    assert last.taken_back_at == "2026-03-04T09:30:00"
    assert last.stimulated_ankle_deg is not None  # what was read stays, and does not count
    assert noted(store, name, 1)[-1].entry == replace(told[-1], taken_back=AT)


def test_the_same_entry_sent_twice_is_stored_once_and_one_read_again_later_is_not_lost(store: Store, name: str) -> None:
    once = TableReading("rest", -11.0, AT, knee_deg=30.0)
    keep_once(store, "surgeon", name, 1, once)
    keep_once(store, "surgeon", name, 1, once)
    assert len(noted(store, name, 1)) == 1
    take_back(store, "surgeon", name, 1, AT)
    keep_once(store, "surgeon", name, 1, once)  # it arrives late: it was taken back, and stays so
    assert [each.entry.counts for each in noted(store, name, 1)] == [False]
    keep_once(store, "surgeon", name, 1, replace(once, at=AT + timedelta(minutes=2)))
    keep_once(store, "surgeon", name, 2, once)
    assert [len(noted(store, name, plan)) for plan in (1, 2)] == [2, 1]


def test_an_entry_that_an_earlier_version_kept_in_a_note_still_counts(store: Store, name: str) -> None:
    note = (
        '{"plan": 1, "kind": "moved", "value": -3.0, "at": "2026-03-04T09:30:00", "knee_deg": null, '
        '"limb": "lying", "taken_back": null}'
    )
    with store.write("surgeon") as unit:
        unit.add(name, record_from(TableEntry, {"on": "2026-03-04", "note": note}))
        unit.add(name, record_from(TableEntry, {"on": "2026-03-04", "excursion_mm": 30.0}))
    (found,) = noted(store, name, 1)
    assert found.entry == TableReading("moved", -3.0, AT)
    take_back(store, "surgeon", name, 1, AT)
    assert [each.entry.counts for each in noted(store, name, 1)] == [False]


def test_the_last_entry_is_taken_back_and_stays_in_the_record(store: Store, name: str) -> None:
    for value in (3.0, 4.0):
        keep(store, "surgeon", name, 1, TableReading("mark", value, AT))
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


def test_an_angle_carries_knee_limb_and_the_moment_it_was_first_sent() -> None:
    at = datetime.now().replace(microsecond=0) - timedelta(hours=3)
    told = {"kind": "rest", "size": 11, "way": "down", "knee": 90, "limb": "shank hanging", "at": at.isoformat()}
    assert _entry(told) == TableReading("rest", -11.0, at, 90.0, "hanging")
    assert _entry({"kind": "rest", "size": 4, "way": "up"}).knee_deg is None
    assert _entry({"kind": "mark", "size": 4, "way": "tighter", "knee": 90}).knee_deg is None


@pytest.mark.parametrize(
    "told",
    [
        {"kind": "rest", "size": 11, "way": "down", "knee": 170},
        {"kind": "rest", "size": 11, "way": "down", "limb": "standing"},
        {"kind": "stimulated", "size": 11, "way": "down", "limb": "shank hanging"},
        {"kind": "rest", "size": 11, "way": "down", "at": "2020-01-01T10:00:00"},
        {"kind": "rest", "size": 11, "way": "down", "at": "now"},
        {"kind": "rest", "size": 11, "way": ""},
        {"kind": "mark", "size": 6},
        {"kind": "rest", "size": 200, "way": "down"},
        {"kind": "other", "size": 1, "way": "up"},
    ],
)
def test_what_cannot_be_is_refused_in_words(told: dict[str, object]) -> None:
    with pytest.raises(InputError):
        _entry(told)
