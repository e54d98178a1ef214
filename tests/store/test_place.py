"""Where the store is found, and that pseudonyms and messages say nothing about anybody."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from sinewright.errors import InputError
from sinewright.store.engine import translated
from sinewright.store.names import FIRST, SECOND, is_name, new_name
from sinewright.store.place import Place, data_folder, find_place
from sinewright.store.store import Store

from .store_people import SMALL


@pytest.mark.parametrize(
    ("system", "environ", "folder"),
    [
        ("linux", {"HOME": "/h", "XDG_DATA_HOME": "/x"}, "/x/sinewright"),
        ("linux", {"HOME": "/h"}, "/h/.local/share/sinewright"),
        ("linux", {"HOME": "/h", "XDG_DATA_HOME": "relative"}, "/h/.local/share/sinewright"),
        ("darwin", {"HOME": "/h"}, "/h/Library/Application Support/Sinewright"),
        ("win32", {"USERPROFILE": "/u", "LOCALAPPDATA": "/l"}, "/l/Sinewright"),
        ("win32", {"USERPROFILE": "/u"}, "/u/AppData/Local/Sinewright"),
    ],
)
def test_the_data_folder_follows_the_platform(system: str, environ: dict[str, str], folder: str) -> None:
    assert data_folder(environ, system) == Path(folder)


def test_the_option_wins_over_the_environment_and_that_over_the_folder(tmp_path: Path) -> None:
    environ = {"HOME": str(tmp_path), "SINEWRIGHT_STORE": str(tmp_path / "b.db")}
    assert find_place("a.db", environ).path == Path("a.db").absolute()
    assert find_place(None, environ).path == tmp_path / "b.db"
    assert find_place(None, {"HOME": str(tmp_path)}).path.parent.name == "sinewright"


def test_a_server_address_is_shown_without_user_and_password() -> None:
    place = find_place("postgresql://u:pw@127.0.0.1:5432/cases?schema=foot&sslmode=require")
    assert (place.kind, place.schema) == ("postgresql", "foot")
    assert place.shown == "postgresql 127.0.0.1:5432/cases, schema foot"
    assert "sslmode=require" in place.url and "schema" not in place.url
    assert "pw" not in repr(place)


@pytest.mark.parametrize(
    "given", ["mysql://x/y", "sqlite:///x.db", "postgresql://h/d?schema=Foot; DROP", "postgresql://h:no/d"]
)
def test_another_address_is_refused(given: str) -> None:
    with pytest.raises(InputError) as told:
        find_place(given)
    assert "--store" in told.value.field


def test_a_new_store_is_for_its_owner_only(tmp_path: Path) -> None:
    place = find_place(str(tmp_path / "new folder" / "s.db"))
    with Store.open(place, create=True) as store, store.write("surgeon") as unit:
        unit.add_case(SMALL)
        modes = {each.name: each.stat().st_mode & 0o777 for each in place.path.parent.iterdir()}
    assert place.path.parent.stat().st_mode & 0o777 == 0o700
    assert set(modes.values()) == {0o600}


def test_reading_makes_no_store(file_place: Place) -> None:
    with pytest.raises(Exception, match="there is no store yet"):
        Store.open(file_place)
    assert os.listdir(file_place.path.parent) == []


def test_pseudonyms_are_random_plain_and_known_again() -> None:
    names = {new_name(lambda _: False) for _ in range(500)}
    assert len(names) > 490
    assert all(is_name(each) and len(each) <= 40 for each in names)
    assert not any(is_name(each) for each in ("AB-1", "quiet-heron", "Quiet-Heron-4821", "x-heron-4821", ""))
    assert len(FIRST) * len(SECOND) * 9000 > 10**8
    assert all(each.isascii() and each.isalpha() and each.islower() for each in (*FIRST, *SECOND))


def test_a_taken_pseudonym_is_drawn_again() -> None:
    asked: list[str] = []

    def taken(name: str) -> bool:
        asked.append(name)
        return len(asked) < 4

    assert new_name(taken) == asked[3]


@pytest.mark.parametrize("said", ["UNIQUE constraint failed: x.y (Jane)", "something odd about Jane", "server: Jane"])
def test_the_words_of_the_database_are_never_repeated(said: str) -> None:
    assert "Jane" not in str(translated("s.db", said)) and "Jane" not in str(translated("s.db", said, True))


@pytest.mark.parametrize("setting", ["foreign_keys=1", "synchronous=2", "journal_mode=wal"])
def test_every_connection_is_safe(file_place: Place, setting: str) -> None:
    with Store.open(file_place, create=True) as store, store.snapshot() as connection:
        name, value = setting.split("=")
        assert str(connection.exec_driver_sql(f"PRAGMA {name}").scalar()) == value


def test_an_acknowledged_write_on_a_server_is_on_its_disk(place: Place, store: Store) -> None:
    if place.kind == "sqlite":
        return
    with store.snapshot() as connection:
        assert connection.exec_driver_sql("SHOW synchronous_commit").scalar() == "on"
