"""What goes in comes out; every change has its audit row; nothing is changed by the way."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from sqlalchemy import text

from sinewright.case import Case, case_to_toml, changed, digest, parse_case, read_case
from sinewright.errors import InputError
from sinewright.store.engine import changing
from sinewright.store.errors import StoreError
from sinewright.store.names import is_name
from sinewright.store.place import Place
from sinewright.store.records import Document, OperationNote, Release, Stage, TableEntry, Visit, record_from
from sinewright.store.store import Store

from .store_people import EXAMPLES, PLAN, SMALL, full, small, visit


def add(store: Store, case: Case) -> str:
    with store.write("surgeon") as unit:
        return unit.add_case(case)


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_a_case_file_goes_in_and_out_without_loss(store: Store, path: Path) -> None:
    case = read_case(path)
    name = add(store, case)
    stored = store.case(name)
    assert stored.case == changed(case, {"pseudonym": name})
    assert parse_case(case_to_toml(stored.case)) == stored.case
    assert digest(changed(stored.case, {"pseudonym": stored.line.label})) == digest(case)


def test_the_pseudonym_is_drawn_and_an_exported_one_kept(store: Store) -> None:
    first, second = add(store, SMALL), add(store, SMALL)
    assert first != second
    assert is_name(first) and is_name(second)
    with pytest.raises(InputError, match="not yet stored"):
        add(store, store.case(first).case)
    assert [line.name for line in store.cases()] == sorted([first, second])


def test_an_exported_pseudonym_is_kept_where_it_is_free(store: Store) -> None:
    assert add(store, small(pseudonym="quiet-heron-4821")) == "quiet-heron-4821"


def test_each_finding_keeps_how_it_is_known_and_its_date(store: Store) -> None:
    finding = {"value": -12.5, "known": "estimated", "on": date(2026, 1, 2), "by": "by eye\nsecond line"}
    name = add(store, small(range__affected__resting_hanging_deg=finding))
    kept = store.case(name).case.range.affected.resting_hanging_deg
    assert kept is not None
    assert kept.model_dump() == finding


def test_an_edit_writes_old_and_new_into_the_history(store: Store) -> None:
    name = add(store, full())
    with store.write("therapist") as unit:
        assert unit.edit_case(name, 1, {"person.mass_kg": 70.0, "note": "seen again", "leg.shank_length_mm": None}) == 2
    event = store.history(name)[-1]
    assert (event.role, event.action, event.version) == ("therapist", "change", 2)
    assert {each.path for each in event.changes} == {"person.mass_kg", "note", "leg.shank_length_mm"}
    assert {each.path: each.before for each in event.changes}["note"] is None
    assert store.case(name).case == changed(
        full(), {"pseudonym": name, "person.mass_kg": 70.0, "note": "seen again", "leg.shank_length_mm": None}
    )


def test_an_edit_that_changes_nothing_writes_nothing(store: Store) -> None:
    name = add(store, full())
    with store.write("surgeon") as unit:
        assert unit.change_case(name, 1, full()) == 1
    assert len(store.history(name)) == 1


def test_an_error_in_the_unit_keeps_nothing_of_it(store: Store) -> None:
    name = add(store, SMALL)
    before = store.verify()

    def half_done() -> None:
        with store.write("surgeon") as unit:
            unit.edit_case(name, 1, {"note": "half"})
            unit.add_case(full())
            raise RuntimeError

    with pytest.raises(RuntimeError):
        half_done()
    assert store.verify() == before
    assert len(store.cases()) == 1


def test_a_contradiction_is_refused_and_nothing_kept(store: Store) -> None:
    name = add(store, SMALL)
    with pytest.raises(InputError), store.write("surgeon") as unit:
        unit.edit_case(name, 1, {"range.affected.dorsiflexion_knee_straight_deg": 700.0})
    assert store.case(name).version == 1


def test_a_chain_that_moved_under_a_unit_is_not_continued(store: Store) -> None:
    name = add(store, SMALL)

    def exchanged() -> None:
        with store.write("surgeon") as unit:
            unit.edit_case(name, 1, {"note": "x"})
            unit._connection.execute(text("UPDATE chain_head SET hash = 'another store'"))

    with pytest.raises(StoreError, match="nothing was stored"):
        exchanged()
    assert store.case(name).version == 1
    assert store.verify().whole


def test_archived_is_put_away_and_taken_back(store: Store) -> None:
    name = add(store, SMALL)
    with store.write("surgeon") as unit:
        unit.archive(name)
    assert store.cases() == () and [each.name for each in store.cases(archived=True)] == [name]
    with store.write("surgeon") as unit:
        assert unit.archive(name, archived=False) == 3
    assert [each.name for each in store.cases()] == [name]
    assert store.verify().whole


def test_plans_are_frozen_with_their_inputs_and_superseded(store: Store) -> None:
    name = add(store, full())
    with store.write("surgeon") as unit:
        unit.keep_plan(name, 1, PLAN)
        unit.edit_case(name, 1, {"person.mass_kg": 70.0})
        unit.keep_plan(name, 1, PLAN)  # made from version 1, kept after version 2
    first, second = store.plans(name)
    assert (first.superseded_by, second.superseded_by) == (2, None)
    assert first.inputs == second.inputs
    assert first.inputs["person"]["mass_kg"]["value"] == full().person.mass_kg.value  # type: ignore[union-attr]
    assert first.plan == PLAN
    assert first.hash != second.hash
    assert store.verify().whole


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE plan SET seed = 8",
        "UPDATE plan SET superseded_by = 1 WHERE number = 1",
        "DELETE FROM plan",
        "UPDATE audit SET role = 'nurse'",
        "DELETE FROM audit",
        "DELETE FROM case_record",
    ],
)
def test_the_database_itself_refuses_to_change_what_is_frozen(store: Store, place: Place, statement: str) -> None:
    name = add(store, SMALL)
    with store.write("surgeon") as unit:
        unit.keep_plan(name, 1, PLAN)
        unit.keep_plan(name, 1, PLAN)
    with pytest.raises(StoreError, match="frozen"), changing(store._engine, place) as connection:
        connection.execute(text(statement))
    assert store.verify().whole


def test_visits_notes_and_table_entries_come_back_as_they_were(store: Store) -> None:
    name = add(store, SMALL)
    entry = record_from(TableEntry, {"on": "2026-02-01", "set_stretch_mm": 12.0, "resting_ankle_deg": 5.0})
    note = record_from(OperationNote, {"on": "2026-02-01", "plan": 1, "departures": "sewn tighter"})
    seen = record_from(Visit, {"on": "2026-05-01", "complications": ["adhesion"], "own_words": "it pulls"})
    with store.write("surgeon") as unit:
        assert [unit.add(name, seen), unit.add(name, visit("2026-06-01", 2.0))] == [1, 2]
        assert (unit.add(name, entry), unit.add(name, note)) == (1, 1)
        assert unit.change(name, 2, 1, visit("2026-06-01", 3.0)) == 2
    assert [each.record for each in store.records(name, Visit)] == [seen, visit("2026-06-01", 3.0)]
    assert store.records(name, TableEntry)[0].record == entry
    assert store.records(name, OperationNote)[0].record == note
    assert store.counts(name) == {
        "plan": 0, "visit": 2, "table entry": 1, "operation note": 1, "stage": 0, "document": 0,
    }  # fmt: skip
    assert store.verify().whole


def test_a_stage_is_released_once_and_by_a_clinician(store: Store) -> None:
    name = add(store, SMALL)
    stage = record_from(Stage, {"title": "active lift", "from_week": 6.0, "allowed": "lift without load"})
    release = record_from(Release, {"on": "2026-04-01", "role": "therapist"})
    with store.write("surgeon") as unit:
        unit.add(name, stage)
    assert store.records(name, Stage)[0].record.released is None
    with pytest.raises(InputError, match="clinician"), store.write("assistant") as unit:
        unit.release(name, 1, 1, release.model_copy(update={"role": "assistant"}))
    with store.write("therapist") as unit:
        unit.release(name, 1, 1, release)
    assert store.records(name, Stage)[0].record.released == release
    with pytest.raises(InputError, match="released before"), store.write("surgeon") as unit:
        unit.release(name, 1, 2, release)
    event = store.history(name)[-1]
    assert ("released.role", "therapist") in {(each.path, each.after) for each in event.changes}


def test_a_document_keeps_its_bytes(store: Store) -> None:
    name = add(store, SMALL)
    page = record_from(Document, {"title": "theatre page", "media_type": "application/pdf"})
    data = bytes(range(256)) * 10
    with store.write("surgeon") as unit:
        unit.add(name, page, data)
    assert store.document(name, 1) == data
    with pytest.raises(InputError), store.write("surgeon") as unit:
        unit.add(name, page)
    with pytest.raises(InputError), store.write("surgeon") as unit:
        unit.add(name, visit("2026-01-01", 0.0), b"x")
    assert store.verify().whole


@pytest.mark.parametrize("role", ["Dr A. Person", "", "Surgeon"])
def test_only_roles_are_kept_never_names(store: Store, role: str) -> None:
    with pytest.raises(InputError, match="surgeon, therapist"), store.write(role) as unit:  # type: ignore[arg-type]
        unit.add_case(SMALL)
    assert store.cases() == ()


def test_unknown_names_are_refused_with_what_to_do(store: Store) -> None:
    for call in (store.case, store.plans, store.counts, store.entries):
        with pytest.raises(InputError, match="sinewright case list"):
            call("quiet-heron-4821")


@pytest.mark.parametrize(
    ("content", "field"),
    [
        ({"on": "2026-01-01", "range": {"resting_hanging_deg": 300}}, "range.resting_hanging_deg"),
        ({"range": {}}, "on"),
        ({"on": "2026-01-01", "complications": ["bad luck"]}, "complications.0"),
        ({"on": "2026-01-01", "surprise": 1}, "surprise"),
    ],
)
def test_a_wrong_visit_names_field_and_what_is_allowed(content: dict[str, object], field: str) -> None:
    with pytest.raises(InputError) as refused:
        record_from(Visit, content)
    assert refused.value.field == field


def test_two_stores_on_one_server_or_disk_do_not_mix(store: Store, place: Place, tmp_path: Path) -> None:
    from sinewright.store.place import find_place

    from .conftest import server_place

    other = server_place() if place.kind == "postgresql" else find_place(str(tmp_path / "other.db"))
    add(store, SMALL)
    with Store.open(other, create=True) as second:
        assert second.cases() == ()
        assert second.verify().head != store.verify().head
