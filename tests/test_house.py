"""The papers of the house: answers defined, dependencies with a reason, pinned lists without addresses."""

from __future__ import annotations

import ast
import re
import tomllib
from importlib import import_module
from importlib.util import find_spec
from pathlib import Path

import pytest

import sinewright
from sinewright.results import QUANTITIES

ROOT = Path(__file__).parents[1]
SCRIPTS = sorted(path for room in ("tests", "benchmarks", "tools") for path in (ROOT / room).rglob("*.py"))
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
LOCKS = {name: (ROOT / "requirements" / name).read_text(encoding="utf-8") for name in ("run.lock", "test.lock")}


def wanted(*extras: str) -> set[str]:
    """Names of the run-time dependencies and of the extras named."""
    lines = PROJECT["dependencies"] + [line for extra in extras for line in PROJECT["optional-dependencies"][extra]]
    return {re.split(r"[<>=\[ ]", line)[0] for line in lines}


def pinned(lock: str) -> set[tuple[str, str]]:
    return set(re.findall(r"^([a-z0-9-]+)==([^ ;\\]+)", LOCKS[lock], re.MULTILINE))


@pytest.mark.parametrize("key", QUANTITIES)
def test_every_answer_is_defined_with_its_unit(key: str) -> None:
    text = (ROOT / "NOMENCLATURE.md").read_text(encoding="utf-8").partition("## Fields of the documents")[0]
    rows = [line for line in text.splitlines() if f"`{key}`" in line]
    assert rows
    assert all(len(row.strip("|").split("|")) in {6, 7} for row in rows)


def test_every_dependency_has_its_reason() -> None:
    reasons = set(re.findall(r"^\| ([a-z0-9-]+) \| .{10,}", (ROOT / "docs/dependencies.md").read_text(), re.MULTILINE))
    assert wanted("test", "dev") <= reasons


@pytest.mark.parametrize("lock", LOCKS)
def test_pinned_lists_carry_hashes_and_no_address(lock: str) -> None:
    assert "://" not in LOCKS[lock]
    entries = re.split(r"\n(?=[a-z])", LOCKS[lock].strip())
    assert all("--hash=sha256:" in entry for entry in entries)


def test_pinned_lists_hold_what_is_wanted_and_agree() -> None:
    assert wanted() | {"hatchling"} <= {name for name, _ in pinned("run.lock")}
    assert wanted("test", "dev") <= {name for name, _ in pinned("test.lock")}
    assert pinned("run.lock") <= pinned("test.lock")


def test_one_version() -> None:
    assert sinewright.__version__ == PROJECT["version"]


@pytest.mark.parametrize("path", SCRIPTS, ids=lambda path: str(path.relative_to(ROOT)))
def test_what_a_file_takes_from_the_package_is_there(path: Path) -> None:
    package = ".".join(path.parent.relative_to(ROOT).parts)
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.ImportFrom) and (node.level or (node.module or "").startswith(("sinewright", "tests"))):
            module = import_module("." * node.level + (node.module or ""), package)
            missing = [name.name for name in node.names if not hasattr(module, name.name)]
            inside = [
                name for name in missing if hasattr(module, "__path__") and find_spec(f"{module.__name__}.{name}")
            ]
            assert missing == inside, f"line {node.lineno}"


def test_our_text_names_no_folder_of_a_machine() -> None:
    papers = [*ROOT.glob("*.md"), *(ROOT / "docs").rglob("*.md"), *(ROOT / "changelog.d").glob("*.md")]
    assert not [path.name for path in papers if re.search(r"/(work|tmp|home|root)/", path.read_text(encoding="utf-8"))]
