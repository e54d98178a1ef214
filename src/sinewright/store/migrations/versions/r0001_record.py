"""The record: cases, examinations, plans, table entries, notes, stages, visits, documents, audit."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision: str | None = None

_LABEL, _STAMP, _HEX = sa.String(40), sa.String(32), sa.String(64)
_CASE = "case_record.name"
_CONTENT_TABLES = ("visit", "table_entry", "operation_note", "protection_stage", "document")


def upgrade() -> None:
    """Builds every table of the first release."""
    _case_tables()
    _plan_table()
    for name in _CONTENT_TABLES:
        _content_table(name)
    _audit_tables()
    if op.get_bind().dialect.name == "sqlite":
        op.execute("PRAGMA application_id = 1398230577")


def _case_tables() -> None:
    op.create_table(
        "case_record",
        sa.Column("name", _LABEL, primary_key=True),
        sa.Column("version", sa.Integer, nullable=False),
        sa.Column("archived", sa.Boolean, nullable=False),
        sa.Column("label", _LABEL, nullable=False),
        sa.Column("made_at", _STAMP, nullable=False),
        sa.Column("changed_at", _STAMP, nullable=False),
    )
    op.create_table(
        "examination",
        sa.Column("case_name", _LABEL, sa.ForeignKey(_CASE), primary_key=True),
        sa.Column("schema_version", sa.Integer, nullable=False),
        sa.Column("side", sa.String(5), nullable=False),
        sa.Column("invented", sa.Boolean, nullable=False),
        sa.Column("examined_on", sa.Date),
    )
    op.create_table(
        "finding",
        sa.Column("case_name", _LABEL, sa.ForeignKey("examination.case_name"), primary_key=True),
        sa.Column("path", sa.String(120), primary_key=True),
        sa.Column("value", sa.Text, nullable=False),
        sa.Column("known", sa.String(10)),
        sa.Column("found_on", sa.Date),
        sa.Column("found_by", sa.String(120)),
        sqlite_with_rowid=False,
    )


def _plan_table() -> None:
    op.create_table(
        "plan",
        sa.Column("case_name", _LABEL, sa.ForeignKey(_CASE), primary_key=True),
        sa.Column("number", sa.Integer, primary_key=True, autoincrement=False),
        sa.Column("made_at", _STAMP, nullable=False),
        sa.Column("program_version", sa.String(40), nullable=False),
        sa.Column("seed", sa.BigInteger, nullable=False),
        sa.Column("draws", sa.Integer, nullable=False),
        sa.Column("data_digest", _HEX, nullable=False),
        sa.Column("case_version", sa.Integer, nullable=False),
        sa.Column("inputs", sa.Text, nullable=False),
        sa.Column("result", sa.Text, nullable=False),
        sa.Column("hash", _HEX, nullable=False),
        sa.Column("superseded_by", sa.Integer),
    )


def _content_table(name: str) -> None:
    data = [sa.Column("data", sa.LargeBinary, nullable=False)] if name == "document" else []
    op.create_table(
        name,
        sa.Column("case_name", _LABEL, sa.ForeignKey(_CASE), primary_key=True),
        sa.Column("number", sa.Integer, primary_key=True, autoincrement=False),
        sa.Column("version", sa.Integer, nullable=False),
        sa.Column("content", sa.Text, nullable=False),
        *data,
    )


def _audit_tables() -> None:
    op.create_table(
        "audit",
        sa.Column("seq", sa.Integer, primary_key=True, autoincrement=False),
        sa.Column("at", _STAMP, nullable=False),
        sa.Column("role", sa.String(20), nullable=False),
        sa.Column("action", sa.String(20), nullable=False),
        sa.Column("kind", sa.String(20), nullable=False),
        sa.Column("case_name", _LABEL),
        sa.Column("number", sa.Integer, nullable=False),
        sa.Column("version", sa.Integer, nullable=False),
        sa.Column("changes", sa.Text, nullable=False),
        sa.Column("state", _HEX, nullable=False),
        sa.Column("previous", _HEX, nullable=False),
        sa.Column("hash", _HEX, nullable=False),
    )
    op.create_index("audit_of_case", "audit", ["case_name", "seq"])
    op.create_table(
        "chain_head",
        sa.Column("id", sa.Integer, primary_key=True, autoincrement=False),
        sa.Column("store_id", _HEX, nullable=False),
        sa.Column("seq", sa.Integer, nullable=False),
        sa.Column("hash", _HEX, nullable=False),
    )
