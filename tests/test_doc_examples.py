"""The examples in docstrings run, and say what they say they do."""

from __future__ import annotations

import doctest
from importlib import import_module
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
SHOWN = sorted(path for path in (ROOT / "src").rglob("*.py") if ">>> " in path.read_text("utf-8"))


@pytest.mark.parametrize("path", SHOWN, ids=lambda path: str(path.relative_to(ROOT / "src")))
def test_the_examples_of_a_file_run(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    module = import_module(".".join(path.relative_to(ROOT / "src").with_suffix("").parts))
    found = doctest.testmod(module)
    assert found.attempted > 0 and found.failed == 0
