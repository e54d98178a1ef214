"""A program of its own that writes at random and says each write once the store has acknowledged it.

``python -m tests.store.writer STORE SEED WRITES [SECONDS]``: one JSON line for each acknowledged write, made by
`deed`, whose content follows from the seed alone, so that the test can say what must be there.
"""

from __future__ import annotations

import json
import random
import sys
import time
from collections.abc import Iterator
from typing import Any

from sinewright.store.errors import ConflictError
from sinewright.store.place import find_place
from sinewright.store.records import Visit
from sinewright.store.store import Store

from .store_people import full, small, visit


def deeds(seed: int) -> Iterator[dict[str, Any]]:
    """Endless random writes: new cases, edits of several entries at once, visits."""
    dice = random.Random(seed)
    number = 0
    while True:
        number += 1
        kind = dice.choice(["add", "edit", "edit", "visit"])
        yield {"number": number, "kind": kind, "pick": dice.random(), "value": dice.randint(40, 120)}


def do(store: Store, deed: dict[str, Any], names: list[str]) -> dict[str, Any]:
    """Carries out one deed in one transaction; returns it with what it touched, the new version and its audit rows."""
    name = names[int(deed["pick"] * len(names))] if names else ""
    value = deed["value"]
    with store.write("assistant") as unit:
        if deed["kind"] == "add" or not names:
            name = unit.add_case(full() if value % 2 else small(note=str(value)))
            return {**deed, "kind": "add", "name": name, "version": 1, "rows": 1}
        if deed["kind"] == "edit":
            version = store.case(name).version
            # Three entries that always carry the same value: a half-done edit would show.
            edits = {"person.mass_kg": float(value), "note": f"{value}", "person.height_cm": value + 60.0}
            after = unit.edit_case(name, version, edits)
            return {**deed, "name": name, "version": after, "rows": after - version}
        return {**deed, "name": name, "version": unit.add(name, visit("2026-01-01", value / 10 - 8)), "rows": 1}


def main() -> None:
    """Writes until it has done its number, or is ended."""
    place, seed, writes = find_place(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3])
    until = time.monotonic() + (float(sys.argv[4]) if len(sys.argv) > 4 else 3600)
    with Store.open(place, create=True) as store:
        names = [each.name for each in store.cases()]
        for deed, _ in zip(deeds(seed), range(writes), strict=False):
            if time.monotonic() > until:
                break
            try:
                done = do(store, deed, names)
            except ConflictError:
                continue
            if done["kind"] == "add":
                names.append(done["name"])
            sys.stdout.write(json.dumps(done) + "\n")
            sys.stdout.flush()


def check(store: Store, acknowledged: list[dict[str, Any]]) -> None:
    """Every acknowledged write is there, no case is half written, and everything fits the audit."""
    proof = store.verify(thorough=True)
    assert proof.whole, proof.broken
    versions = {each.name: each.version for each in store.cases()}
    for done in acknowledged:
        if done["kind"] == "visit":
            kept = store.records(done["name"], Visit)[done["version"] - 1]
            assert kept.record == visit("2026-01-01", done["value"] / 10 - 8)
        else:
            assert versions[done["name"]] >= done["version"]
    last = {each["name"]: each for each in acknowledged if each["kind"] == "edit"}
    for name in versions:
        case = store.case(name).case  # reads and checks every entry
        done = last.get(name)
        if done is not None and versions[name] == done["version"]:
            assert case.person.mass_kg is not None and case.person.mass_kg.value == done["value"]
        if versions[name] > 1:
            assert case.person.mass_kg is not None and case.person.height_cm is not None
            assert case.note == f"{case.person.mass_kg.value:g}"
            assert case.person.height_cm.value == case.person.mass_kg.value + 60.0


if __name__ == "__main__":
    main()
