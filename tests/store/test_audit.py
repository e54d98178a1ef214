"""Whoever changes the tables by hand is found out, and the first broken row is named."""

from __future__ import annotations

import pytest
from sqlalchemy import text

from sinewright.store.engine import changing
from sinewright.store.place import Place
from sinewright.store.records import Document, record_from
from sinewright.store.store import Store

from .store_people import PLAN, full, small, visit

# What is done to the tables, and what the verification must name.
DEEDS = [
    ("UPDATE finding SET value = '99.0' WHERE path = 'person.mass_kg'", "examination of {name}"),
    ("UPDATE finding SET known = 'assumed' WHERE path = 'person.mass_kg'", "examination of {name}"),
    ("UPDATE finding SET found_by = 'x' WHERE path = 'person.mass_kg'", "examination of {name}"),
    ("DELETE FROM finding WHERE path = 'person.mass_kg'", "examination of {name}"),
    ("DELETE FROM finding", "examination of {name}"),
    ("UPDATE examination SET side = CASE side WHEN 'left' THEN 'right' ELSE 'left' END", "examination of {name}"),
    ("UPDATE examination SET examined_on = NULL", "examination of {name}"),
    ("UPDATE case_record SET label = 'other'", "examination of {name}"),
    ("UPDATE case_record SET version = 9", "examination of {name}"),
    ("UPDATE plan SET result = '{{}}'", "plan 1 of {name}"),
    ("DELETE FROM plan WHERE number = 1", "plan 1 of {name}"),
    ("UPDATE visit SET content = '{{}}'", "visit 1 of {name}"),
    ("DELETE FROM visit", "visit 1 of {name}"),
    ("INSERT INTO visit SELECT case_name, 7, version, content FROM visit", "visit 7 of {name}"),
    ("UPDATE document SET data = content::bytea", "document 1 of {name}"),
    ("UPDATE audit SET role = 'nurse' WHERE seq = 2", "audit row 2"),
    ("UPDATE audit SET changes = '{{}}' WHERE seq = 2", "audit row 2"),
    ("DELETE FROM audit WHERE seq = 2", "audit row 2"),
    ("DELETE FROM audit WHERE seq = (SELECT max(seq) FROM audit)", "audit row 7"),
    ("DELETE FROM audit", "audit row 1"),
    ("UPDATE chain_head SET hash = '0'", "the chain does not end"),
    ("DELETE FROM chain_head", "end of the audit chain"),
]


@pytest.fixture
def name(store: Store) -> str:
    with store.write("surgeon") as unit:
        name = unit.add_case(full())
        unit.edit_case(name, 1, {"note": "x"})
        unit.keep_plan(name, 1, PLAN)
        unit.keep_plan(name, 2, PLAN)
        unit.add(name, visit("2026-01-01", 1.0))
        unit.add(name, record_from(Document, {"title": "page", "media_type": "text/plain"}), b"page")
    return name


def by_hand(store: Store, place: Place, statement: str) -> None:
    """Changes the tables as somebody with full rights would, guards taken away first."""
    server = place.kind == "postgresql"
    with changing(store._engine, place) as connection:
        for guarded, change in (("audit", "update"), ("audit", "delete"), ("plan", "update"), ("plan", "delete")):
            trigger = f"{guarded}_no_{change}"
            connection.execute(text(f"DROP TRIGGER {trigger}" + (f" ON {guarded}" if server else "")))
        statement = statement if server else statement.replace("content::bytea", "CAST(content AS BLOB)")
        connection.exec_driver_sql(statement)


def test_a_store_as_it_was_written_is_whole(store: Store, name: str) -> None:
    proof = store.verify(thorough=True)
    assert (proof.broken, proof.cases, proof.records, proof.audit_rows) == ("", 1, 5, 7)


@pytest.mark.parametrize(("statement", "named"), DEEDS, ids=[deed[0][:60] for deed in DEEDS])
def test_a_change_by_hand_is_named(store: Store, place: Place, name: str, statement: str, named: str) -> None:
    by_hand(store, place, statement.replace("{{}}", "{}"))
    proof = store.verify()
    assert not proof.whole
    assert named.format(name=name) in proof.broken


def test_a_noted_hash_shows_that_the_end_was_cut_and_rewritten(store: Store, place: Place, name: str) -> None:
    with store.write("surgeon") as unit:
        unit.add(name, visit("2026-02-01", 2.0))
    noted = store.verify().head
    assert store.verify(noted=noted).noted_seq == 8
    statements = (
        "DELETE FROM audit WHERE seq = 8",
        "DELETE FROM visit WHERE number = 2",
        "UPDATE chain_head SET seq = 7, hash = (SELECT hash FROM audit WHERE seq = 7)",
    )
    by_hand(store, place, statements[0])
    with changing(store._engine, place) as connection:
        for statement in statements[1:]:
            connection.exec_driver_sql(statement)
    assert store.verify().whole  # only the hash kept elsewhere can tell
    assert "noted hash" in store.verify(noted=noted).broken


def test_the_chain_of_a_broken_store_is_not_continued_in_silence(store: Store, place: Place, name: str) -> None:
    by_hand(store, place, "UPDATE audit SET role = 'nurse' WHERE seq = 2")
    with store.write("surgeon") as unit:
        unit.add_case(small(note="later"))
    assert "audit row 2" in store.verify().broken
