"""Content as a flat list of paths, so that two versions can be compared field by field.

A finding (a table with `value` and `known`) and a list of plain values are one leaf each. Entries of a list of
tables carry their place: ``history.nerve_studies.0.on``.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from datetime import date
from typing import Any

from sinewright.store.errors import Change

Flat = dict[str, Any]
_DAY = re.compile(r"\d{4}-\d\d-\d\d")


def canonical_json(content: Any) -> str:
    """`content` as JSON text with one possible form: keys sorted, no spaces, ASCII, no NaN."""
    return json.dumps(content, sort_keys=True, separators=(",", ":"), ensure_ascii=True, allow_nan=False)


def flat(content: Mapping[str, Any]) -> Flat:
    """Path and leaf of every entry of nested plain content."""
    return dict(_leaves(content, ""))


def _leaves(part: Any, path: str) -> Iterator[tuple[str, Any]]:
    if isinstance(part, Mapping) and not is_finding(part):
        steps: list[tuple[Any, Any]] = list(part.items())
    elif isinstance(part, list) and part and isinstance(part[0], Mapping):
        steps = list(enumerate(part))
    else:
        yield path, part
        return
    for step, inner in steps:
        yield from _leaves(inner, f"{path}.{step}" if path else str(step))


def is_finding(part: Any) -> bool:
    """True for a table that holds a value and how it is known."""
    return isinstance(part, Mapping) and "value" in part and "known" in part


def nested(entries: Mapping[str, Any]) -> dict[str, Any]:
    """The nested content again; ``nested(flat(x)) == x`` for content without empty tables and lists."""
    tree: dict[str, Any] = {}
    for path, leaf in entries.items():
        *parents, last = path.split(".")
        place = tree
        for step in parents:
            place = place.setdefault(step, {})
        place[last] = leaf
    content: dict[str, Any] = _lists_restored(tree)
    return content


def _lists_restored(part: Any) -> Any:
    if not isinstance(part, dict) or is_finding(part):
        return part
    inner = {step: _lists_restored(value) for step, value in part.items()}
    if inner and all(step.isdigit() for step in inner):
        return [inner[step] for step in sorted(inner, key=int)]
    return inner


def with_dates(part: Any, name: str = "") -> Any:
    """Nested content with dates for the texts of fields called `on` or ending in `_on`, as a TOML reader has it."""
    if isinstance(part, Mapping):
        return {key: with_dates(value, key) for key, value in part.items()}
    if isinstance(part, list):
        return [with_dates(value, name) for value in part]
    is_day = isinstance(part, str) and (name == "on" or name.endswith("_on")) and _DAY.fullmatch(part)
    return date.fromisoformat(part) if is_day else part


def changes_between(before: Mapping[str, Any], after: Mapping[str, Any]) -> tuple[Change, ...]:
    """Every path whose leaf differs, sorted by path."""
    paths = sorted({*before, *after})
    found = (Change(path, before.get(path), after.get(path)) for path in paths)
    return tuple(each for each in found if each.before != each.after)


def changes_text(changes: tuple[Change, ...]) -> str:
    """The changes as the audit keeps them: ``{path: [before, after]}``."""
    return canonical_json({each.path: [each.before, each.after] for each in changes})


def changes_from(text: str) -> tuple[Change, ...]:
    """The changes in an audit row's text."""
    return tuple(Change(path, pair[0], pair[1]) for path, pair in json.loads(text).items())


def undone(entries: Mapping[str, Any], changes: tuple[Change, ...]) -> Flat:
    """`entries` as they were before `changes`."""
    earlier = dict(entries)
    for each in changes:
        if each.before is None:
            earlier.pop(each.path, None)
        else:
            earlier[each.path] = each.before
    return earlier
