"""Encryption at rest: unreadable without the passphrase, which appears nowhere."""

from __future__ import annotations

from pathlib import Path

import pytest

from sinewright.errors import InputError
from sinewright.store.backup import backup, encrypt, restore
from sinewright.store.errors import StoreDamagedError, StoreError
from sinewright.store.files import MAGIC
from sinewright.store.place import Place
from sinewright.store.store import Store

from .store_people import full, small

PASSPHRASE = "it's an invented 'passphrase' – with signs"


def test_an_encrypted_store_and_its_backup_cannot_be_read_without_the_passphrase(
    file_place: Place, tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    with Store.open(file_place, PASSPHRASE, create=True) as store:
        with store.write("surgeon") as unit:
            name = unit.add_case(full())
        case = store.case(name)
        proof = backup(store, tmp_path / "backup", PASSPHRASE)
    for path in (file_place.path, tmp_path / "backup"):
        data = path.read_bytes()
        assert not data.startswith(MAGIC)
        assert name.encode() not in data and b"person.mass_kg" not in data
    with pytest.raises(StoreDamagedError, match="passphrase"):
        Store.open(file_place)
    with pytest.raises(StoreDamagedError, match="passphrase"):
        Store.open(file_place, "another one")
    with pytest.raises(StoreDamagedError, match="passphrase"):
        restore(file_place, tmp_path / "backup", "another one")
    restore(file_place, tmp_path / "backup", PASSPHRASE)
    with Store.open(file_place, PASSPHRASE) as again:
        assert again.case(name) == case
        assert again.verify(noted=proof.head, thorough=True).whole
    said = capfd.readouterr()
    assert said.out + said.err == ""


def test_a_plain_store_is_encrypted_whole_and_the_plain_one_kept(file_place: Place) -> None:
    with Store.open(file_place, create=True) as store:
        with store.write("surgeon") as unit:
            name = unit.add_case(full())
        proof = store.verify()
    kept = encrypt(file_place, PASSPHRASE)
    with Store.open(file_place, PASSPHRASE) as store:
        assert store.verify() == proof
        assert store.case(name).case.side == full().side
    assert file_place.path.with_name(kept).read_bytes().startswith(MAGIC)


def test_a_passphrase_for_a_plain_store_is_not_ignored(file_place: Place) -> None:
    Store.open(file_place, create=True).close()
    with pytest.raises(InputError, match="store encrypt") as told:
        Store.open(file_place, PASSPHRASE)
    assert PASSPHRASE not in str(told.value)


def test_without_the_wheel_it_is_said(file_place: Place, monkeypatch: pytest.MonkeyPatch) -> None:
    import sys

    monkeypatch.setitem(sys.modules, "sqlcipher3", None)
    monkeypatch.setitem(sys.modules, "sqlcipher3.dbapi2", None)
    with pytest.raises(StoreError, match=r"sinewright\[encrypted\]"):
        Store.open(file_place, PASSPHRASE, create=True)
    assert not file_place.path.exists()


def test_errors_and_objects_carry_no_passphrase(file_place: Place) -> None:
    with Store.open(file_place, PASSPHRASE, create=True) as store:
        with store.write("surgeon") as unit:
            unit.add_case(small())
        assert PASSPHRASE not in f"{store.place!r}{store._engine!r}{vars(store)}"
