"""Knowledge flows downwards only, and nothing grows too big to read. Files are parsed, never imported.

Refused: an import of a room that is not below (what only type checkers import counts too); files that import each other
in a circle, inside a room as well; files over 500 lines; functions over 60 lines; more than 8 arguments outside
compiled kernels and commands, whose arguments are the options that are typed; calls of own functions and classes,
kernels apart, with more than 5 arguments by bare position.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator, Mapping
from functools import cache
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest

SRC = Path(__file__).parents[1] / "src" / "sinewright"
FILES = sorted(SRC.rglob("*.py"))
# A step may import the steps before it; rooms of one step do not import each other.
STEPS: tuple[tuple[str, ...], ...] = (
    ("units", "errors", "compiled", "arrays", "options", "version"),
    ("results", "files"),
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
    ("face",),
    ("service",),
    ("app",),
    ("cli",),
)
STEP_OF = {room: step for step, rooms in enumerate(STEPS) for room in rooms}
NAMED_LATER = {"evidence"}
WIDE_LATER = {"later_commands.py", "now.py"}
FILE_LINES, FUNCTION_LINES, ARGUMENTS, BARE = 500, 60, 8, 5
Function = ast.FunctionDef | ast.AsyncFunctionDef


def room_of(path: Path) -> str:
    return path.relative_to(SRC).parts[0].removesuffix(".py")


def module_of(path: Path) -> str:
    parts = ("sinewright", *path.relative_to(SRC).with_suffix("").parts)
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


@cache
def tree_of(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))


MODULES = {module_of(path): path for path in FILES}


def imports_of(tree: ast.AST) -> Iterator[tuple[int, str]]:
    """Line and full name of everything imported from the package, wherever the import stands."""
    for node in ast.walk(tree):
        names = [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
        if isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"line {node.lineno}: imports are written in full"
            names = [f"{node.module}.{alias.name}" for alias in node.names]
        yield from ((node.lineno, name) for name in names if name.split(".")[0] == "sinewright" and "." in name)


def refused_imports(room: str, tree: ast.AST) -> list[str]:
    below = {other for other in STEP_OF if STEP_OF[other] < STEP_OF[room]} | {room}
    found = ((line, name.split(".")[1]) for line, name in imports_of(tree))
    return [f"line {line}: {room} -> {other}" for line, other in found if other not in below]


def circle(arrows: Mapping[str, set[str]]) -> list[str]:
    """Names that import each other in a circle; empty when there is none."""
    try:
        TopologicalSorter(arrows).prepare()
    except CycleError as problem:
        return list(problem.args[1])
    return []


def module_arrows() -> dict[str, set[str]]:
    """For every module those it imports; a name taken from a package counts as the package."""
    arrows = {}
    for module, path in MODULES.items():
        names = {name if name in MODULES else name.rpartition(".")[0] for _, name in imports_of(tree_of(path))}
        arrows[module] = (names & MODULES.keys()) - {module}
    return arrows


def is_kernel(function: Function) -> bool:
    return any("compiled" in ast.unparse(decorator) for decorator in function.decorator_list)


def is_command(function: Function) -> bool:
    return any(".command(" in ast.unparse(decorator) for decorator in function.decorator_list)


def by_position(function: Function) -> bool:
    return is_kernel(function) or function.args.vararg is not None


def functions_of(tree: ast.AST) -> Iterator[Function]:
    yield from (node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef))


def long_functions(tree: ast.AST) -> list[str]:
    found = []
    for function in functions_of(tree):
        body = function.body[1:] if ast.get_docstring(function) else function.body
        length = (body[-1].end_lineno or 0) - body[0].lineno + 1 if body else 0
        found += [f"{function.name}: {length} lines"] if length > FUNCTION_LINES else []
    return found


def wide_functions(tree: ast.AST) -> list[str]:
    found = []
    for function in functions_of(tree):
        given = [arg.arg for arg in (*function.args.posonlyargs, *function.args.args, *function.args.kwonlyargs)]
        count = len(given) - (given[:1] in (["self"], ["cls"]))
        if count > ARGUMENTS and not is_kernel(function) and not is_command(function):
            found.append(f"{function.name}: {count} arguments")
    return found


def own_names(tree: ast.Module) -> set[str]:
    """Functions and classes of the package that a file can call by name; kernels and those that take a list are not."""
    names = {node.name for node in ast.walk(tree) if isinstance(node, ast.ClassDef)}
    names |= {function.name for function in functions_of(tree) if not by_position(function)}
    for _, name in imports_of(tree):
        module, _, last = name.rpartition(".")
        source = tree_of(MODULES[module]) if module in MODULES else tree
        if not any(function.name == last and by_position(function) for function in functions_of(source)):
            names.add(last)
    return names


def bare_calls(tree: ast.Module) -> list[str]:
    """Calls with too many arguments by bare position, outside kernels, which are called by position only."""
    names = own_names(tree)
    kernels = {id(node) for function in functions_of(tree) if is_kernel(function) for node in ast.walk(function)}
    found = []
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name | ast.Attribute) and id(node) not in kernels:
            name = node.func.id if isinstance(node.func, ast.Name) else node.func.attr
            bare = sum(not isinstance(argument, ast.Starred) for argument in node.args)
            if bare > BARE and name in names:
                found.append(f"line {node.lineno}: {name} with {bare} arguments by position")
    return found


@pytest.mark.parametrize("path", FILES, ids=lambda path: str(path.relative_to(SRC)))
def test_file_keeps_the_arrow_and_stays_readable(path: Path) -> None:
    tree, room = tree_of(path), room_of(path)
    assert room == "__init__" or room in STEP_OF, f"a room without a place in the arrow: {room}"
    assert path.name != "utils.py"
    assert path.read_text(encoding="utf-8").count("\n") <= FILE_LINES
    assert room == "__init__" or refused_imports(room, tree) == []
    assert long_functions(tree) == []
    assert path.name in WIDE_LATER or wide_functions(tree) == []
    assert room in NAMED_LATER or bare_calls(tree) == []


def test_no_files_import_each_other_in_a_circle() -> None:
    assert circle(module_arrows()) == []


@pytest.mark.parametrize(
    ("room", "line"),
    [
        ("reference", "from sinewright.case import read"),
        ("muscle", "from sinewright.anatomy import x"),
        ("solve", "import sinewright.plan"),
        ("units", "from sinewright import cli"),
        ("app", "from sinewright.cli import words"),
        ("export", "def late():\n    from sinewright.store.store import Store"),
        ("case", "if TYPE_CHECKING:\n    from sinewright.doubt import draw"),
    ],
)
def test_an_upward_import_is_seen(room: str, line: str) -> None:
    assert len(refused_imports(room, ast.parse(line))) == 1


def test_a_circle_is_seen() -> None:
    assert set(circle({"one": {"two"}, "two": {"three"}, "three": {"one"}, "four": {"one"}})) == {"one", "two", "three"}


def test_what_is_too_big_is_seen() -> None:
    wide = ast.parse("def wide(a, b, c, d, e, f, g, h, i): pass\nwide(1, 2, 3, 4, 5, 6)\nwide(1, 2, 3, 4, 5, f=6)")
    assert wide_functions(wide) == ["wide: 9 arguments"]
    assert bare_calls(wide) == ["line 2: wide with 6 arguments by position"]
    kernel = ast.parse("@compiled\ndef wide(a, b, c, d, e, f, g, h, i): pass\nwide(1, 2, 3, 4, 5, 6)")
    assert wide_functions(kernel) == bare_calls(kernel) == []
    assert long_functions(ast.parse("def long():\n" + "    pass\n" * 61)) == ["long: 61 lines"]
