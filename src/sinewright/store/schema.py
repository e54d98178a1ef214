"""The tables, typed. Natural keys only: case, number and path mean the same in every copy of a store.

The numbered migrations build these tables; a test compares the two. Content is canonical JSON text, so that
SQLite and PostgreSQL keep, hash and dump the same bytes.
"""

from __future__ import annotations

from datetime import date
from typing import TypeAlias

from sqlalchemy import BigInteger, ForeignKey, Index, LargeBinary, String, Text
from sqlalchemy.orm import DeclarativeBase, Mapped, mapped_column

SCHEMA = 2
"""Number of the newest migration, the only schema that this program reads and writes."""

APPLICATION_ID = 0x53574E31
"""Marks a SQLite file as a store of ours ("SWN1")."""

LABEL, STAMP, HEX = String(40), String(32), String(64)


class Base(DeclarativeBase):
    """Base of all tables."""


class CaseRow(Base):
    """One patient's leg, known by a random pseudonym. `label` is what an imported file called it."""

    __tablename__ = "case_record"

    name: Mapped[str] = mapped_column(LABEL, primary_key=True)
    version: Mapped[int]
    archived: Mapped[bool]
    label: Mapped[str] = mapped_column(LABEL)
    made_at: Mapped[str] = mapped_column(STAMP)
    changed_at: Mapped[str] = mapped_column(STAMP)


class ExaminationRow(Base):
    """Head of the examination of a case; its findings stand in `finding`."""

    __tablename__ = "examination"

    case_name: Mapped[str] = mapped_column(LABEL, ForeignKey("case_record.name"), primary_key=True)
    schema_version: Mapped[int]
    side: Mapped[str] = mapped_column(String(5))
    invented: Mapped[bool]
    examined_on: Mapped[date | None]


class FindingRow(Base):
    """One entry of the examination: its value (JSON), how it is known, its date and method where given."""

    __tablename__ = "finding"
    __table_args__ = ({"sqlite_with_rowid": False},)

    case_name: Mapped[str] = mapped_column(LABEL, ForeignKey("examination.case_name"), primary_key=True)
    path: Mapped[str] = mapped_column(String(120), primary_key=True)
    value: Mapped[str] = mapped_column(Text)
    known: Mapped[str | None] = mapped_column(String(10))
    found_on: Mapped[date | None]
    found_by: Mapped[str | None] = mapped_column(String(120))


class PlanRow(Base):
    """A frozen plan. Only `superseded_by` ever changes, and only once."""

    __tablename__ = "plan"

    case_name: Mapped[str] = mapped_column(LABEL, ForeignKey("case_record.name"), primary_key=True)
    number: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    made_at: Mapped[str] = mapped_column(STAMP)
    program_version: Mapped[str] = mapped_column(String(40))
    seed: Mapped[int] = mapped_column(BigInteger)
    draws: Mapped[int]
    data_digest: Mapped[str] = mapped_column(HEX)
    case_version: Mapped[int]
    inputs: Mapped[str] = mapped_column(Text)
    result: Mapped[str] = mapped_column(Text)
    hash: Mapped[str] = mapped_column(HEX)
    superseded_by: Mapped[int | None]


class VisitRow(Base):
    """A visit after the operation."""

    __tablename__ = "visit"

    case_name: Mapped[str] = mapped_column(LABEL, ForeignKey("case_record.name"), primary_key=True)
    number: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    version: Mapped[int]
    content: Mapped[str] = mapped_column(Text)


class TableEntryRow(Base):
    """What was measured on the operating table."""

    __tablename__ = "table_entry"

    case_name: Mapped[str] = mapped_column(LABEL, ForeignKey("case_record.name"), primary_key=True)
    number: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    version: Mapped[int]
    content: Mapped[str] = mapped_column(Text)


class OperationNoteRow(Base):
    """What was done."""

    __tablename__ = "operation_note"

    case_name: Mapped[str] = mapped_column(LABEL, ForeignKey("case_record.name"), primary_key=True)
    number: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    version: Mapped[int]
    content: Mapped[str] = mapped_column(Text)


class StageRow(Base):
    """A stage of protection, and who released it."""

    __tablename__ = "protection_stage"

    case_name: Mapped[str] = mapped_column(LABEL, ForeignKey("case_record.name"), primary_key=True)
    number: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    version: Mapped[int]
    content: Mapped[str] = mapped_column(Text)


class DocumentRow(Base):
    """A printed page or another file, with its bytes."""

    __tablename__ = "document"

    case_name: Mapped[str] = mapped_column(LABEL, ForeignKey("case_record.name"), primary_key=True)
    number: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    version: Mapped[int]
    content: Mapped[str] = mapped_column(Text)
    data: Mapped[bytes] = mapped_column(LargeBinary)


class AuditRow(Base):
    """One change, chained to the one before. `state` is the digest of the record after the change."""

    __tablename__ = "audit"
    __table_args__ = (Index("audit_of_case", "case_name", "seq"),)

    seq: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    at: Mapped[str] = mapped_column(STAMP)
    role: Mapped[str] = mapped_column(String(20))
    action: Mapped[str] = mapped_column(String(20))
    kind: Mapped[str] = mapped_column(String(20))
    case_name: Mapped[str | None] = mapped_column(LABEL)
    number: Mapped[int]
    version: Mapped[int]
    changes: Mapped[str] = mapped_column(Text)
    state: Mapped[str] = mapped_column(HEX)
    previous: Mapped[str] = mapped_column(HEX)
    hash: Mapped[str] = mapped_column(HEX)


class HeadRow(Base):
    """One row: where the audit chain ends. Every writer takes it first, so that writes queue up."""

    __tablename__ = "chain_head"

    id: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    store_id: Mapped[str] = mapped_column(HEX)
    seq: Mapped[int]
    hash: Mapped[str] = mapped_column(HEX)


ContentRow: TypeAlias = VisitRow | TableEntryRow | OperationNoteRow | StageRow | DocumentRow
CONTENT_TABLES: dict[str, type[ContentRow]] = {
    "visit": VisitRow,
    "table entry": TableEntryRow,
    "operation note": OperationNoteRow,
    "stage": StageRow,
    "document": DocumentRow,
}
