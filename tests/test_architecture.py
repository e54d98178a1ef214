"""Knowledge flows downwards only, and nothing grows too big to read. Files are parsed, never imported."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

SRC = Path(__file__).parents[1] / "src" / "sinewright"
FILES = sorted(SRC.rglob("*.py"))
# A step may import the steps before it. Rooms of one step do not import each other, save NEIGHBOURS.
STEPS: tuple[tuple[str, ...], ...] = (
    ("units", "errors", "results", "compiled", "arrays", "options"),
    ("reference",),
    ("wording",),
    ("anatomy", "muscle", "case"),
    ("transfer",),
    ("solve",),
    ("doubt",),
    ("choose",),
    ("plan",),
    ("learn", "protect"),
    ("evidence",),
    ("store", "export"),
    ("service",),
    ("app",),
    ("cli",),
)
STEP_OF = {room: step for step, rooms in enumerate(STEPS) for room in rooms}
NEIGHBOURS = {("results", "errors"), ("results", "units")}
NEIGHBOURS |= {("app", "cli")}  # the app says numbers as the terminal does


def room_of(path: Path) -> str:
    return path.relative_to(SRC).parts[0].removesuffix(".py")


def imported_rooms(tree: ast.AST) -> Iterator[tuple[int, str]]:
    for node in ast.walk(tree):
        names = [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
        if isinstance(node, ast.ImportFrom) and node.module == "sinewright":
            names = [f"sinewright.{alias.name}" for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"line {node.lineno}: imports are written in full"
            names = [node.module or ""]
        yield from ((node.lineno, name.split(".")[1]) for name in names if name.startswith("sinewright."))


def refused_imports(room: str, tree: ast.AST) -> list[str]:
    allowed = {other for other in STEP_OF if STEP_OF[other] < STEP_OF[room]} | {room, "__version__"}
    allowed |= {other for first, other in NEIGHBOURS if first == room}
    return [f"line {line}: {room} -> {other}" for line, other in imported_rooms(tree) if other not in allowed]


@pytest.mark.parametrize("path", FILES, ids=lambda path: str(path.relative_to(SRC)))
def test_file_keeps_the_arrow_and_stays_readable(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    tree = ast.parse(text)
    room = room_of(path)
    assert room == "__init__" or room in STEP_OF, f"a room without a place in the arrow: {room}"
    assert path.name != "utils.py"
    assert text.count("\n") <= 500, "longer than 500 lines"
    assert room == "__init__" or refused_imports(room, tree) == []
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            body = node.body[1:] if ast.get_docstring(node) else node.body
            length = body[-1].end_lineno - body[0].lineno + 1 if body else 0  # type: ignore[operator]
            assert length <= 60, f"{node.name}: {length} lines"


@pytest.mark.parametrize(
    ("room", "line"),
    [
        ("reference", "from sinewright.case import read"),
        ("muscle", "from sinewright.anatomy import x"),
        ("solve", "import sinewright.plan"),
        ("units", "from sinewright import cli"),
    ],
)
def test_an_upward_import_is_seen(room: str, line: str) -> None:
    assert len(refused_imports(room, ast.parse(line))) == 1
