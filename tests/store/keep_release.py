"""Writes the files of a schema that is about to be released: ``python -m tests.store.keep_release NUMBER``.

Run it once for each release; the files of a released schema are never written again.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path

from sinewright.case import parse_case
from sinewright.files import beside, publish
from sinewright.store.dump import write_rows
from sinewright.store.engine import changing, make_engine, reading
from sinewright.store.place import Place
from sinewright.store.records import Document, Release, Stage, record_from
from sinewright.store.store import fill
from sinewright.store.unit import Unit
from sinewright.store.verify import verify

from .store_people import EXAMPLES, PLAN, visit

FOLDER = Path(__file__).parent / "old_files"
PASSPHRASE = "invented for a test: it's no secret"


def write(number: int, path: Path, passphrase: str | None) -> None:
    """A store of schema `number` with a little of everything."""
    with beside(path) as temporary:
        place = Place("sqlite", path.name, path=temporary)
        fill(place, make_engine(place, passphrase), number)
        engine = make_engine(place, passphrase)
        with changing(engine, place) as connection:
            unit = Unit(connection, place.shown, "surgeon")
            names = [unit.add_case(parse_case(each.read_text("utf-8"))) for each in EXAMPLES[:3]]
            unit.edit_case(names[0], 1, {"note": "first edit", "person.mass_kg": 70.0})
            unit.keep_plan(names[0], 1, PLAN)
            unit.keep_plan(names[0], 2, PLAN)
            unit.add(names[0], visit("2026-01-01", -3.0))
            unit.change(names[0], 1, 1, visit("2026-01-01", -2.0))
            unit.add(names[1], record_from(Stage, {"title": "lift", "from_week": 6.0, "allowed": "without load"}))
            unit.release(names[1], 1, 1, record_from(Release, {"on": "2026-02-01", "role": "therapist"}))
            unit.add(names[1], record_from(Document, {"title": "page", "media_type": "text/plain"}), b"\x00page")
            unit.archive(names[2])
            unit.finish()
        with reading(engine, place) as connection:
            proof = verify(connection, thorough=True)
            rows = path.with_suffix(".rows")
            if passphrase is None:
                with rows.open("x", encoding="ascii") as stream:
                    write_rows(stream, connection)
        engine.dispose()
        assert proof.whole, proof.broken
        publish(temporary, path)
    expected = {"head": proof.head, "cases": proof.cases, "records": proof.records, "audit_rows": proof.audit_rows}
    path.with_suffix(".json").write_text(json.dumps(expected) + "\n", "utf-8")


if __name__ == "__main__":
    wanted = int(sys.argv[1])
    write(wanted, FOLDER / f"schema-{wanted}.db", None)
    write(wanted, FOLDER / f"schema-{wanted}-encrypted.db", PASSPHRASE)
