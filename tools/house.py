"""The size and shape of the house, to hold one version against another: ``python tools/house.py [FOLDER]``.

FOLDER is the root of a checkout (else this one). Lengths are lines from ``def`` to the last line, docstring left out;
a line of code is one that is neither blank, nor comment alone, nor docstring.
"""

# ruff: noqa: T201

from __future__ import annotations

import ast
import io
import sys
import tokenize
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

Definition = ast.FunctionDef | ast.AsyncFunctionDef
DOCUMENTED = (ast.Module, ast.ClassDef, ast.FunctionDef, ast.AsyncFunctionDef)


@dataclass
class Counts:
    """What one tree of files holds: lines by kind, and for every function its length, arguments and whether it is
    public and has a docstring."""

    files: list[int] = field(default_factory=list)
    blank: int = 0
    comment: int = 0  # lines with a comment, alone or behind code
    comment_alone: int = 0
    docstring: int = 0
    lengths: list[int] = field(default_factory=list)
    arguments: list[int] = field(default_factory=list)
    public: list[bool] = field(default_factory=list)
    longest: tuple[int, str] = (0, "")
    widest: tuple[int, str] = (0, "")
    tests: int = 0

    @property
    def lines(self) -> int:
        return sum(self.files)

    @property
    def code(self) -> int:
        return self.lines - self.blank - self.comment_alone - self.docstring


def docstring_of(node: ast.AST) -> ast.Expr | None:
    """The statement that is the docstring of a module, class or function."""
    if isinstance(node, DOCUMENTED) and node.body and isinstance(node.body[0], ast.Expr):
        value = node.body[0].value
        if isinstance(value, ast.Constant) and isinstance(value.value, str):
            return node.body[0]
    return None


def lines_of(node: ast.stmt) -> int:
    return (node.end_lineno or node.lineno) - node.lineno + 1


def comments(text: str) -> set[int]:
    """Lines that hold a comment, alone or behind code; words to a checker are none."""
    tokens = tokenize.generate_tokens(io.StringIO(text).readline)
    return {
        token.start[0]
        for token in tokens
        if token.type == tokenize.COMMENT and not token.string.startswith(("# noqa", "# type:", "# fmt:", "# ruff:"))
    }


def alone(text: str, lines: set[int]) -> int:
    rows = text.splitlines()
    return sum(1 for line in lines if rows[line - 1].lstrip().startswith("#"))


def arguments_of(function: Definition) -> int:
    given = function.args
    named = [*given.posonlyargs, *given.args, *given.kwonlyargs]
    return len([argument for argument in named if argument.arg not in ("self", "cls")])


def add_function(counts: Counts, function: Definition, where: str) -> None:
    text = docstring_of(function)
    length, arguments = lines_of(function) - (lines_of(text) if text else 0), arguments_of(function)
    counts.lengths.append(length)
    counts.arguments.append(arguments)
    counts.longest = max(counts.longest, (length, f"{where}:{function.name}"))
    counts.widest = max(counts.widest, (arguments, f"{where}:{function.name}"))
    if not function.name.startswith("_"):
        counts.public.append(text is not None)
    counts.tests += function.name.startswith("test_")


def count(folder: Path) -> Counts:
    """Count every Python file below a folder."""
    counts = Counts()
    for path in sorted(folder.rglob("*.py")):
        text = path.read_text(encoding="utf-8")
        rows, marked = text.splitlines(), comments(text)
        counts.files.append(len(rows))
        counts.comment += len(marked)
        counts.comment_alone += alone(text, marked)
        inside: set[int] = set()
        for node in ast.walk(ast.parse(text)):
            statement = docstring_of(node)
            if statement:
                inside |= set(range(statement.lineno, (statement.end_lineno or statement.lineno) + 1))
            if isinstance(node, Definition):
                add_function(counts, node, str(path.relative_to(folder)))
        counts.docstring += len(inside)
        counts.blank += sum(1 for line, row in enumerate(rows, 1) if not row.strip() and line not in inside)
    return counts


def at(values: list[int], share: float) -> int:
    """The value that a share of all does not pass."""
    return sorted(values)[min(len(values) - 1, int(share * len(values)))] if values else 0


def percent(part: float, whole: float) -> str:
    return f"{100.0 * part / whole:.1f} %" if whole else "-"


def report(root: Path) -> Iterator[tuple[str, str]]:
    """Name and value of every figure."""
    src, tests, tools, benchmarks = (count(root / part) for part in ("src", "tests", "tools", "benchmarks"))
    yield "files in src", str(len(src.files))
    yield "lines in src", str(src.lines)
    yield "lines of code in src", str(src.code)
    yield "lines of a file: median, 9 in 10, most", f"{at(src.files, 0.5)}, {at(src.files, 0.9)}, {max(src.files)}"
    yield "functions in src", str(len(src.lengths))
    shape = f"{at(src.lengths, 0.5)}, {at(src.lengths, 0.9)}, {src.longest[0]} ({src.longest[1]})"
    yield "lines of a function: median, 9 in 10, most", shape
    yield "arguments: 9 in 10, most", f"{at(src.arguments, 0.9)}, {src.widest[0]} ({src.widest[1]})"
    yield "functions of more than 8 arguments", str(sum(1 for n in src.arguments if n > 8))
    yield "docstrings, share of lines in src", percent(src.docstring, src.lines)
    yield "comments, share of lines in src", percent(src.comment, src.lines)
    yield "public functions without a docstring", percent(src.public.count(False), len(src.public))
    yield "files, lines in tests", f"{len(tests.files)}, {tests.lines}"
    yield "test functions", str(tests.tests)
    yield "tests for a line of src", f"{tests.lines / src.lines:.3f}"
    yield "lines in tools, benchmarks", f"{tools.lines}, {benchmarks.lines}"


def main() -> None:
    root = Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parents[1]
    for name, value in report(root):
        print(f"{name:45s} {value}")


if __name__ == "__main__":
    main()
