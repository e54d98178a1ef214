"""Eight programs write the same cases at once: no update is lost, and the audit chain is whole.

Each program counts its own acknowledged writes inside the case; the sum must be there at the end. The length is
SINEWRIGHT_STORE_SECONDS (5 unless set); benchmarks/store_writers.py runs the full minute.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

from sinewright.store.place import Place
from sinewright.store.records import Visit
from sinewright.store.store import Store

from .store_people import full

ROOT = Path(__file__).parents[2]
SECONDS = float(os.environ.get("SINEWRIGHT_STORE_SECONDS", "5"))
WRITERS = 8
CASES = 3

COUNTING = """
import json, random, sys, time
from sinewright.store.errors import ConflictError
from sinewright.store.place import find_place
from sinewright.store.store import Store
from tests.store.store_people import visit
me, until = int(sys.argv[2]), time.monotonic() + float(sys.argv[3])
dice, edits, visits, conflicts = random.Random(me), {}, {}, 0
with Store.open(find_place(sys.argv[1])) as store:
    names = [each.name for each in store.cases()]
    while time.monotonic() < until:
        name = dice.choice(names)
        if dice.random() < 0.2:
            with store.write("nurse") as unit:
                unit.add(name, visit("2026-01-01", float(me)))
            visits[name] = visits.get(name, 0) + 1
            continue
        read = store.case(name)
        counts = json.loads(read.case.note or "{}")
        counts[str(me)] = counts.get(str(me), 0) + 1
        try:
            with store.write("nurse") as unit:
                unit.edit_case(name, read.version, {"note": json.dumps(counts, sort_keys=True)})
            edits[name] = edits.get(name, 0) + 1
        except ConflictError as conflict:
            assert [each.path for each in conflict.theirs] == ["note"]
            conflicts += 1
print(json.dumps({"edits": edits, "visits": visits, "conflicts": conflicts}))
"""


def run_writers(place: Place, seconds: float) -> dict[str, int]:
    """Lets eight programs write for `seconds`, checks everything, and returns what happened in numbers."""
    with Store.open(place, create=True) as store, store.write("surgeon") as unit:
        names = [unit.add_case(full().model_copy(update={"note": None})) for _ in range(CASES)]
    address = str(place.path) if place.kind == "sqlite" else f"{place.url}?schema={place.schema}"
    environment = {**os.environ, "PYTHONPATH": f"{ROOT / 'src'}{os.pathsep}{ROOT}"}
    running = [
        subprocess.Popen(
            [sys.executable, "-c", COUNTING, address, str(number), str(seconds)],
            stdout=subprocess.PIPE, text=True, cwd=ROOT, env=environment,
        )
        for number in range(WRITERS)
    ]  # fmt: skip
    told = [json.loads(each.communicate()[0] or "null") for each in running]
    assert all(each.returncode == 0 for each in running)
    with Store.open(place) as store:
        proof = store.verify(thorough=True)
        assert proof.whole, proof.broken
        for name in names:
            stored = store.case(name)
            wanted = {str(number): each["edits"][name] for number, each in enumerate(told) if name in each["edits"]}
            assert json.loads(stored.case.note or "{}") == wanted
            assert stored.version == 1 + sum(wanted.values())
            assert len(store.records(name, Visit)) == sum(each["visits"].get(name, 0) for each in told)
    edits = sum(sum(each["edits"].values()) for each in told)
    visits = sum(sum(each["visits"].values()) for each in told)
    assert proof.audit_rows == CASES + edits + visits
    return {"edits": edits, "visits": visits, "conflicts": sum(each["conflicts"] for each in told)}


def test_eight_programs_lose_nothing(place: Place) -> None:
    happened = run_writers(place, SECONDS)
    assert happened["edits"] > WRITERS and happened["visits"] > 0
    assert happened["conflicts"] > 0  # else the test did not test
