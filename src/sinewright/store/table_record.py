"""Entries of the operating table in the store: each is one record, kept with its time, also when it is taken back."""

from __future__ import annotations

import json
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from sinewright.case.fields import number
from sinewright.learn.entries import Kind, TableReading
from sinewright.store.chain import Role
from sinewright.store.records import TableEntry, record_from
from sinewright.store.store import KeptRecord, Store

_FIELD: dict[Kind, str] = {
    "tendon": "tendon_length_mm", "mark": "set_stretch_mm", "spring": "spring_force_N", "rest": "resting_ankle_deg",
    "stimulated": "stimulated_ankle_deg", "moved": "moved_mm",
}  # fmt: skip
_KNEE: dict[Kind, str] = {"rest": "resting_knee_deg", "stimulated": "stimulated_knee_deg"}


@dataclass(frozen=True)
class Noted:
    """An entry with the number of its record and of the plan it belongs to."""

    number: int
    plan: int
    entry: TableReading


def noted(store: Store, name: str, plan: int) -> tuple[Noted, ...]:
    """Everything entered for one plan, oldest first, also what was taken back."""
    found = (_noted(each) for each in store.records(name, TableEntry))
    return tuple(each for each in found if each is not None and each.plan == plan)


def keep(store: Store, role: Role, name: str, plan: int, entry: TableReading) -> int:
    """Stores an entry; returns its number."""
    with store.write(role) as unit:
        return unit.add(name, _record(plan, entry))


def keep_once(store: Store, role: Role, name: str, plan: int, entry: TableReading) -> None:
    """Stores an entry unless it stands there already: a tab that heard no answer sends the same one again."""
    if any(replace(each.entry, taken_back=None) == entry for each in noted(store, name, plan)):
        return
    keep(store, role, name, plan, entry)


def take_back(store: Store, role: Role, name: str, plan: int, now: datetime) -> TableReading | None:
    """Marks the last entry that counts as taken back; it is kept. None when nothing counts."""
    counting = [each for each in noted(store, name, plan) if each.entry.counts]
    if not counting:
        return None
    last = counting[-1]
    version = next(each.version for each in store.records(name, TableEntry) if each.number == last.number)
    with store.write(role) as unit:
        unit.change(name, last.number, version, _record(plan, replace(last.entry, taken_back=now)))
    return last.entry


def _record(plan: int, entry: TableReading) -> TableEntry:
    """The entry in the record's own fields; one that was taken back keeps its value and says when."""
    tables: dict[str, Any] = {
        "on": entry.at.date().isoformat(), "plan": plan, "at": entry.at.isoformat(timespec="seconds"),
        _FIELD[entry.kind]: entry.value,
    }  # fmt: skip
    if entry.kind in _KNEE:
        tables |= {"limb": entry.limb, _KNEE[entry.kind]: entry.knee_deg}
    if entry.taken_back:
        tables["taken_back_at"] = entry.taken_back.isoformat(timespec="seconds")
    if entry.note:
        tables["note"] = entry.note
    return record_from(TableEntry, {name: value for name, value in tables.items() if value is not None})


def _noted(kept: KeptRecord[TableEntry]) -> Noted | None:
    """A record of this app; None for one that holds another measurement than those of the table."""
    record = kept.record
    if record.at is None:
        return _from_note(kept)
    kind = next((kind for kind, field in _FIELD.items() if getattr(record, field) is not None), None)
    if kind is None or record.plan is None:
        return None
    knee = number(getattr(record, _KNEE[kind])) if kind in _KNEE else None
    value, limb = number(getattr(record, _FIELD[kind])), record.limb or "lying"
    assert value is not None
    at, back = datetime.fromisoformat(record.at), record.taken_back_at
    entry = TableReading(
        kind,
        value,
        at,
        knee_deg=knee,
        limb=limb,
        note=record.note or "",
        taken_back=datetime.fromisoformat(back) if back else None,
    )
    return Noted(kept.number, record.plan, entry)


def _from_note(kept: KeptRecord[TableEntry]) -> Noted | None:
    """A record of an earlier version of the app, which kept what has no field in a note."""
    try:
        told = json.loads(kept.record.note or "")
        back = told["taken_back"]
        entry = TableReading(
            told["kind"], told["value"], datetime.fromisoformat(told["at"]), told["knee_deg"], told["limb"],
            taken_back=datetime.fromisoformat(back) if back else None,
        )  # fmt: skip
        return Noted(kept.number, int(told["plan"]), entry)
    except (ValueError, KeyError, TypeError):
        return None
