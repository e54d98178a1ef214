"""A small valid case as text and as tables, for tests that change one entry."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from sinewright.case import Case, FindingsError, case_from_tables, changed, parse_case

ROOT = Path(__file__).parents[2]
EXAMPLES = sorted((ROOT / "examples").glob("*.toml"))
SMALL = 'schema_version = 1\npseudonym = "ZZ-9"\ninvented = true\nside = "left"\n'


def small() -> Case:
    return parse_case(SMALL)


def with_(changes: dict[str, Any]) -> Case:
    return changed(small(), changes)


def refusal(tables_or_text: dict[str, Any] | str) -> FindingsError:
    """The error that reading must raise; a case that is accepted fails the test."""
    try:
        case = parse_case(tables_or_text) if isinstance(tables_or_text, str) else case_from_tables(tables_or_text)
    except FindingsError as error:
        return error
    raise AssertionError(f"accepted: {case!r}")


def refused_change(changes: dict[str, Any]) -> FindingsError:
    try:
        case = with_(changes)
    except FindingsError as error:
        return error
    raise AssertionError(f"accepted: {case!r}")
