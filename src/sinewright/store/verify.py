"""Proves a store: the file, the audit chain, and that every record is what its last audit row says."""

from __future__ import annotations

from collections.abc import Generator
from contextlib import closing
from dataclasses import dataclass
from itertools import groupby
from operator import itemgetter
from typing import Any

from sqlalchemy import Connection, select, text

from sinewright.store.chain import Link, digest_of, hash_of, start_of_chain
from sinewright.store.content import examination_state, finding_line
from sinewright.store.plans import plan_hash, plan_state
from sinewright.store.schema import (  # fmt: skip
    CONTENT_TABLES,
    AuditRow,
    CaseRow,
    DocumentRow,
    ExaminationRow,
    FindingRow,
    HeadRow,
    PlanRow,
)

EXAMINATION, PLAN = "examination", "plan"
Key = tuple[str, str, int]
State = tuple[int, str, int]
_LINK = (
    AuditRow.seq, AuditRow.at, AuditRow.role, AuditRow.action, AuditRow.kind, AuditRow.case_name,
    AuditRow.number, AuditRow.version, AuditRow.changes, AuditRow.state,
)  # fmt: skip


@dataclass(frozen=True)
class Verification:
    """What was proved. `broken` names the first row that does not hold, or is empty.

    `head` is the hash at the end of the chain: noted outside the store, it later proves that nothing was
    taken from the end. `noted_seq` is the audit row that bears the noted hash, if one was given and found.
    """

    broken: str
    cases: int
    records: int
    audit_rows: int
    head: str
    noted_seq: int | None = None

    @property
    def whole(self) -> bool:
        """True when everything holds."""
        return not self.broken


class _BrokenError(Exception):
    """Carries the sentence about the first broken row."""


def verify(connection: Connection, noted: str | None = None, thorough: bool = False) -> Verification:
    """Checks everything in one reading. `noted` is a hash noted earlier, which must stand in the chain.

    `thorough` checks the indexes of a SQLite file too.
    """
    states: dict[Key, State] = {}
    head = connection.execute(select(HeadRow.store_id, HeadRow.seq, HeadRow.hash)).one_or_none()
    found: list[int] = []
    try:
        _file(connection, thorough)
        if head is None:
            raise _BrokenError("the row with the end of the audit chain is missing")
        _chain(connection, head, states, noted, found)
        records = _records(connection, states)
        broken = ""
    except _BrokenError as problem:
        broken, records = str(problem), 0
    cases = sum(1 for key in states if key[0] == EXAMINATION)
    seq, end = (head[1], head[2]) if head else (0, "")
    return Verification(broken, cases, records, audit_rows=seq, head=end, noted_seq=found[0] if found else None)


def _file(connection: Connection, thorough: bool) -> None:
    if connection.dialect.name != "sqlite":
        return
    check = "integrity_check" if thorough else "quick_check"
    said = connection.exec_driver_sql(f"PRAGMA {check}(1)").scalar()
    if said != "ok":
        raise _BrokenError("the file: its pages do not fit together")
    orphan = connection.exec_driver_sql("PRAGMA foreign_key_check").first()
    if orphan is not None:
        raise _BrokenError(f"the file: a row of {orphan[0]} belongs to no case")


def _chain(connection: Connection, head: Any, states: dict[Key, State], noted: str | None, found: list[int]) -> None:
    """Walks the chain from its start; fills `states` with the last word on every record."""
    store_id, last, end = head
    previous, seq = start_of_chain(store_id), 0
    if noted == previous:
        found.append(0)
    columns = (*_LINK, AuditRow.previous, AuditRow.hash)
    statement = select(*columns).order_by(AuditRow.seq).execution_options(yield_per=2000)
    with connection.execute(statement) as rows:
        for row in rows:
            seq += 1
            link = Link(*row[:10])
            if link.seq != seq:
                raise _BrokenError(f"audit row {seq} is missing")
            if row[10] != previous or row[11] != hash_of(previous, link):
                raise _BrokenError(f"audit row {seq} ({link.action} {_named(_key(link))}) is not what was written")
            previous = row[11]
            if previous == noted:
                found.append(seq)
            if link.case_name is not None:
                _next_state(states, link)
    if (seq, previous) != (last, end):
        raise _BrokenError(f"audit row {min(seq, last) + 1} is missing: the chain does not end where it should")
    if noted is not None and not found:
        raise _BrokenError("the noted hash does not stand in the audit chain: rows at its end were exchanged")


def _key(link: Link) -> Key:
    return (link.kind, link.case_name or "", link.number)


def _named(key: Key) -> str:
    kind, name, number = key
    return f"{kind} {number} of {name}" if number else f"{kind} of {name}" if name else kind


def _next_state(states: dict[Key, State], link: Link) -> None:
    key = _key(link)
    before = states.get(key, (0, "", 0))[0]
    if link.version != before + 1:
        raise _BrokenError(f"audit row {link.seq} ({_named(key)}) skips from version {before} to {link.version}")
    states[key] = (link.version, link.state, link.seq)


def _records(connection: Connection, states: dict[Key, State]) -> int:
    """Compares every record with the last audit row about it; returns how many there are."""
    left = dict(states)
    with closing(_stored(connection)) as stored:
        for key, version, state in stored:
            known = left.pop(key, None)
            if known is None:
                raise _BrokenError(f"{_named(key)}: no audit row speaks of it")
            if (version, state) != known[:2]:
                raise _BrokenError(f"{_named(key)}: it is not what audit row {known[2]} (version {known[0]}) left")
    if left:
        key, known = min(left.items(), key=lambda each: each[1][2])
        raise _BrokenError(f"{_named(key)}: it is missing, audit row {known[2]} speaks of it")
    return len(states)


def _stored(connection: Connection) -> Generator[tuple[Key, int, str], None, None]:
    yield from _examinations(connection)
    for plan in connection.execute(select(PlanRow.__table__).order_by(PlanRow.case_name, PlanRow.number)).mappings():
        row = dict(plan)
        key = (PLAN, row["case_name"], row["number"])
        if plan_hash(row) != row["hash"]:
            raise _BrokenError(f"{_named(key)}: it does not fit its own hash")
        yield key, 1 if row["superseded_by"] is None else 2, plan_state(row)
    for kind, table in CONTENT_TABLES.items():
        data = (DocumentRow.data,) if table is DocumentRow else ()
        columns = (table.case_name, table.number, table.version, table.content, *data)
        statement = select(*columns).order_by(table.case_name, table.number).execution_options(yield_per=500)
        with connection.execute(statement) as rows:
            for each in rows:
                extra = (bytes(each[4]),) if data else ()
                yield (kind, each[0], each[1]), each[2], digest_of(each[3], *extra)


def _examinations(connection: Connection) -> Generator[tuple[Key, int, str], None, None]:
    """Digest of every case. Dates of findings come as text, which saves most of the time."""
    heads = {
        row[0]: row[1:]
        for row in connection.execute(
            select(
                CaseRow.name, CaseRow.version, CaseRow.archived, CaseRow.label, ExaminationRow.schema_version,
                ExaminationRow.side, ExaminationRow.invented, ExaminationRow.examined_on,
            ).join_from(CaseRow, ExaminationRow)
        )
    }  # fmt: skip
    statement = text(f"SELECT case_name, path, value, known, found_on, found_by FROM {FindingRow.__tablename__}"
                     " ORDER BY case_name")  # fmt: skip
    with connection.execute(statement.execution_options(yield_per=5000)) as rows:
        for name, group in groupby(rows, key=itemgetter(0)):
            head = heads.pop(name, None)
            if head is None:
                raise _BrokenError(f"a finding of {name} belongs to no case")
            yield _examination(name, head, [finding_line(*row[1:]) for row in group])
    for name, head in heads.items():
        yield _examination(name, head, [])


def _examination(name: str, head: Any, lines: list[str]) -> tuple[Key, int, str]:
    day = head[6].isoformat() if head[6] else None
    return (EXAMINATION, name, 0), head[0], examination_state((*head[1:6], day), lines)
