"""The database itself refuses to change an audit row or a frozen plan, or to delete a case."""

from __future__ import annotations

from alembic import op

revision = "0002"
down_revision = "0001"

_PLAN_COLUMNS = (
    "case_name", "number", "made_at", "program_version", "seed", "draws", "data_digest", "case_version",
    "inputs", "result", "hash",
)  # fmt: skip
_SAME_PLAN = " AND ".join(f"NEW.{each} = OLD.{each}" for each in _PLAN_COLUMNS)
_PLAN_KEPT = f"{_SAME_PLAN} AND OLD.superseded_by IS NULL"
# Table, kind of change, and the condition under which that change is allowed after all.
_GUARDS = (
    ("audit", "UPDATE", ""),
    ("audit", "DELETE", ""),
    ("plan", "UPDATE", _PLAN_KEPT),
    ("plan", "DELETE", ""),
    ("case_record", "DELETE", ""),
)


def upgrade() -> None:
    """Adds one trigger for each change that is refused."""
    for table, change, allowed in _GUARDS:
        name = f"{table}_no_{change.lower()}"
        message = f"a row of {table} is kept as it is"
        condition = f"NOT ({allowed})" if allowed else ""
        if op.get_bind().dialect.name == "sqlite":
            _sqlite_trigger(name, table, change, condition, message)
        else:
            _postgresql_trigger(name, table, change, condition, message)


def _sqlite_trigger(name: str, table: str, change: str, condition: str, message: str) -> None:
    when = f"WHEN {condition}" if condition else ""
    op.execute(
        f"CREATE TRIGGER {name} BEFORE {change} ON {table} FOR EACH ROW {when} "
        f"BEGIN SELECT RAISE(ABORT, '{message}'); END"
    )


def _postgresql_trigger(name: str, table: str, change: str, condition: str, message: str) -> None:
    when = f"WHEN ({condition})" if condition else ""
    op.execute(
        f"CREATE FUNCTION {name}() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN RAISE EXCEPTION '{message}'; END $$"
    )
    op.execute(f"CREATE TRIGGER {name} BEFORE {change} ON {table} FOR EACH ROW {when} EXECUTE FUNCTION {name}()")
