"""Brings a store to the schema of this program by numbered steps from inside the package. No file, no network."""

from __future__ import annotations

import secrets

from sqlalchemy import Connection, insert, inspect, select, text

from sinewright.store.chain import start_of_chain
from sinewright.store.errors import NewerStoreError, OlderStoreError, StoreDamagedError
from sinewright.store.schema import SCHEMA, HeadRow

_SCRIPTS = "sinewright.store:migrations"


def schema_of(connection: Connection) -> int:
    """Number of the newest migration that this store has seen; 0 for a store without tables."""
    if not inspect(connection).has_table("alembic_version"):
        return 0
    found = connection.execute(text("SELECT version_num FROM alembic_version")).scalar()
    return int(found or 0)


def refuse_other_schema(number: int, shown: str) -> None:
    """Raises unless `number` is the schema of this program."""
    if number > SCHEMA:
        problem = f"written by a later Sinewright (schema {number}, this program knows up to {SCHEMA})"
        raise NewerStoreError(shown, problem, "nothing was touched; install the later version")
    if number == 0:
        raise StoreDamagedError(shown, "this is not a store", "name a store, or restore a backup")
    if number < SCHEMA:
        problem = f"it has schema {number}, this program works with {SCHEMA}"
        raise OlderStoreError(shown, problem, "run sinewright store migrate; it keeps a copy first")


def migrate(connection: Connection, to: int = SCHEMA) -> int:
    """Applies the missing steps up to number `to` inside the open transaction; returns the number before."""
    from alembic import command
    from alembic.config import Config

    before = schema_of(connection)
    config = Config()
    config.set_main_option("script_location", _SCRIPTS)
    config.set_main_option("path_separator", "os")
    config.attributes["connection"] = connection
    command.upgrade(config, f"{to:04d}")
    if connection.dialect.name == "sqlite":
        connection.exec_driver_sql(f"PRAGMA user_version = {to}")
    return before


def begin_chain(connection: Connection) -> None:
    """Gives a new store its random name and the start of its audit chain."""
    if connection.execute(select(HeadRow.id)).first() is None:
        store_id = secrets.token_hex(16)
        start = start_of_chain(store_id)
        connection.execute(insert(HeadRow).values(id=1, store_id=store_id, seq=0, hash=start))
