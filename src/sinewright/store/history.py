"""What the audit says about one record."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from sqlalchemy import Connection, select

from sinewright.store.errors import Change
from sinewright.store.flat import changes_from
from sinewright.store.schema import AuditRow


@dataclass(frozen=True)
class Event:
    """One change of a case or of the store: when (UTC), who by role, what, and every field before and after."""

    seq: int
    at: str
    role: str
    action: str
    kind: str
    number: int
    version: int
    changes: tuple[Change, ...]


def events(connection: Connection, name: str | None) -> tuple[Event, ...]:
    """Every change of the case `name` (of the store itself for None), oldest first."""
    columns = (
        AuditRow.seq, AuditRow.at, AuditRow.role, AuditRow.action, AuditRow.kind, AuditRow.number,
        AuditRow.version, AuditRow.changes,
    )  # fmt: skip
    where = AuditRow.case_name == name if name is not None else AuditRow.case_name.is_(None)
    rows = connection.execute(select(*columns).where(where).order_by(AuditRow.seq))
    return tuple(Event(*row[:7], changes_from(row[7])) for row in rows)


def changes_since(
    connection: Connection, kind: str, name: str, number: int, version: int
) -> Iterator[tuple[Change, ...]]:
    """The changes of one record after `version`, newest first."""
    where = (
        AuditRow.case_name == name,
        AuditRow.kind == kind,
        AuditRow.number == number,
        AuditRow.version > version,
    )
    rows = connection.execute(select(AuditRow.changes).where(*where).order_by(AuditRow.seq.desc()))
    return (changes_from(row[0]) for row in rows)
