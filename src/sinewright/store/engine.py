"""Connections. SQLite: one file, write-ahead log, every commit forced to the disk. PostgreSQL: one schema."""

from __future__ import annotations

import os
import sqlite3
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from urllib.parse import quote

from sqlalchemy import Connection, Engine, create_engine, event, make_url, text
from sqlalchemy.exc import ArgumentError, DBAPIError, SQLAlchemyError
from sqlalchemy.pool import QueuePool

from sinewright.store.errors import StoreBusyError, StoreDamagedError, StoreError
from sinewright.store.place import Place

BUSY_S = 30.0
WRITES = "sinewright_writes"
_EXTRA = "install the {extra} part: pip install 'sinewright[{extra}]'"


def make_engine(place: Place, passphrase: str | None = None, busy_s: float = BUSY_S) -> Engine:
    """The engine of a store that exists. `busy_s` [s] is how long a writer waits for another."""
    if place.kind == "postgresql":
        return _postgresql(place, busy_s)

    opened = threading.local()

    def connect() -> Any:
        raw, opened.file = _same_file(place.path, lambda: open_file(place.path, passphrase, busy_s))
        return raw

    engine = create_engine(
        "sqlite+pysqlite:///store",
        module=driver(passphrase),
        creator=connect,
        poolclass=QueuePool,
        hide_parameters=True,
    )
    event.listen(engine, "begin", _begin_sqlite)
    event.listen(engine, "connect", lambda _, record: record.info.update(file=opened.file))
    engine.update_execution_options(sinewright_file=place.path)
    return engine


def driver(passphrase: str | None) -> Any:
    """The SQLite module: Python's own, or the encrypting one when there is a passphrase."""
    if passphrase is None:
        return sqlite3
    try:
        import sqlcipher3.dbapi2 as module
    except ImportError:
        raise StoreError("store", "encryption is not installed", _EXTRA.format(extra="encrypted")) from None
    return module


def open_file(
    path: Path,
    passphrase: str | None,
    busy_s: float = BUSY_S,
    mode: str = "rw",
    immutable: bool = False,
    log: bool = True,
) -> Any:
    """A plain connection to a SQLite file with our settings; `mode` is ro or rw, `log` keeps a write-ahead log."""
    module = driver(passphrase)
    address = f"file:{quote(str(path))}?mode={mode}{'&immutable=1' if immutable else ''}"
    raw = module.connect(address, uri=True, timeout=busy_s, isolation_level=None, check_same_thread=False)
    try:
        if passphrase is not None:
            raw.execute("PRAGMA cipher_log_level = NONE")
            raw.execute(f"PRAGMA key = '{passphrase.replace(chr(39), chr(39) * 2)}'")
        for setting in ("foreign_keys = ON", "synchronous = FULL", "fullfsync = ON", "cell_size_check = ON"):
            raw.execute(f"PRAGMA {setting}")
        if log and mode != "ro":
            _write_ahead(raw, busy_s)
    except BaseException:
        raw.close()
        raise
    return raw


def _write_ahead(raw: Any, busy_s: float) -> None:
    """Switches the file to the write-ahead log; the switch itself does not wait for others, so we do."""
    until = time.monotonic() + busy_s
    while raw.execute("PRAGMA journal_mode").fetchone()[0] != "wal":
        try:
            raw.execute("PRAGMA journal_mode = WAL").fetchone()
        except Exception as problem:
            if "locked" not in str(problem) or time.monotonic() > until:
                raise
            time.sleep(0.02)


def _identity(path: Path) -> tuple[int, int]:
    found = os.stat(path)
    return (found.st_dev, found.st_ino)


def _same_file(path: Path, connect: Callable[[], Any]) -> tuple[Any, tuple[int, int]]:
    """A connection and the identity of the file it surely belongs to, even while a restore replaces that file."""
    while True:
        before = _identity(path)
        raw = connect()
        if _identity(path) == before:
            return raw, before
        raw.close()


def _begin_sqlite(connection: Connection) -> None:
    """Writers take the write lock at once; a connection to a file that was replaced is thrown away."""
    writes = connection.get_execution_options().get(WRITES)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")
    path = connection.get_execution_options().get("sinewright_file")
    if isinstance(path, Path) and _identity(path) != connection.info.get("file"):
        connection.exec_driver_sql("ROLLBACK")
        connection.invalidate()
        problem = "the store was replaced by a restore at this moment"
        raise StoreError(path.name, problem, "nothing was stored; do it again on the restored store")


def _postgresql(place: Place, busy_s: float) -> Engine:
    try:
        import psycopg  # noqa: F401
    except ImportError:
        raise StoreError(
            place.shown, "the PostgreSQL driver is not installed", _EXTRA.format(extra="department")
        ) from None
    # An acknowledged write is on the disk, whatever the server's own default is.
    options = f"-csearch_path={place.schema} -csynchronous_commit=on -clock_timeout={int(busy_s * 1000)}"
    try:
        url = make_url(place.url)
    except ArgumentError:
        raise StoreError("store", "the address cannot be read", "write postgresql://user@host/database") from None
    return create_engine(
        url,
        connect_args={"options": options, "connect_timeout": 10},
        pool_pre_ping=True,
        hide_parameters=True,
    )


@contextmanager
def reading(engine: Engine, place: Place) -> Iterator[Connection]:
    """A connection that sees one moment of the store."""
    with spoken(place), engine.connect() as connection:
        if engine.dialect.name == "postgresql":
            connection = connection.execution_options(isolation_level="REPEATABLE READ")
        with connection.begin():
            yield connection


@contextmanager
def changing(engine: Engine, place: Place) -> Iterator[Connection]:
    """A connection in one transaction that is kept whole or not at all."""
    with spoken(place), engine.connect() as connection:
        writer = connection.execution_options(**{WRITES: True})
        with writer.begin():
            yield writer


@contextmanager
def spoken(place: Place) -> Iterator[None]:
    """Database errors inside become sentences without statements, values, users or passwords."""
    try:
        yield
    except DBAPIError as problem:
        raise translated(place.shown, str(problem.orig), problem.connection_invalidated) from None
    except SQLAlchemyError as problem:
        raise StoreError(place.shown, f"unexpected answer ({type(problem).__name__})", "run store verify") from None
    except OSError as problem:
        raise StoreError(
            place.shown, f"it cannot be reached ({problem.strerror})", "check the disk and its permissions"
        ) from None
    except Exception as problem:
        if type(problem).__module__.startswith(("sqlite3", "sqlcipher3")):
            raise translated(place.shown, str(problem), False) from None
        raise


_SENTENCES: tuple[tuple[tuple[str, ...], type[StoreError], str, str], ...] = (
    (
        ("database is locked", "lock timeout", "table is locked"),
        StoreBusyError,
        "another program holds the store and did not let go in time",
        "nothing was stored; close the other program or try again in a moment",
    ),
    (
        ("disk is full", "No space left", "could not extend file", "disk I/O error"),
        StoreError,
        "the disk is full or failing",
        "nothing of this change was stored, all earlier ones are kept; make room or check the disk",
    ),
    (
        ("readonly database", "read-only"),
        StoreError,
        "the store may only be read",
        "nothing was stored; allow writing to the file and its folder, or name another store",
    ),
    (
        ("malformed", "not a database", "file is encrypted", "corrupt"),
        StoreDamagedError,
        "the file is damaged, cut short, or not readable with this passphrase",
        "check the passphrase if it has one; else keep the file as it is and restore the last backup",
    ),
    (
        ("unable to open", "Permission denied"),
        StoreError,
        "the file cannot be opened",
        "check that file and folder exist and may be read and written",
    ),
    (
        ("is kept as it is",),
        StoreError,
        "a row that is frozen was to be changed",
        "nothing was stored; frozen plans and audit rows stay",
    ),
    (
        ("no such table", "does not exist"),
        StoreError,
        "a part of the store is missing",
        "check the name of database and schema; sinewright store migrate makes a new store",
    ),
    (
        ("password", "authentication", "role "),
        StoreError,
        "the server refused the user",
        "check the user and the password file",
    ),
)


def translated(shown: str, said: str, lost: bool = False) -> StoreError:
    """The error for what a database said; the database's own words are never repeated."""
    for words, kind, problem, advice in _SENTENCES:
        if any(word in said for word in words):
            return kind(shown, problem, advice)
    if lost or "connect" in said:
        problem = "the connection to the server failed"
        return StoreError(shown, problem, "look whether the last change is there before you repeat it")
    return StoreError(shown, "the database refused the change", "nothing was stored; run sinewright store verify")


def scalar(connection: Connection, statement: str) -> Any:
    """The single value that a fixed statement returns."""
    return connection.execute(text(statement)).scalar()
