"""The command as typed: exit codes, one clear message, nothing half written, an answer at once."""

from __future__ import annotations

import json
import os
import resource
import subprocess
import sys
import types
from collections.abc import Callable
from pathlib import Path

import pytest

import sinewright
from sinewright.errors import DoubtError, InputError

from .cli_streams import Ran
from .invented_weighing import WEIGHING

SHELL = [sys.executable, "-c", "from sinewright.cli.app import main; main()"]


@pytest.fixture
def invented_plan(monkeypatch: pytest.MonkeyPatch) -> Callable[[object], None]:
    """Lets `weigh` find an invented result, or fail as told."""

    def put(result: object) -> None:
        def weigh(case: object, draws: int, seed: int, progress: object) -> object:
            if isinstance(result, BaseException):
                raise result
            return result

        module = types.ModuleType("sinewright.plan")
        module.weigh = weigh  # type: ignore[attr-defined]
        monkeypatch.setitem(sys.modules, "sinewright.plan", module)
        monkeypatch.setattr(sinewright, "plan", module, raising=False)

    return put


def test_check_prints_and_writes_nothing(run: Callable[..., Ran], case_file: Path) -> None:
    before = case_file.read_bytes()
    told = run("check", case_file)
    assert (told.code, told.err) == (0, "")
    assert "right foot" in told.out
    assert os.listdir(case_file.parent) == ["case.toml"]
    assert case_file.read_bytes() == before


@pytest.mark.parametrize("command", ["check", "weigh"])
@pytest.mark.parametrize("content", [None, "side = ", 'schema_version = 1\npseudonym = "x"\nside = "R"\n'])
def test_bad_input_is_one_message_on_stderr_and_exit_2(
    run: Callable[..., Ran], tmp_path: Path, command: str, content: str | None
) -> None:
    path = tmp_path / "case.toml"
    if content is not None:
        path.write_text(content, "utf-8")
    told = run(command, path)
    assert told.code == 2
    assert told.out == ""
    assert told.err.startswith("sinewright: ")
    assert told.err.count("sinewright:") == 1
    assert "Traceback" not in told.err


def test_weigh_prints_plain_text_in_a_pipe_and_writes_the_document(
    run: Callable[..., Ran], invented_plan: Callable[[object], None], case_file: Path
) -> None:
    invented_plan(WEIGHING)
    target = case_file.parent / "out.json"
    told = run("weigh", case_file, "--json", target, "--draws", "400")
    assert (told.code, told.err) == (0, "")
    assert told.out.isascii()
    assert "\x1b" not in told.out
    assert json.loads(target.read_text("utf-8"))["outcomes"][0]["choice"]["id"] == "a"
    first = target.read_bytes()
    run("weigh", case_file, "--json", target, "--draws", "400")
    assert target.read_bytes() == first


def test_the_case_is_never_overwritten_and_the_plan_not_even_begun(
    run: Callable[..., Ran], invented_plan: Callable[[object], None], case_file: Path
) -> None:
    invented_plan(AssertionError("the plan was begun"))
    before = case_file.read_bytes()
    told = run("weigh", case_file, "--json", case_file)
    assert told.code == 2
    assert "any file but the case itself" in told.err
    assert case_file.read_bytes() == before


@pytest.mark.parametrize(
    ("failure", "code", "words"),
    [
        (
            InputError("--draws", 3, "at least 50", "draw more"),
            2,
            "sinewright: --draws: given 3, allowed at least 50",
        ),
        (DoubtError("too few virtual legs agree"), 5, "sinewright: too few virtual legs agree"),
        (ZeroDivisionError("inner"), 1, "stopped by an error of its own, ZeroDivisionError"),
        (KeyboardInterrupt(), 130, ""),
    ],
)
def test_failures_have_their_code_a_sentence_and_no_file(
    run: Callable[..., Ran],
    invented_plan: Callable[[object], None],
    case_file: Path,
    failure: BaseException,
    code: int,
    words: str,
) -> None:
    invented_plan(failure)
    told = run("weigh", case_file, "--json", case_file.parent / "out.json")
    assert told.code == code
    assert words in told.err
    assert "Traceback" not in told.err
    assert told.out == ""
    assert os.listdir(case_file.parent) == ["case.toml"]


def test_debug_shows_where_it_went_wrong(
    invented_plan: Callable[[object], None], monkeypatch: pytest.MonkeyPatch, case_file: Path
) -> None:
    from sinewright.cli.app import main

    invented_plan(ZeroDivisionError("inner"))
    monkeypatch.setattr(sys, "argv", ["sinewright", "--debug", "weigh", str(case_file)])
    with pytest.raises(ZeroDivisionError):
        main()


def test_a_name_cannot_send_control_characters_to_the_terminal(run: Callable[..., Ran], tmp_path: Path) -> None:
    told = run("check", tmp_path / "quiet\x1b[2J.toml")
    assert told.code == 2
    assert "\x1b" not in told.err


def test_case_help_finds_entries_by_word(run: Callable[..., Ran]) -> None:
    told = run("case-help", "stretch")
    assert told.code == 0
    assert "set_stretch_mm" in told.out
    assert "from -30 to 60 mm" in " ".join(told.out.split())
    assert "foot_length_mm" not in told.out
    assert "No entry has" in run("case-help", "zebra").out


def test_version(run: Callable[..., Ran]) -> None:
    assert run("--version").out == f"sinewright {sinewright.__version__}\n"


def test_help_imports_nothing_heavy_and_answers_at_once() -> None:
    """The house allows 0.3 s. Processor time of the fastest of three runs, so that a busy machine passes."""
    environment = {**os.environ, "PYTHONPATH": str(Path(sinewright.__file__).parents[1])}
    spent = []
    for _ in range(3):
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        done = subprocess.run([*SHELL, "--help"], capture_output=True, text=True, env=environment, check=True)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        spent.append(after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)
    assert all(word in done.stdout for word in ("check", "weigh", "evidence", "case-help"))
    assert min(spent) < 0.3
    code = (
        "import sys; sys.argv = ['sinewright', '--help']\nfrom sinewright.cli.app import main\n"
        "try:\n    main()\nexcept SystemExit:\n    pass\n"
        "heavy = {'numpy', 'scipy', 'numba', 'pydantic', 'rich.console'}\n"
        "print(sorted(heavy & set(sys.modules)), file=sys.stderr)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, env=environment, check=True)
    assert done.stderr.strip() == "[]"
