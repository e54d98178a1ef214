"""The five invented cases, each worked out once for all tests of this room."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest

from sinewright.case import read_case
from sinewright.export.planned import Planned, plan_page

EXAMPLES = Path(__file__).parents[2] / "examples"
NAMES = tuple(sorted(path.stem for path in EXAMPLES.glob("*.toml")))
WHEN = datetime(2026, 11, 24, 14, 5, tzinfo=UTC)
_DONE: dict[str, Planned] = {}


def planned_case(name: str) -> Planned:
    """One invented case with its first choice, chosen by hand, from 200 virtual legs."""
    if name not in _DONE:
        _DONE[name] = replace(plan_page(read_case(EXAMPLES / f"{name}.toml"), None, WHEN, draws=200), by_hand=True)
    return _DONE[name]


@pytest.fixture(params=NAMES)
def planned(request: pytest.FixtureRequest) -> Planned:
    """Each of the five cases in turn."""
    return planned_case(request.param)


@pytest.fixture
def right_foot() -> Planned:
    return planned_case("deep_branch_strong_peroneals")


@pytest.fixture
def left_foot() -> Planned:
    return planned_case("borderline_donor")
