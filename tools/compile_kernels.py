"""Compiles what every command needs, once, before tests run side by side: ``python tools/compile_kernels.py``."""

from __future__ import annotations

import os
import sys
from contextlib import redirect_stderr, redirect_stdout, suppress
from tempfile import TemporaryDirectory

from compare_results import CASES, commands
from sinewright.cli.app import main
from sinewright.compiled import cache_folder

CASE, DRAWS = "deep_branch_strong_peroneals", 100


def run(words: list[str]) -> None:
    """One command as typed, with nothing printed; whether its answer is right is for the tests to say."""
    sys.argv = ["sinewright", *words]
    with open(os.devnull, "w", encoding="utf-8") as nowhere, redirect_stdout(nowhere), redirect_stderr(nowhere):
        _until_exit()


def _until_exit() -> None:
    with suppress(SystemExit):
        main()


def compile_all() -> None:
    """Run every command with few legs, and leave a mark beside the machine code: the next call does nothing."""
    mark = cache_folder() / "all-commands-ran"
    if mark.exists():
        return
    print("Compiling the solver (once for this version) ...", flush=True)  # noqa: T201
    with TemporaryDirectory() as folder:
        os.environ["SINEWRIGHT_STORE"] = os.path.join(folder, "store.db")
        for words in commands(CASE, CASES[CASE], DRAWS).values():
            run(words)
    mark.parent.mkdir(parents=True, exist_ok=True)
    mark.touch()


if __name__ == "__main__":
    compile_all()
