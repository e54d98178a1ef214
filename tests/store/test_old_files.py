"""A store of every released schema opens for ever; a newer one is refused and not touched."""

from __future__ import annotations

import hashlib
import json
import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.config import Config
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import text

from sinewright.store.backup import backup, migrate_store, restore
from sinewright.store.engine import changing, make_engine
from sinewright.store.errors import NewerStoreError, OlderStoreError, StoreDamagedError
from sinewright.store.place import Place, find_place
from sinewright.store.schema import SCHEMA, Base
from sinewright.store.store import Store, fill

from .conftest import server_place
from .keep_release import FOLDER, PASSPHRASE

OLD = sorted(FOLDER.glob("*.db"))
ROWS = sorted(FOLDER.glob("*.rows"))


def passphrase_of(path: Path) -> str | None:
    return PASSPHRASE if "encrypted" in path.name else None


def expected(path: Path) -> dict[str, object]:
    content: dict[str, object] = json.loads(path.with_suffix(".json").read_text("utf-8"))
    return content


def fingerprint(folder: Path) -> dict[str, str]:
    return {each.name: hashlib.sha256(each.read_bytes()).hexdigest() for each in sorted(folder.iterdir())}


def test_every_schema_has_its_files_and_the_newest_is_the_program_s() -> None:
    config = Config()
    config.set_main_option("script_location", "sinewright.store:migrations")
    config.set_main_option("path_separator", "os")
    scripts = ScriptDirectory.from_config(config)
    numbers = sorted(int(each.revision) for each in scripts.walk_revisions())
    assert numbers == list(range(1, SCHEMA + 1))
    assert {each.name for each in OLD} == {
        f"schema-{number}{kind}.db" for number in numbers for kind in ("", "-encrypted")
    }
    assert {each.name for each in ROWS} == {f"schema-{number}.rows" for number in numbers}


def test_the_migrations_build_what_the_models_say(store: Store) -> None:
    with store.snapshot() as connection:
        assert compare_metadata(MigrationContext.configure(connection), Base.metadata) == []


@pytest.mark.parametrize("path", OLD, ids=lambda path: path.stem)
def test_an_old_file_is_migrated_on_request_and_kept(path: Path, tmp_path: Path) -> None:
    here = Path(shutil.copy(path, tmp_path / "store.db"))
    place, passphrase = find_place(str(here)), passphrase_of(path)
    older = f"schema-{SCHEMA}" not in path.name
    if older:
        before = fingerprint(tmp_path)
        with pytest.raises(OlderStoreError, match="store migrate"):
            Store.open(place, passphrase)
        assert fingerprint(tmp_path)["store.db"] == before["store.db"]
    number, kept = migrate_store(place, passphrase)
    assert (number < SCHEMA, bool(kept)) == (older, older)
    with Store.open(place, passphrase) as store:
        noted = expected(path)
        proof = store.verify(noted=str(noted["head"]), thorough=True)
        assert (proof.broken, proof.cases, proof.records) == ("", noted["cases"], noted["records"])
        for line in (*store.cases(), *store.cases(archived=True)):
            assert store.case(line.name).line == line
            assert all(plan.chosen is None or plan.chosen.title for plan in store.plans(line.name))
        assert migrate_store(place, passphrase) == (SCHEMA, "")
    if kept:
        with pytest.raises(OlderStoreError):
            Store.open(find_place(str(tmp_path / kept)), passphrase)


@pytest.mark.parametrize("path", [*OLD, *ROWS], ids=lambda path: path.name)
def test_an_old_backup_is_restored_into_any_store(path: Path, place: Place, tmp_path: Path) -> None:
    passphrase = passphrase_of(path)
    folder = tmp_path / "old"
    folder.mkdir()
    old = Path(shutil.copy(path, folder))
    before = fingerprint(folder)
    restore(place, old, passphrase)
    assert fingerprint(folder) == before
    with Store.open(place, passphrase if place.kind == "sqlite" else None) as store:
        noted = expected(path)
        proof = store.verify(noted=str(noted["head"]))
        assert (proof.broken, proof.noted_seq) == ("", noted["audit_rows"])
        assert store.history()[-1].action == "restore"


@pytest.mark.parametrize("hidden", [False, True], ids=["in the head", "in the log only"])
def test_a_newer_file_is_refused_and_not_touched(file_place: Place, tmp_path: Path, hidden: bool) -> None:
    Store.open(file_place, create=True).close()
    with closing(sqlite3.connect(file_place.path, isolation_level=None)) as raw:
        raw.execute("UPDATE alembic_version SET version_num = '0099'")
        if not hidden:
            raw.execute("PRAGMA user_version = 99")
    before = fingerprint(tmp_path)
    for call in (
        lambda: Store.open(file_place).close(),
        lambda: Store.open(file_place, create=True).close(),
        lambda: migrate_store(file_place),
    ):
        with pytest.raises(NewerStoreError, match="later Sinewright"):
            call()
    assert fingerprint(tmp_path) == before
    with pytest.raises(NewerStoreError):
        restore(find_place(str(tmp_path / "other.db")), file_place.path)
    assert fingerprint(tmp_path) == before


def test_newer_rows_are_refused(file_place: Place, tmp_path: Path) -> None:
    rows = tmp_path / "newer.rows"
    text = ROWS[-1].read_text("ascii")
    rows.write_text(text.replace(f'"schema":{SCHEMA}', '"schema":99', 1), "ascii")
    with pytest.raises(NewerStoreError):
        restore(file_place, rows)
    assert not file_place.path.exists()


def test_a_database_of_another_program_is_not_taken_for_a_store(file_place: Place, tmp_path: Path) -> None:
    with closing(sqlite3.connect(file_place.path)) as raw:
        raw.execute("CREATE TABLE t (x)")
        raw.commit()
    before = fingerprint(tmp_path)
    with pytest.raises(StoreDamagedError, match="another program"):
        Store.open(file_place, create=True)
    assert fingerprint(tmp_path) == before


def test_a_failing_migration_leaves_the_old_store(file_place: Place, monkeypatch: pytest.MonkeyPatch) -> None:
    shutil.copy(FOLDER / "schema-1.db", file_place.path)
    import sinewright.store.backup as module
    from sinewright.store.verify import Verification

    monkeypatch.setattr(module, "verify", lambda connection: Verification("audit row 1", 0, 0, 0, ""))
    with pytest.raises(StoreDamagedError, match="taken back"):
        migrate_store(file_place)
    monkeypatch.undo()
    assert migrate_store(file_place)[0] == 1


def test_an_old_store_on_a_server_is_migrated_on_request() -> None:
    place = server_place()
    engine = make_engine(place)
    with changing(engine, place) as connection:
        connection.execute(text(f"CREATE SCHEMA {place.schema}"))
    fill(place, engine, 1)
    with pytest.raises(OlderStoreError):
        Store.open(place)
    assert migrate_store(place) == (1, "")
    with Store.open(place) as store:
        assert store.verify().whole
        assert [event.action for event in store.history()] == ["migrate"]


def test_a_backup_of_a_migrated_store_restores(file_place: Place, tmp_path: Path) -> None:
    shutil.copy(FOLDER / "schema-1.db", file_place.path)
    migrate_store(file_place)
    with Store.open(file_place) as store:
        proof = backup(store, tmp_path / "b.db")
    assert restore(file_place, tmp_path / "b.db").proof.head == proof.head
