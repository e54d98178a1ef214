"""A plain screen, the smallest case, and a way to run the command as a shell would."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from sinewright.cli.app import main
from sinewright.cli.screen import Screen

from .cli_streams import Ran, Stream


@pytest.fixture
def plain() -> Screen:
    return Screen(Stream(terminal=False), width=100, full=False)


@pytest.fixture
def run(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Callable[..., Ran]:
    """`run("check", path)` as typed after `sinewright`, piped."""

    def call(*arguments: object) -> Ran:
        monkeypatch.setattr(sys, "argv", ["sinewright", *map(str, arguments)])
        with pytest.raises(SystemExit) as left:
            main()
        told = capsys.readouterr()
        return Ran(int(left.value.code or 0), told.out, told.err)

    return call


@pytest.fixture
def case_file(tmp_path: Path) -> Path:
    """The smallest case that is weighed: one muscle is graded."""
    path = tmp_path / "case.toml"
    head = 'schema_version = 1\npseudonym = "quiet-otter-58"\nside = "right"\ninvented = true\n'
    path.write_text(f'{head}[muscles]\ntibialis_posterior.grade = "5"\n', "utf-8")
    return path
