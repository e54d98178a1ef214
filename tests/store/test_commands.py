"""The record on the command line."""

from __future__ import annotations

import io
import os
import subprocess
import sys
from collections.abc import Callable
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path

import pytest

from sinewright.case import changed, read_case
from sinewright.cli.app import main
from sinewright.results import Weighing
from sinewright.store.identity import read_key
from sinewright.store.place import find_place
from sinewright.store.store import Store

from .store_people import EXAMPLES, full


@dataclass(frozen=True)
class Told:
    """What a command left: exit code, output and messages."""

    code: int
    out: str
    err: str


Run = Callable[..., Told]


@pytest.fixture
def run(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path) -> Run:
    """`run("case", "list")` as typed after `sinewright`, with a store of its own and nobody at the keyboard."""
    (tmp_path / "store").mkdir()
    monkeypatch.setenv("SINEWRIGHT_STORE", str(tmp_path / "store" / "s.db"))
    monkeypatch.delenv("SINEWRIGHT_PASSPHRASE", raising=False)

    def call(*arguments: object, typed: str = "") -> Told:
        monkeypatch.setattr(sys, "argv", ["sinewright", *map(str, arguments)])
        monkeypatch.setattr(sys, "stdin", io.StringIO(typed))
        with pytest.raises(SystemExit) as left:
            main()
        told = capsys.readouterr()
        return Told(int(left.value.code or 0), told.out, told.err)

    return call


@pytest.fixture
def name(run: Run) -> str:
    """The pseudonym of a stored case."""
    return run("case", "import", EXAMPLES[0]).out.split()[0]


def test_import_list_show_export_and_import_again(run: Run, name: str, tmp_path: Path) -> None:
    assert name in run("case", "list").out
    shown = run("case", "show", name, "--history").out
    assert full().side in shown and full().pseudonym in shown and "add examination" in shown
    file = tmp_path / "out.toml"
    assert run("case", "export", name, file).code == 0
    assert read_case(file) == changed(full(), {"pseudonym": name})
    file.write_text(file.read_text().replace("\nside", '\nnote = "seen again"\nside', 1))
    assert "version 2" in run("case", "import", file, "--into", name, "--role", "therapist").out
    late = run("case", "import", file, "--into", name)
    assert late.code == 6
    assert "somebody else" in late.err and "note: was empty, now seen again" in late.out
    assert "therapist: change examination, version 2: note empty to seen again" in run(
        "case", "show", name, "--history"
    ).out.replace("\n  ", " ")


def test_export_by_its_own_label_is_the_file_again(run: Run, name: str, tmp_path: Path) -> None:
    run("case", "export", name, tmp_path / "out.toml", "--label")
    assert read_case(tmp_path / "out.toml") == full()
    again = run("case", "export", name, tmp_path / "out.toml")
    assert (again.code, read_case(tmp_path / "out.toml")) == (2, full())


def test_archive_and_back(run: Run, name: str) -> None:
    assert run("case", "archive", name).code == 0
    assert name not in run("case", "list").out
    assert name in run("case", "list", "--archived").out
    run("case", "archive", name, "--back")
    assert name in run("case", "list").out


def test_a_stored_case_is_taken_like_a_file(
    run: Run, name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert run("check", name).out.splitlines()[1:] == run("check", EXAMPLES[0]).out.splitlines()[1:]
    assert name in run("check", name.upper()).out
    monkeypatch.chdir(tmp_path)
    (tmp_path / name).write_text(EXAMPLES[1].read_text())
    both = run("check", name)
    assert both.code == 2 and "not both" in both.err
    assert run("check", f"./{name}").code == 0
    assert "sinewright case list" in run("check", "quiet-heron-4821").err


def test_weigh_keeps_a_plan_of_a_stored_case_only(run: Run, name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    def weigh(case: object, draws: int, seed: int, progress: object) -> Weighing:
        return Weighing(
            version="0.1.0", seed=seed, draws=draws, side=full().side, pseudonym=name, warnings=(), sources=(),
            assumptions=(), outcomes=(), tendon="elastic",
        )  # fmt: skip

    monkeypatch.setattr(import_module("sinewright.plan"), "weigh", weigh)
    assert "kept as plan 1" in run("weigh", name, "--keep", "--seed", 9).err
    assert "kept as plan 2" in run("weigh", name, "--keep", "--seed", 9).err
    refused = run("weigh", EXAMPLES[0], "--keep")
    assert refused.code == 2 and "case import" in refused.err
    with Store.open(find_place()) as store:
        first, second = store.plans(name)
        assert (first.plan.seed, first.superseded_by, second.superseded_by) == (9, 2, None)
        assert first.plan.result == second.plan.result
        assert first.inputs["pseudonym"] == name


def test_verify_backup_restore_and_migrate(run: Run, name: str, tmp_path: Path) -> None:
    assert run("store", "verify").out.startswith("Whole.")
    backed = run("store", "backup", tmp_path / "b")
    noted = backed.out.split()[-1]
    run("case", "archive", name)
    assert run("store", "verify", "--noted", noted).code == 0
    assert run("store", "verify", "--noted", "0" * 64).code == 6
    declined = run("store", "restore", tmp_path / "b", typed="n\n")
    assert declined.code == 1 and name not in run("case", "list").out
    restored = run("store", "restore", tmp_path / "b", "--yes")
    assert restored.code == 0 and "is kept as s.db.replaced-" in restored.out
    assert name in run("case", "list").out
    assert "nothing to do" in run("store", "migrate").out


def test_a_broken_store_fails_with_the_row(run: Run, name: str) -> None:
    import sqlite3
    from contextlib import closing

    with closing(sqlite3.connect(find_place().path)) as raw:
        raw.execute("UPDATE finding SET value = '1.0' WHERE path = 'person.mass_kg'")
        raw.commit()
    told = run("store", "verify")
    assert told.code == 6 and f"examination of {name}" in told.out


def test_encrypt_warns_and_the_passphrase_is_never_an_argument(
    run: Run, name: str, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    assert "--passphrase" not in run("store", "encrypt", "--help").out
    nobody = run("store", "encrypt")
    assert nobody.code == 2 and "lost data" in nobody.err and "never taken from the command line" in nobody.err
    monkeypatch.setenv("SINEWRIGHT_PASSPHRASE", "invented words")
    done = run("store", "encrypt")
    assert done.code == 0 and "forgotten passphrase is lost data" in done.out
    assert name in run("case", "list").out
    run("store", "backup", tmp_path / "b")
    monkeypatch.delenv("SINEWRIGHT_PASSPHRASE")
    for command in (("case", "list"), ("store", "verify"), ("store", "restore", tmp_path / "b", "--yes")):
        assert run(*command).code == 2
    monkeypatch.setenv("SINEWRIGHT_PASSPHRASE", "other words")
    wrong = run("case", "list")
    assert wrong.code == 6 and "other words" not in wrong.err + wrong.out


def test_who_a_pseudonym_is_stands_in_a_file_apart(run: Run, name: str, tmp_path: Path) -> None:
    key = tmp_path / "key.json"
    assert run("key", "write", name, "--key-file", key, typed="An Invented Person\n").out == "written\n"
    assert key.stat().st_mode & 0o777 == 0o600
    assert read_key(key) == {name: "An Invented Person"}
    assert run("key", "show", name, "--key-file", key).out == "An Invented Person\n"
    store_files = [each.read_bytes() for each in (tmp_path / "store").iterdir()]
    assert not any(b"Invented Person" in each for each in store_files)
    beside = run("key", "write", name, "--key-file", tmp_path / "store" / "k.json", typed="X Y\n")
    assert beside.code == 2 and "X Y" not in beside.err and not (tmp_path / "store" / "k.json").exists()
    long = run("key", "write", name, "--key-file", key, typed="Secret" * 100 + "\n")
    assert long.code == 2 and "Secret" not in long.err
    run("key", "write", name, "--key-file", key, typed="\n")
    assert read_key(key) == {}
    key.write_text("An Invented Person")
    spoilt = run("key", "show", name, "--key-file", key)
    assert spoilt.code == 6 and "Invented" not in spoilt.err


@pytest.mark.parametrize(
    ("command", "code"),
    [
        (("case", "list"), 6),
        (("case", "show", "quiet-heron-4821"), 6),
        (("store", "verify"), 6),
        (("store", "migrate"), 6),
        (("case", "import", "missing.toml"), 2),
        (("case", "import", EXAMPLES[0], "--role", "Dr Person"), 2),
        (("case", "import", EXAMPLES[0], "--into", "quiet-heron-4821"), 2),
        (("case", "list", "--store", "mysql://x/y"), 2),
    ],
)
def test_what_cannot_be_done_is_one_message_and_makes_nothing(
    run: Run, tmp_path: Path, command: tuple[object, ...], code: int
) -> None:
    told = run(*command)
    assert told.code == code
    assert told.err.count("sinewright: ") == 1 and "Traceback" not in told.err
    assert list((tmp_path / "store").iterdir()) == []


def test_help_of_every_part_loads_no_database() -> None:
    probe = (
        "import sys; sys.argv = ['sinewright', 'store', '--help']\nfrom sinewright.cli.app import main\n"
        "try:\n    main()\nexcept SystemExit:\n    pass\n"
        "sys.exit('sqlalchemy' in sys.modules or 'alembic' in sys.modules)"
    )
    environment = {**os.environ, "PYTHONPATH": str(Path(__file__).parents[2] / "src")}
    subprocess.run([sys.executable, "-c", probe], check=True, capture_output=True, env=environment)
