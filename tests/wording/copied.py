"""Finds numbers of the reference that were typed again: in a sentence, beside a row's id, or as a constant."""

from __future__ import annotations

import ast
import io
import re
import tokenize
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

from sinewright.reference import Row, load
from sinewright.wording.counts import share_word

OWN = ("own_assumptions.csv", "own_ask.csv", "own_protect.csv", "own_swing.csv")
NEAR = 70  # characters either side of a number in which its meaning is looked for
ENOUGH = 2  # words of the row's meaning that must stand there
EMPTY = frozenset(
    {"the", "that", "this", "what", "from", "with", "for", "than", "more", "less", "where", "when", "one", "two", "not"}
    | {"each", "all", "own", "between", "over", "per", "share", "none", "given", "used", "taken", "read", "row", "same"}
    | {"only", "and", "are"}
)
WORD = re.compile(r"[a-z]{3,}")
NUMBER_BY_ID = re.compile(r"[\s,:=(]{1,3}(?:is |of |holds )?(\d+(?:\.\d+)?)(?![\w.-]*-[a-z])")


@dataclass(frozen=True)
class Copy:
    """One number typed again: where it stands, the row that holds it, and the text around it."""

    line: int
    row: str
    text: str


def stem(word: str) -> str:
    """A word without the endings that differ between a row and a sentence."""
    return re.sub(r"(ing|ed|es|s)$", "", word)


def meaning(row: Row) -> frozenset[str]:
    """The telling words of a row."""
    words = WORD.findall(f"{row.quantity} {row.structure} {row.condition}".lower())
    return frozenset(stem(word) for word in words if word not in EMPTY)


def forms(row: Row) -> frozenset[str]:
    """How a sentence may write the value of a row."""
    value = abs(row.value)
    found = {f"{value:g}", f"{value:.1f}", f"{value:.2f}"}
    if row.unit == "1" and 0.0 < value < 1.0:
        found |= {share_word(value)} - {"half"}
        found |= {f"{100.0 * value:g} %", f"{100.0 * value:g} of 100", f"{100.0 * value:g} in 100"}
    return frozenset(found)


@cache
def own_rows() -> tuple[tuple[Row, frozenset[str], frozenset[str]], ...]:
    """Rows with one number that this project set itself, with their meaning and their forms; 0 and 1 say nothing."""
    rows = [row for file in OWN for row in load().rows(file=file) if row.has_number and row.low == row.high]
    return tuple((row, meaning(row), forms(row)) for row in rows if abs(row.value) not in (0.0, 1.0))


def copies_in(source: str, sentences: bool = True) -> Iterator[Copy]:
    """Every number of the reference that a module types again; without `sentences` only beside a row's id.

    Docstrings are left out: they are read beside the code, never by the surgeon.
    """
    comments = _comments(source)
    for line, text in _texts(source):
        yield from _beside_id(line, text)
        if sentences:
            yield from _in_text(line, text)
    for line, value, told in _constants(source, comments):
        yield from _in_constant(line, value, told)


def _beside_id(line: int, text: str) -> Iterator[Copy]:
    for row in re.findall(r"\bown-[a-z0-9-]+", text):
        after = text[text.index(row) + len(row) :]
        if NUMBER_BY_ID.match(after):
            yield Copy(line, row, text)


def _in_text(line: int, text: str) -> Iterator[Copy]:
    lowered = text.lower()
    for row, words, written in own_rows():
        for form in written:
            for match in re.finditer(rf"(?<![\w.]){re.escape(form)}(?![\w.]*\d)(?!\w)", lowered):
                around = lowered[max(0, match.start() - NEAR) : match.end() + NEAR]
                if len(words & {stem(word) for word in WORD.findall(around)}) >= ENOUGH:
                    yield Copy(line, row.id, text)


def _in_constant(line: int, value: float, told: str) -> Iterator[Copy]:
    for id in re.findall(r"\b[a-z]{2,}-[a-z0-9]+(?:-[a-z0-9]+)*", told):
        if id in _ids() and load().row(id).has_number and abs(load().row(id).value) == abs(value):
            yield Copy(line, id, told)
    found = {stem(word) for word in WORD.findall(told.lower().replace("_", " "))}
    for row, words, _ in own_rows():
        if abs(row.value) == abs(value) and len(words & found) >= ENOUGH + 1:
            yield Copy(line, row.id, told)


@cache
def _ids() -> frozenset[str]:
    return frozenset(row.id for row in load().rows())


def _comments(source: str) -> dict[int, str]:
    tokens = tokenize.generate_tokens(io.StringIO(source).readline)
    return {token.start[0]: token.string for token in tokens if token.type == tokenize.COMMENT}


def _texts(source: str) -> Iterator[tuple[int, str]]:
    """Every string of a module, an f-string with its gaps; neighbours that Python joins come joined."""
    tree = ast.parse(source)
    inside = {id(node.value) for holder in ast.walk(tree) for node in _body(holder) if isinstance(node, ast.Expr)}
    for node in ast.walk(tree):
        if isinstance(node, ast.JoinedStr):
            inside |= {id(part) for part in node.values}
            parts = [part.value if isinstance(part, ast.Constant) else "{}" for part in node.values]
            yield node.lineno, " ".join("".join(map(str, parts)).split())
        elif isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in inside:
            yield node.lineno, " ".join(node.value.split())


def _body(node: ast.AST) -> list[ast.stmt]:
    body = getattr(node, "body", [])
    return body if isinstance(body, list) else []


def _constants(source: str, comments: dict[int, str]) -> Iterator[tuple[int, float, str]]:
    """Numbers given a name at the top of a module or class, with the name, the comment and the text below it."""
    for holder in ast.walk(ast.parse(source)):
        if not isinstance(holder, ast.Module | ast.ClassDef):
            continue
        for node, after in zip(holder.body, [*holder.body[1:], None], strict=True):
            if isinstance(node, ast.Assign) and (value := _number(node.value)) is not None:
                names = " ".join(ast.unparse(target) for target in node.targets)
                below = after.value.value if _is_text(after) else ""  # type: ignore[union-attr, attr-defined]
                yield node.lineno, value, f"{names} {comments.get(node.lineno, '')} {below}"


def _is_text(node: ast.stmt | None) -> bool:
    return isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant) and isinstance(node.value.value, str)


def _number(node: ast.expr) -> float | None:
    if isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.USub):
        inner = _number(node.operand)
        return None if inner is None else -inner
    if isinstance(node, ast.Constant) and isinstance(node.value, int | float) and not isinstance(node.value, bool):
        return float(node.value)
    return None
