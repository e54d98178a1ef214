"""Invented cases and what is kept beside them."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from sinewright.case import Case, changed, parse_case, read_case
from sinewright.store.records import Plan, Visit, record_from

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))
SMALL = parse_case('schema_version = 1\npseudonym = "AB-1"\nside = "right"\ninvented = true\n')
PLAN = Plan(program_version="0.1.0", seed=7, draws=100, data_digest="a" * 64, result={"choices": [1, 2.5, None]})


def full() -> Case:
    """A case with every section filled."""
    return read_case(EXAMPLES[0])


def small(**edits: Any) -> Case:
    """The smallest case, with entries by path (dots written as double underscores)."""
    return changed(SMALL, {path.replace("__", "."): value for path, value in edits.items()})


def visit(day: str, angle_deg: float) -> Visit:
    """A visit with a resting angle."""
    return record_from(Visit, {"on": day, "range": {"resting_hanging_deg": angle_deg}})
