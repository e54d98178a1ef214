"""Two people edit one record: the second is told field by field, and nothing of either is lost."""

from __future__ import annotations

import pytest

from sinewright.case import changed
from sinewright.errors import InputError
from sinewright.store.errors import ConflictError
from sinewright.store.records import Visit
from sinewright.store.store import Store

from .store_people import full, visit


@pytest.fixture
def name(store: Store) -> str:
    with store.write("surgeon") as unit:
        return unit.add_case(full())


def test_the_second_is_told_what_changed_and_gets_the_own_input_back(store: Store, name: str) -> None:
    with store.write("surgeon") as unit:
        unit.edit_case(name, 1, {"person.mass_kg": 70.0, "note": "one"})
    with store.write("nurse") as unit:
        unit.edit_case(name, 2, {"note": "two"})
    with pytest.raises(ConflictError) as told, store.write("therapist") as unit:
        unit.edit_case(name, 1, {"person.mass_kg": 71.0, "person.height_cm": 180.0})
    conflict = told.value
    assert conflict.version == 3
    assert {each.path: _value(each.after) for each in conflict.theirs} == {"person.mass_kg": 70.0, "note": "two"}
    assert {each.path: _value(each.after) for each in conflict.mine} == {
        "person.mass_kg": 71.0,
        "person.height_cm": 180.0,
    }
    assert conflict.clashing == ("person.mass_kg",)
    assert "person.mass_kg" in str(conflict) and "71.0" not in str(conflict)  # values are for the screen, not for logs
    assert any("yours 71.0" in line for line in conflict.lines())
    assert store.case(name).version == 3


def test_the_loser_s_input_can_be_stored_on_the_new_version(store: Store, name: str) -> None:
    with store.write("surgeon") as unit:
        unit.edit_case(name, 1, {"note": "one"})
    with pytest.raises(ConflictError) as told, store.write("therapist") as unit:
        unit.edit_case(name, 1, {"person.mass_kg": 71.0})
    with store.write("therapist") as unit:
        unit.edit_case(name, told.value.version, told.value.rebased())
    case = store.case(name).case
    assert case == changed(full(), {"pseudonym": name, "note": "one", "person.mass_kg": 71.0})


def test_a_whole_file_conflicts_as_single_entries_do(store: Store, name: str) -> None:
    with store.write("surgeon") as unit:
        unit.edit_case(name, 1, {"note": "one"})
    mine = changed(full(), {"person.mass_kg": 71.0})
    with pytest.raises(ConflictError) as told, store.write("therapist") as unit:
        unit.change_case(name, 1, mine)
    assert [each.path for each in told.value.mine] == ["person.mass_kg"]
    assert [each.path for each in told.value.theirs] == ["note"]


def test_an_archived_case_tells_the_editor(store: Store, name: str) -> None:
    with store.write("surgeon") as unit:
        unit.archive(name)
    with pytest.raises(ConflictError) as told, store.write("therapist") as unit:
        unit.edit_case(name, 1, {"note": "one"})
    assert [each.path for each in told.value.theirs] == ["archived"]


def test_changed_and_changed_back_is_no_conflict(store: Store, name: str) -> None:
    with store.write("surgeon") as unit:
        unit.edit_case(name, 1, {"note": "one"})
        unit.edit_case(name, 2, {"note": None})
    with store.write("therapist") as unit:
        assert unit.edit_case(name, 1, {"note": "mine"}) == 4


def test_a_visit_has_its_own_version_and_conflict(store: Store, name: str) -> None:
    with store.write("surgeon") as unit:
        unit.add(name, visit("2026-01-01", 0.0))
        unit.change(name, 1, 1, visit("2026-01-01", 2.0))
    with pytest.raises(ConflictError) as told, store.write("therapist") as unit:
        unit.change(name, 1, 1, visit("2026-01-02", 3.0))
    assert told.value.clashing == ("range.resting_hanging_deg",)
    assert "visit 1" in str(told.value)
    assert store.records(name, Visit)[0].record == visit("2026-01-01", 2.0)


@pytest.mark.parametrize("version", [0, -1, 2])
def test_a_version_that_never_was_is_refused(store: Store, name: str, version: int) -> None:
    with pytest.raises(InputError, match="version"), store.write("surgeon") as unit:
        unit.edit_case(name, version, {"note": "x"})


def _value(leaf: object) -> object:
    return leaf["value"] if isinstance(leaf, dict) else leaf
