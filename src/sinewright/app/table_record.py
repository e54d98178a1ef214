"""Entries of the operating table in the store: each is one record, kept with its time, also when it is taken back."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import datetime

from sinewright.learn.entries import Entry
from sinewright.store.chain import Role
from sinewright.store.records import TableEntry, record_from
from sinewright.store.store import Kept, Store

_FIELD = {
    "tendon": "tendon_length_mm", "mark": "set_stretch_mm", "spring": "spring_force_N", "rest": "resting_ankle_deg",
    "stimulated": "stimulated_ankle_deg",
}  # fmt: skip


@dataclass(frozen=True)
class Noted:
    """An entry with the number of its record and of the plan it belongs to."""

    number: int
    plan: int
    entry: Entry


def noted(store: Store, name: str, plan: int) -> tuple[Noted, ...]:
    """Everything entered for one plan, oldest first, also what was taken back."""
    found = (_noted(each) for each in store.records(name, TableEntry))
    return tuple(each for each in found if each is not None and each.plan == plan)


def keep(store: Store, role: Role, name: str, plan: int, entry: Entry) -> int:
    """Stores an entry; returns its number."""
    with store.write(role) as unit:
        return unit.add(name, _record(plan, entry))


def take_back(store: Store, role: Role, name: str, plan: int, now: datetime) -> Entry | None:
    """Marks the last entry that counts as taken back; it is kept. None when nothing counts."""
    from dataclasses import replace

    counting = [each for each in noted(store, name, plan) if each.entry.counts]
    if not counting:
        return None
    last = counting[-1]
    version = next(each.version for each in store.records(name, TableEntry) if each.number == last.number)
    with store.write(role) as unit:
        unit.change(name, last.number, version, _record(plan, replace(last.entry, taken_back=now)))
    return last.entry


def _record(plan: int, entry: Entry) -> TableEntry:
    told = {
        "plan": plan, "kind": entry.kind, "value": entry.value, "at": entry.at.isoformat(timespec="seconds"),
        "knee_deg": entry.knee_deg, "limb": entry.limb,
        "taken_back": entry.taken_back.isoformat(timespec="seconds") if entry.taken_back else None,
    }  # fmt: skip
    tables = {"on": entry.at.date().isoformat(), "note": json.dumps(told)}
    if entry.kind in _FIELD and entry.counts:
        tables[_FIELD[entry.kind]] = entry.value  # type: ignore[assignment]
    return record_from(TableEntry, tables)


def _noted(kept: Kept[TableEntry]) -> Noted | None:
    """A record of this app; None for one that was written otherwise."""
    try:
        told = json.loads(kept.record.note or "")
        back = told["taken_back"]
        entry = Entry(
            told["kind"], told["value"], datetime.fromisoformat(told["at"]), told["knee_deg"], told["limb"],
            taken_back=datetime.fromisoformat(back) if back else None,
        )  # fmt: skip
        return Noted(kept.number, int(told["plan"]), entry)
    except (ValueError, KeyError, TypeError):
        return None
