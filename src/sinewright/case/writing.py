"""From a case back to text: a TOML file without loss, a canonical form, and its fingerprint."""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import datetime
from hashlib import sha256
from typing import Any

import tomli_w

from sinewright.case.fields import Finding, Section
from sinewright.case.model import Case


def case_to_toml(case: Case) -> str:
    """`case` as TOML text; ``parse_case(case_to_toml(case)) == case``. Empty entries are left out."""
    return "\n".join(_lines(case, "")) + "\n"


def canonical(case: Case) -> dict[str, Any]:
    """Nested plain content of `case` without empty entries: dates as text, findings as tables."""
    content: dict[str, Any] = _pruned(case.model_dump(mode="json"))
    return content


def digest(case: Case) -> str:
    """SHA-256 (64 hex digits) of the content of `case`. Order and layout of its file do not matter."""
    text = json.dumps(canonical(case), sort_keys=True, separators=(",", ":"), ensure_ascii=True)
    return sha256(text.encode("ascii")).hexdigest()


def _pruned(content: Any) -> Any:
    """`content` without None, empty tables and empty lists; minus zero becomes zero."""
    if isinstance(content, dict):
        kept = {name: _pruned(value) for name, value in content.items()}
        return {name: value for name, value in kept.items() if value not in (None, {}, [])}
    if isinstance(content, list):
        return [_pruned(value) for value in content]
    return content + 0.0 if isinstance(content, float) else content


def _lines(part: Section, path: str) -> Iterator[str]:
    """Plain entries of a section first, then its lists of tables and its sections, each under its heading."""
    entries = [(name, value) for name, value in part if value is not None and value != ()]
    plain = [(name, value) for name, value in entries if not _has_heading(value)]
    yield from (f"{name} = {_inline(value)}" for name, value in plain)
    for name, value in entries:
        here = f"{path}.{name}" if path else name
        if isinstance(value, tuple) and _has_heading(value):
            for each in value:
                yield from ("", f"[[{here}]]", *_lines(each, here))
        elif _has_heading(value):
            inside = list(_lines(value, here))
            has_own = bool(inside) and bool(inside[0])
            yield from (["", f"[{here}]"] if has_own else [])
            yield from inside


def _has_heading(value: Any) -> bool:
    first = value[0] if isinstance(value, tuple) and value else value
    return isinstance(first, Section) and not isinstance(first, Finding)


def _inline(value: Any) -> str:
    """One value as TOML; a finding that is simply measured as its plain value."""
    if isinstance(value, Finding):
        filled = {name: part for name, part in value if part is not None}
        if filled.keys() == {"value", "known"} and value.known == "measured":
            return _inline(value.value)
        return "{ " + ", ".join(f"{name} = {_inline(part)}" for name, part in filled.items()) + " }"
    if isinstance(value, tuple):
        return "[" + ", ".join(_inline(each) for each in value) + "]"
    return toml_value(value)


def toml_value(value: object) -> str:
    """A text, number, yes or no, date or time as TOML writes it, in one line.

    >>> toml_value('a "quoted" word')
    '"a \\\\"quoted\\\\" word"'
    """
    if isinstance(value, datetime):
        return value.isoformat()  # with the T between day and time that docs/table.md shows
    return tomli_w.dumps({"x": value}).removeprefix("x = ").removesuffix("\n")
