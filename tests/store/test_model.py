"""Any sequence of edits, conflicts, backups and restores equals a simple model in memory."""

from __future__ import annotations

import copy
import shutil
import tempfile
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    invariant,
    precondition,
    rule,
    run_state_machine_as_test,
)

from sinewright.store.backup import backup, restore
from sinewright.store.errors import ConflictError
from sinewright.store.place import Place, find_place
from sinewright.store.records import Visit
from sinewright.store.store import Store

from .conftest import server_place
from .store_people import PLAN, small, visit

NOTES = st.one_of(st.none(), st.text("abc é\n\"'%:", min_size=1, max_size=8))
MASSES = st.one_of(st.none(), st.floats(30, 200))
ANGLES = st.one_of(
    st.none(),
    st.fixed_dictionaries(
        {"value": st.integers(-40, 20).map(float), "known": st.sampled_from(["measured", "estimated", "assumed"])},
        optional={"by": st.sampled_from(["goniometer", "by eye"])},
    ),
)
EDITS = st.fixed_dictionaries(
    {}, optional={"note": NOTES, "person.mass_kg": MASSES, "range.affected.resting_hanging_deg": ANGLES}
).filter(bool)
HEAD = ("schema_version", "side", "invented")
PICK = st.integers(0, 10**6)


@dataclass
class Remembered:
    """One case in memory: its content at every version, its visits with versions, its number of plans."""

    versions: list[dict[str, Any]]
    visits: list[tuple[int, float]] = field(default_factory=list)
    plans: list[int] = field(default_factory=list)


def finding(value: Any) -> Any:
    if value is None or isinstance(value, dict):
        return value
    return {"value": value, "known": "measured"} if isinstance(value, float) else value


def told_rightly(
    conflict: ConflictError, version: int, base: dict[str, Any], now: dict[str, Any], wanted: dict[str, Any]
) -> None:
    """The conflict says exactly what others changed since, and exactly what this edit wanted."""
    paths = {path for path in {*base, *now} if base.get(path) != now.get(path)}
    assert paths
    assert {each.path: each.after for each in conflict.theirs} == {path: now.get(path) for path in paths}
    mine = {path: wanted.get(path) for path in {*base, *wanted} - {"archived"}}
    assert {each.path: each.after for each in conflict.mine} == {
        path: value for path, value in mine.items() if value != base.get(path)
    }
    assert conflict.version == version


class AgainstMemory(RuleBasedStateMachine):
    """Does the same to a store and to a dictionary."""

    kind = "sqlite"
    happened: Counter[str]

    @initialize()
    def begin(self) -> None:
        self.folder = Path(tempfile.mkdtemp())
        self.place: Place = server_place() if self.kind == "postgresql" else find_place(str(self.folder / "s.db"))
        self.store = Store.open(self.place, create=True)
        self.memory: dict[str, Remembered] = {}
        self.backups: list[tuple[Path, dict[str, Remembered]]] = []
        self.changed = True
        self.add({"note": "first"})

    def teardown(self) -> None:
        if hasattr(self, "store"):
            self.store.close()
            shutil.rmtree(self.folder)

    def did(self, what: str) -> None:
        """Counts what happened, so that a run which tested nothing fails."""
        self.happened[what] += 1
        self.changed = True

    def pick(self, number: int) -> tuple[str, Remembered]:
        name = sorted(self.memory, key=list(self.memory).index)[number % len(self.memory)]
        return name, self.memory[name]

    @rule(edits=EDITS)
    def add(self, edits: dict[str, Any]) -> None:
        content = {path: finding(value) for path, value in edits.items() if value is not None}
        with self.store.write("surgeon") as unit:
            name = unit.add_case(small(**{path.replace(".", "__"): value for path, value in edits.items()}))
        assert name not in self.memory
        self.did("add")
        self.memory[name] = Remembered([{**content, "archived": False}])

    @precondition(lambda self: self.memory)
    @rule(number=PICK, back=st.integers(0, 3), edits=EDITS)
    def edit(self, number: int, back: int, edits: dict[str, Any]) -> None:
        """An edit of somebody who read the case `back` versions ago."""
        name, known = self.pick(number)
        version = max(1, len(known.versions) - back)
        base, now = known.versions[version - 1], known.versions[-1]
        wanted = {path: value for path, value in base.items() if path != "archived"}
        wanted.update({path: finding(value) for path, value in edits.items()})
        wanted = {path: value for path, value in wanted.items() if value is not None}
        try:
            with self.store.write("nurse") as unit:
                after = unit.edit_case(name, version, edits)
        except ConflictError as conflict:
            told_rightly(conflict, len(known.versions), base, now, wanted)
            self.did("conflict")
            return
        assert base == now
        if wanted != {path: value for path, value in now.items() if path != "archived"}:
            known.versions.append({**wanted, "archived": now["archived"]})
            self.did("edit")
        assert after == len(known.versions)

    @precondition(lambda self: self.memory)
    @rule(number=PICK, mine=EDITS, theirs=EDITS)
    def edit_both(self, number: int, mine: dict[str, Any], theirs: dict[str, Any]) -> None:
        """Two people read the same version; the second comes too late."""
        self.edit(number, 0, theirs)
        self.edit(number, 1, mine)

    @precondition(lambda self: self.memory)
    @rule(number=PICK, archived=st.booleans())
    def archive(self, number: int, archived: bool) -> None:
        name, known = self.pick(number)
        with self.store.write("surgeon") as unit:
            unit.archive(name, archived)
        if known.versions[-1]["archived"] != archived:
            known.versions.append({**known.versions[-1], "archived": archived})
            self.did("archive")

    @precondition(lambda self: self.memory)
    @rule(number=PICK, angle=st.integers(-20, 20).map(float))
    def see(self, number: int, angle: float) -> None:
        name, known = self.pick(number)
        with self.store.write("therapist") as unit:
            known.visits.append((1, angle))
            assert unit.add(name, visit("2026-01-01", angle)) == len(known.visits)
        self.did("visit")

    @precondition(lambda self: any(each.visits for each in self.memory.values()))
    @rule(number=PICK, angle=st.integers(-20, 20).map(float), stale=st.booleans())
    def correct(self, number: int, angle: float, stale: bool) -> None:
        name, known = next((name, each) for name, each in self.memory.items() if each.visits)
        at = number % len(known.visits)
        version, before = known.visits[at]
        read = version - 1 if stale and version > 1 else version
        try:
            with self.store.write("therapist") as unit:
                after = unit.change(name, at + 1, read, visit("2026-01-01", angle))
        except ConflictError:
            assert read < version
            self.did("visit conflict")
            return
        assert read == version
        known.visits[at] = (version + (angle != before), angle)
        assert after == known.visits[at][0]
        self.did("visit")

    @precondition(lambda self: self.memory)
    @rule(number=PICK)
    def plan(self, number: int) -> None:
        name, known = self.pick(number)
        known.plans.append(len(known.versions))
        with self.store.write("surgeon") as unit:
            assert unit.keep_plan(name, len(known.versions), PLAN) == len(known.plans)

    @precondition(lambda self: self.changed)
    @rule()
    def back_up(self) -> None:
        target = self.folder / f"backup-{len(self.backups)}"
        backup(self.store, target)
        self.backups.append((target, copy.deepcopy(self.memory)))
        self.did("backup")
        self.changed = False

    @precondition(lambda self: self.backups and self.changed)
    @rule(number=PICK)
    def bring_back(self, number: int) -> None:
        path, remembered = self.backups[number % len(self.backups)]
        self.store.close()
        restore(self.place, path)
        self.store = Store.open(self.place)
        self.memory = copy.deepcopy(remembered)
        self.did("restore")

    @precondition(lambda self: self.changed)
    @rule()
    def reopen(self) -> None:
        self.store.close()
        self.store = Store.open(self.place)

    @invariant()
    def equal(self) -> None:
        if not hasattr(self, "store"):
            return
        proof = self.store.verify()
        assert proof.whole, proof.broken
        found = {each.name: each for each in (*self.store.cases(), *self.store.cases(archived=True))}
        assert found.keys() == self.memory.keys()
        for name, known in self.memory.items():
            now = known.versions[-1]
            line, entries = self.store.entries(name)
            assert (line.version, line.archived) == (len(known.versions), now["archived"])
            content = {
                path: leaf for path, leaf in entries.items() if path not in ("schema_version", "side", "invented")
            }
            assert content == {path: leaf for path, leaf in now.items() if path != "archived"}
            assert self.store.case(name).line == line
            kept = [(each.version, each.record) for each in self.store.records(name, Visit)]
            assert kept == [(version, visit("2026-01-01", angle)) for version, angle in known.visits]
            plans = self.store.plans(name)
            assert [each.case_version for each in plans] == known.plans
            assert [each.superseded_by is None for each in plans] == [False] * (len(plans) - 1) + [True] * bool(plans)


@pytest.mark.parametrize("kind", ["sqlite", "postgresql"])
def test_any_sequence_equals_the_model(kind: str) -> None:
    if kind == "postgresql":
        server_place()
    machine = type("Machine", (AgainstMemory,), {"kind": kind, "happened": Counter()})
    limits = settings(
        max_examples=25 if kind == "sqlite" else 10,
        stateful_step_count=30,
        deadline=None,
        suppress_health_check=list(HealthCheck),
    )
    run_state_machine_as_test(machine, settings=limits)
    few = {what for what in ("edit", "conflict", "visit", "backup", "restore") if not machine.happened[what]}
    assert kind != "sqlite" or not few, f"never tried: {few}"
