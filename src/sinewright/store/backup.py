"""Backup while the store is in use, and restore that proves itself before it replaces anything."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, text

from sinewright.errors import InputError
from sinewright.files import SIDECARS, beside, publish, refuse_existing, sync
from sinewright.store.dump import Rows, check_rows_file, is_rows_file, load_rows, rows_in, rows_of, write_rows
from sinewright.store.engine import changing, make_engine, open_file, reading, spoken, translated
from sinewright.store.errors import StoreBusyError, StoreDamagedError, StoreError
from sinewright.store.files import refuse_bad_head
from sinewright.store.migrating import migrate, refuse_other_schema, schema_of
from sinewright.store.place import Place
from sinewright.store.schema import SCHEMA
from sinewright.store.store import Store, fill
from sinewright.store.unit import Unit
from sinewright.store.verify import Verification, verify

WAIT_S = 5.0


def replace_file(temporary: Path, place: Place, passphrase: str | None, moment: str, only_at: str | None = None) -> str:
    """Moves `temporary` over the store's file and returns the name under which the old one is kept ("" if none).

    The old file is locked against everyone while it is exchanged; a damaged one, which cannot be locked, is
    kept together with its log. `only_at` replaces only if the chain still ends with that hash.
    Raises StoreBusyError when another program has it open or wrote to it.
    """
    sync(temporary)
    if not place.path.exists():
        os.replace(temporary, place.path)
        sync(place.path.parent)
        return ""
    kept = place.path.with_name(f"{place.path.name}.replaced-{moment}")
    held = _held_alone(place, passphrase)
    try:
        if only_at is not None:
            _refuse_moved_on(held, place, only_at)
        if held is None:
            _keep_damaged(place.path, kept)
        else:
            _keep(place.path, kept)
        os.replace(temporary, place.path)
        sync(place.path.parent)
    finally:
        if held is not None:
            held.close()
    return kept.name


def _held_alone(place: Place, passphrase: str | None) -> Any:
    """A connection that keeps everybody else out of the file, with its log folded in; None if it is damaged."""
    raw = None
    try:
        raw = open_file(place.path, passphrase, WAIT_S, log=False)
        raw.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()
        if raw.execute("PRAGMA journal_mode = DELETE").fetchone()[0] != "delete":
            raise StoreBusyError(place.shown, _OPEN, _CLOSE)
        raw.execute("BEGIN EXCLUSIVE")
    except Exception as problem:
        if raw is not None:
            raw.close()
        if isinstance(problem, StoreBusyError):
            raise
        told = translated(place.shown, str(problem))
        if isinstance(told, StoreBusyError):
            raise StoreBusyError(place.shown, _OPEN, _CLOSE) from None
        if isinstance(told, StoreDamagedError):
            return None
        raise told from None
    return raw


def _refuse_moved_on(held: Any, place: Place, head: str) -> None:
    if held is None or held.execute("SELECT hash FROM chain_head").fetchone()[0] != head:
        raise StoreBusyError(place.shown, "somebody wrote to the store meanwhile", "nothing was replaced; do it again")


_OPEN = "another program has the store open"
_CLOSE = "nothing was replaced; close the other program and restore again"


def _keep(path: Path, kept: Path) -> None:
    try:
        os.link(path, kept)
    except OSError:  # a file system without links
        os.rename(path, kept)


def _keep_damaged(path: Path, kept: Path) -> None:
    for tail in ("", *SIDECARS):
        with suppress(FileNotFoundError):
            os.rename(path.with_name(path.name + tail), kept.with_name(kept.name + tail))


@dataclass(frozen=True)
class Restored:
    """What a restore did: what the backup holds, and where the store before it was kept ("" if none)."""

    proof: Verification
    kept_as: str


def backup(store: Store, target: Path, passphrase: str | None = None) -> Verification:
    """Writes a copy of one moment to the new file `target`, proves it, and returns the proof.

    A file store gives a SQLite file, encrypted with the same passphrase when the store is; a store on a server
    gives a file of JSON lines. Others may go on writing. Raises InputError when `target` exists.
    """
    refuse_existing(target, "backup")
    with spoken(Place("sqlite", target.name, path=target)), beside(target) as temporary:
        if store.place.kind == "sqlite":
            copy_file(store.place.path, temporary, passphrase)
            proof = prove(temporary, passphrase, target.name)
        else:
            with temporary.open("w", encoding="ascii", newline="\n") as stream, store.snapshot() as connection:
                write_rows(stream, connection)
            proof = _prove_rows(temporary, target)
        if not proof.whole:
            raise StoreDamagedError(store.place.shown, proof.broken, "no backup was written; restore an earlier one")
        publish(temporary, target)
    return proof


def copy_file(source: Path, target: Path, passphrase: str | None) -> None:
    """Copies one moment of a SQLite store into an empty file, as a single file without a log beside it."""
    with (
        closing(open_file(source, passphrase, mode="rw")) as read,
        closing(open_file(target, passphrase, mode="rw")) as written,
    ):
        read.backup(written)
        written.execute("PRAGMA journal_mode = DELETE").fetchone()


def prove(path: Path, passphrase: str | None, shown: str) -> Verification:
    """Integrity, chain and counts of a SQLite store of this schema that nobody uses."""
    place = Place("sqlite", shown, path=path)
    engine = make_engine(place, passphrase)
    try:
        with reading(engine, place) as connection:
            refuse_other_schema(schema_of(connection), shown)
            return verify(connection, thorough=True)
    finally:
        engine.dispose()
        _single(path, passphrase)


def _single(path: Path, passphrase: str | None) -> None:
    """Leaves no log beside a file that nobody uses."""
    with closing(open_file(path, passphrase, mode="rw")) as raw:
        raw.execute("PRAGMA journal_mode = DELETE").fetchone()


def _prove_rows(path: Path, near: Path) -> Verification:
    """Proves a file of rows by loading it into a throw-away store."""
    with beside(near) as temporary:
        place = _loaded_file(path, temporary, None)
        return prove(place.path, None, near.name)


def _loaded_file(rows: Path, temporary: Path, passphrase: str | None) -> Place:
    schema = check_rows_file(rows)
    place = Place("sqlite", rows.name, path=temporary)
    _fill_from(rows_in(rows), place, passphrase, schema)
    return place


def _fill_from(rows: Rows, place: Place, passphrase: str | None, schema: int) -> None:
    """Builds a file store of `schema` from `rows` in an empty file, then brings it to the present schema."""
    fill(place, make_engine(place, passphrase), schema, with_chain=False)
    engine = make_engine(place, passphrase)
    try:
        with changing(engine, place) as connection:
            load_rows(connection, rows)
            migrate(connection)
    finally:
        engine.dispose()


def restore(place: Place, source: Path, passphrase: str | None = None) -> Restored:
    """Replaces the store at `place` by the backup `source`, once the backup is proved; keeps the old store.

    Any backup goes into any store. Raises StoreError kinds, with everything as it was before.
    """
    with spoken(Place("sqlite", source.name, path=source)):
        if not source.is_file():
            raise StoreError(source.name, "there is no such backup file", "check the spelling of the path")
    if place.kind == "sqlite":
        place.path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        with spoken(place), beside(place.path) as temporary:
            proof = _incoming(source, temporary, passphrase)
            _note_restore(Place("sqlite", place.shown, path=temporary), passphrase, proof)
            _single(temporary, passphrase)
            kept = replace_file(temporary, place, passphrase, _moment())
        return Restored(proof, kept)
    return _restore_server(place, source, passphrase)


def _incoming(source: Path, temporary: Path, passphrase: str | None) -> Verification:
    """The backup as a store of this schema in `temporary`, proved. Reads `source` only."""
    if is_rows_file(source):
        _loaded_file(source, temporary, passphrase)
    else:
        refuse_bad_head(source, encrypted=passphrase is not None)
        logged = any(source.with_name(source.name + tail).exists() for tail in ("-wal", "-journal"))
        with (
            closing(open_file(source, passphrase, mode="ro", immutable=not logged)) as read,
            closing(open_file(temporary, passphrase, mode="rw")) as written,
        ):
            read.backup(written)
        _migrated(temporary, source.name, passphrase)
    proof = prove(temporary, passphrase, source.name)
    if not proof.whole:
        raise StoreDamagedError(source.name, proof.broken, "nothing was replaced; take an earlier backup")
    return proof


def _migrated(path: Path, shown: str, passphrase: str | None) -> None:
    place = Place("sqlite", shown, path=path)
    engine = make_engine(place, passphrase)
    try:
        with changing(engine, place) as connection:
            number = schema_of(connection)
            if 0 < number < SCHEMA:
                migrate(connection)
            else:
                refuse_other_schema(number, shown)
    finally:
        engine.dispose()


def _note_restore(place: Place, passphrase: str | None, proof: Verification) -> None:
    engine = make_engine(place, passphrase)
    try:
        with changing(engine, place) as connection:
            unit = Unit(connection, place.shown, "program")
            unit.note("restore", {"audit_rows": proof.audit_rows, "cases": proof.cases, "head": proof.head})
            unit.finish()
    finally:
        engine.dispose()


def _moment() -> str:
    return datetime.now(UTC).strftime("%Y%m%dt%H%M%S%fz")


def _restore_server(place: Place, source: Path, passphrase: str | None) -> Restored:
    """Loads the backup into a schema of its own, proves it there, then exchanges the names in one step."""
    moment = _moment()
    incoming = Place("postgresql", place.shown, url=place.url, schema=f"incoming_{moment}")
    engine = make_engine(incoming)
    kept = f"replaced_{moment}"
    try:
        with _rows_from(source, passphrase) as rows, changing(engine, incoming) as connection:
            connection.execute(text(f"CREATE SCHEMA {incoming.schema}"))
            migrate(connection)
            load_rows(connection, rows)
            proof = verify(connection)
            if not proof.whole:
                raise StoreDamagedError(source.name, proof.broken, "nothing was replaced; take an earlier backup")
            unit = Unit(connection, place.shown, "program")
            unit.note("restore", {"audit_rows": proof.audit_rows, "cases": proof.cases, "head": proof.head})
            unit.finish()
            had = _exchange(connection, place.schema, incoming.schema, kept)
    finally:
        engine.dispose()
    return Restored(proof, f"schema {kept}" if had else "")


def _exchange(connection: Connection, schema: str, incoming: str, kept: str) -> bool:
    """Renames schemas; waits for writers by taking the end of the old chain first."""
    found = text("SELECT 1 FROM information_schema.schemata WHERE schema_name = :name")
    had = connection.execute(found, {"name": schema}).first() is not None
    if had:
        table = connection.execute(text("SELECT to_regclass(:name)"), {"name": f"{schema}.chain_head"}).scalar()
        if table is not None:
            connection.execute(text(f"LOCK TABLE {schema}.chain_head IN ACCESS EXCLUSIVE MODE"))
        connection.execute(text(f"ALTER SCHEMA {schema} RENAME TO {kept}"))
    connection.execute(text(f"ALTER SCHEMA {incoming} RENAME TO {schema}"))
    return had


@contextmanager
def _rows_from(source: Path, passphrase: str | None) -> Iterator[Any]:
    """The rows of any backup, through a proved throw-away file store."""
    import tempfile

    with tempfile.TemporaryDirectory() as folder:
        temporary = Path(folder) / "incoming.db"
        temporary.touch(mode=0o600)
        _incoming(source, temporary, passphrase)
        place = Place("sqlite", source.name, path=temporary)
        engine = make_engine(place, passphrase)
        try:
            with reading(engine, place) as connection:
                yield rows_of(connection)
        finally:
            engine.dispose()


def encrypt(place: Place, passphrase: str) -> str:
    """Replaces a plain file store by an encrypted one once it is proved; returns how the plain one is kept.

    Makes a new encrypted store ("" kept) when there is none. Raises InputError for a store on a server.
    """
    if place.kind != "sqlite":
        advice = "let the server encrypt its disk"
        raise InputError("--store", place.shown, "a file: a server's store is not encrypted here", advice)
    if not place.path.exists():
        Store.open(place, passphrase, create=True).close()
        return ""
    with spoken(place):
        refuse_bad_head(place.path, encrypted=False)
        with beside(place.path) as temporary:
            with Store.open(place) as store, store.snapshot() as connection:
                _fill_from(rows_of(connection), Place("sqlite", place.shown, path=temporary), passphrase, SCHEMA)
            proof = prove(temporary, passphrase, place.shown)
            if not proof.whole:
                raise StoreDamagedError(place.shown, proof.broken, "nothing was replaced; restore a backup first")
            return replace_file(temporary, place, None, _moment(), only_at=proof.head)


def migrate_store(place: Place, passphrase: str | None = None) -> tuple[int, str]:
    """Brings a store to the present schema; a file is copied first. Returns (schema before, kept copy).

    A store that is up to date is left alone (kept copy "").
    """
    kept = ""
    if place.kind == "sqlite":
        with spoken(place):
            if not place.path.is_file():
                raise StoreError(place.shown, "there is no store yet", "sinewright case import makes one")
            refuse_bad_head(place.path, encrypted=passphrase is not None)
    engine = make_engine(place, passphrase)
    try:
        with reading(engine, place) as connection:
            before = schema_of(connection)
        if before == SCHEMA:
            return before, ""
        if not 0 < before < SCHEMA:
            refuse_other_schema(before, place.shown)
        if place.kind == "sqlite":
            kept = _copy_before(place, passphrase, before)
        _migrate_whole(engine, place, before)
    finally:
        engine.dispose()
    return before, kept


def _migrate_whole(engine: Engine, place: Place, before: int) -> None:
    with changing(engine, place) as connection:
        if schema_of(connection) == before:
            migrate(connection)
            unit = Unit(connection, place.shown, "program")
            unit.note("migrate", {"from": before, "to": SCHEMA})
            unit.finish()
        proof = verify(connection)
        if not proof.whole:
            advice = "the migration was taken back; restore the last backup"
            raise StoreDamagedError(place.shown, proof.broken, advice)


def _copy_before(place: Place, passphrase: str | None, before: int) -> str:
    kept = place.path.with_name(f"{place.path.name}.schema-{before}-{_moment()}")
    with spoken(place), beside(kept) as temporary:
        copy_file(place.path, temporary, passphrase)
        publish(temporary, kept)
    return kept.name
