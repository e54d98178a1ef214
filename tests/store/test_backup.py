"""A backup while others write; a restore that proves itself first and keeps what it replaces."""

from __future__ import annotations

import os
import threading
import time
from collections.abc import Callable
from importlib import import_module
from pathlib import Path

import pytest

from sinewright.errors import InputError
from sinewright.store.backup import backup, restore
from sinewright.store.dump import check_rows_file
from sinewright.store.errors import StoreBusyError, StoreDamagedError, StoreError
from sinewright.store.place import Place, find_place
from sinewright.store.store import Store

from .conftest import server_place
from .store_people import PLAN, full, small, visit


@pytest.fixture
def name(store: Store) -> str:
    with store.write("surgeon") as unit:
        name = unit.add_case(full())
        unit.keep_plan(name, 1, PLAN)
        unit.add(name, visit("2026-01-01", 1.0))
    return name


def test_restore_brings_back_the_moment_of_the_backup_and_keeps_the_rest(
    store: Store, place: Place, name: str, tmp_path: Path
) -> None:
    case = store.case(name)
    proof = backup(store, tmp_path / "backup", None)
    with store.write("surgeon") as unit:
        unit.edit_case(name, 1, {"note": "later"})
        later = unit.add_case(small())
    store.close()
    done = restore(place, tmp_path / "backup")
    assert done.proof.head == proof.head
    with Store.open(place) as again:
        assert again.case(name) == case
        assert [each.name for each in again.cases()] == [name]
        assert again.verify(noted=proof.head).whole
    assert later in names_in_kept(place, done.kept_as)


def names_in_kept(place: Place, kept: str) -> list[str]:
    """Names in what a restore has kept."""
    if place.kind == "sqlite":
        other = find_place(str(place.path.with_name(kept)))
    else:
        other = Place("postgresql", "kept", url=place.url, schema=kept.removeprefix("schema "))
    with Store.open(other) as opened:
        assert opened.verify().whole
        return [each.name for each in opened.cases()]


@pytest.mark.parametrize("way", ["file to server", "server to file"])
def test_a_backup_goes_into_the_other_kind_of_store(way: str, tmp_path: Path) -> None:
    places = (find_place(str(tmp_path / "store.db")), server_place())
    source, target = places if way == "file to server" else places[::-1]
    with Store.open(source, create=True) as store:
        with store.write("surgeon") as unit:
            name = unit.add_case(full())
            unit.keep_plan(name, 1, PLAN)
        case, plans = store.case(name), store.plans(name)
        proof = backup(store, tmp_path / "backup")
    assert restore(target, tmp_path / "backup").kept_as == ""
    with Store.open(target) as other:
        assert (other.case(name), other.plans(name)) == (case, plans)
        assert other.verify(noted=proof.head).whole


def test_others_write_while_a_backup_is_made(store: Store, place: Place, name: str, tmp_path: Path) -> None:
    stop, written = threading.Event(), []

    def write() -> None:
        with Store.open(place) as other:
            while not stop.is_set():
                with other.write("nurse") as unit:
                    added = unit.add_case(small())
                written.append(added)

    writer = threading.Thread(target=write)
    writer.start()
    try:
        proofs = []
        for number in range(5):
            while len(written) <= number:
                time.sleep(0.01)
            before = list(written)
            proofs.append((before, backup(store, tmp_path / f"backup-{number}")))
    finally:
        stop.set()
        writer.join()
    store.close()
    for number, (before, proof) in enumerate(proofs):
        other = find_place(str(tmp_path / f"restored-{number}.db"))
        restore(other, tmp_path / f"backup-{number}")
        with Store.open(other) as restored:
            assert {name, *before} <= {each.name for each in restored.cases()}
            assert restored.verify(noted=proof.head).whole


def test_a_backup_never_replaces_a_file(store: Store, name: str, tmp_path: Path) -> None:
    target = tmp_path / "backup"
    target.write_text("mine")
    with pytest.raises(InputError, match="nothing is replaced"):
        backup(store, target)
    assert target.read_text() == "mine"
    with pytest.raises(InputError, match="folder"):
        backup(store, tmp_path / "nowhere" / "backup")


def test_a_backup_is_for_its_owner_only_and_stands_alone(store: Store, name: str, tmp_path: Path) -> None:
    (tmp_path / "alone").mkdir()
    backup(store, tmp_path / "alone" / "backup")
    assert os.listdir(tmp_path / "alone") == ["backup"]
    assert (tmp_path / "alone" / "backup").stat().st_mode & 0o077 == 0


SPOILS: dict[str, Callable[[bytes], bytes]] = {
    "cut in half": lambda data: data[: len(data) // 2],
    "without its end": lambda data: data[:-100],
    "empty": lambda data: b"",
    "one value changed": lambda data: data.replace(b"QV-0", b"QV-9"),
    "noise in the middle": lambda data: data[: len(data) // 2] + os.urandom(4096) + data[len(data) // 2 + 4096 :],
    "text": lambda data: b"no store at all\n" * 100,
}


@pytest.mark.parametrize("spoil", SPOILS)
def test_a_spoilt_backup_replaces_nothing(store: Store, place: Place, name: str, tmp_path: Path, spoil: str) -> None:
    backup(store, tmp_path / "backup")
    before = store.verify()
    store.close()
    spoilt = tmp_path / "spoilt"
    spoilt.write_bytes(SPOILS[spoil]((tmp_path / "backup").read_bytes()))
    with pytest.raises(StoreDamagedError) as told:
        restore(place, spoilt)
    assert told.value.store == "spoilt"
    with Store.open(place) as again:
        assert again.verify() == before
    assert not [each for each in os.listdir(tmp_path) if "replaced" in each or each.startswith(".")]


def test_a_missing_backup_is_said(place: Place, tmp_path: Path) -> None:
    with pytest.raises(StoreError, match="no such backup"):
        restore(place, tmp_path / "missing")


def test_rows_of_a_server_prove_themselves(tmp_path: Path) -> None:
    with Store.open(server_place(), create=True) as store:
        with store.write("surgeon") as unit:
            unit.add_case(full())
        backup(store, tmp_path / "backup")
    lines = (tmp_path / "backup").read_bytes().splitlines(keepends=True)
    check_rows_file(tmp_path / "backup")
    for spoilt in (lines[:-1], lines[:5] + lines[6:], [*lines, lines[3]], [*lines[:3], b"{}\n", *lines[3:]]):
        (tmp_path / "spoilt").write_bytes(b"".join(spoilt))
        with pytest.raises(StoreDamagedError):
            check_rows_file(tmp_path / "spoilt")


def test_a_file_that_another_program_has_open_is_not_replaced(
    file_place: Place, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(import_module("sinewright.store.backup"), "WAIT_S", 0.2)
    with Store.open(file_place, create=True) as store:
        with store.write("surgeon") as unit:
            unit.add_case(small())
        backup(store, tmp_path / "backup")
        with Store.open(file_place) as other:
            assert len(other.cases()) == 1
            with pytest.raises(StoreBusyError, match="close the other program"):
                restore(file_place, tmp_path / "backup")
            assert len(other.cases()) == 1
    restore(file_place, tmp_path / "backup")


def test_a_write_that_waits_while_the_store_is_replaced_is_not_lost_in_silence(place: Place, tmp_path: Path) -> None:
    """A program that opened the store before a restore writes into the new one, or is told."""
    with Store.open(place, create=True) as store:
        with store.write("surgeon") as unit:
            unit.add_case(small())
        backup(store, tmp_path / "backup")
    late = Store.open(place)
    late._engine.dispose()  # an open program without an open connection, as after a pause
    restore(place, tmp_path / "backup")
    with late, late.write("surgeon") as unit:
        name = unit.add_case(small())
    with Store.open(place) as now:
        assert name in {each.name for each in now.cases()}
        assert now.verify().whole


def test_a_connection_to_a_replaced_file_is_refused(file_place: Place, tmp_path: Path) -> None:
    store = Store.open(file_place, create=True)
    with store.write("surgeon") as unit:
        unit.add_case(small())
    backup(store, tmp_path / "backup")
    os.replace(tmp_path / "backup", file_place.path)  # behind the back of the open store
    with pytest.raises(StoreError, match="replaced"), store.write("surgeon") as unit:
        unit.add_case(small())
    with store.write("surgeon") as unit:
        unit.add_case(small())
    assert len(store.cases()) == 2
    store.close()


def test_a_damaged_store_is_replaced_and_kept_with_its_log(file_place: Place, tmp_path: Path) -> None:
    with Store.open(file_place, create=True) as store:
        with store.write("surgeon") as unit:
            unit.add_case(small())
        proof = backup(store, tmp_path / "backup")
    file_place.path.write_bytes(b"\x00" * 8192)
    done = restore(file_place, tmp_path / "backup")
    assert file_place.path.with_name(done.kept_as).read_bytes() == b"\x00" * 8192
    with Store.open(file_place) as again:
        assert again.verify(noted=proof.head).whole


def test_an_open_program_on_a_server_goes_on_in_the_restored_store(tmp_path: Path) -> None:
    place = server_place()
    with Store.open(place, create=True) as store:
        backup(store, tmp_path / "backup")
        for _ in range(12):  # often enough that the driver keeps prepared statements
            with store.write("surgeon") as unit:
                unit.add_case(small())
        restore(place, tmp_path / "backup")
        with store.write("surgeon") as unit:
            name = unit.add_case(small())
        assert [each.name for each in store.cases()] == [name]
        assert store.verify().whole
    with Store.open(place) as again:
        assert [each.name for each in again.cases()] == [name]


def test_a_write_on_its_way_while_a_server_is_restored_is_whole_somewhere_or_refused(tmp_path: Path) -> None:
    place = server_place()
    with Store.open(place, create=True) as store:
        backup(store, tmp_path / "backup")
    stop, acknowledged, refused = threading.Event(), [], []

    def write() -> None:
        with Store.open(place) as other:
            while not stop.is_set():
                try:
                    with other.write("nurse") as unit:
                        added = unit.add_case(small())
                    acknowledged.append(added)
                except StoreError as problem:
                    refused.append(str(problem))

    writers = [threading.Thread(target=write) for _ in range(3)]
    for each in writers:
        each.start()
    kept = []
    try:
        for _ in range(4):
            time.sleep(0.2)
            kept.append(restore(place, tmp_path / "backup").kept_as)
        time.sleep(0.2)
    finally:
        stop.set()
        for each in writers:
            each.join()
    with Store.open(place) as store:
        assert store.verify().whole
        found = [each.name for each in store.cases()]
    for schema in kept:
        found += names_in_kept(place, schema)
    assert acknowledged
    assert sorted(found) == sorted(acknowledged)
    assert all("nothing was stored" in each for each in refused)
