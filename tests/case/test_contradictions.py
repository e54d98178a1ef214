"""Findings that cannot all be true stop the reading, and the limits of what is still accepted."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from sinewright.reference import load

from .case_helpers import refused_change, with_

RANGE = "range.affected"
UP, DOWN = f"{RANGE}.dorsiflexion_knee_straight_deg", f"{RANGE}.plantarflexion_limit_down_deg"
ACTIVE = f"{RANGE}.active_dorsiflexion_knee_straight_deg"
TP = "muscles.tibialis_posterior"

REFUSED: list[tuple[dict[str, Any], str, str]] = [
    ({UP: -20, DOWN: 15}, DOWN, "at least 20 deg down"),
    ({f"{RANGE}.dorsiflexion_knee_bent_deg": -20, DOWN: 15}, DOWN, "knee bent"),
    (
        {"range.other.dorsiflexion_knee_straight_deg": 3, "range.other.plantarflexion_limit_down_deg": -5},
        "range.other.plantarflexion_limit_down_deg",
        "check both signs",
    ),
    ({UP: -10, ACTIVE: 0}, ACTIVE, "check sign and leg"),
    (
        {DOWN: 20, f"{RANGE}.active_plantarflexion_down_deg": 40},
        f"{RANGE}.active_plantarflexion_down_deg",
        "40 deg",
    ),
    ({f"{TP}.state": "normal", f"{TP}.grade": "3+"}, f"{TP}.grade", '"3+" in a muscle called normal'),
    ({f"{TP}.state": "paralysed", f"{TP}.grade": "1"}, f"{TP}.grade", '"weak" if it contracts'),
    ({f"{TP}.state": "absent", f"{TP}.contraction_felt": True}, f"{TP}.contraction_felt", "absent"),
    ({f"{TP}.state": "paralysed", f"{TP}.force_N": 40}, f"{TP}.force_N", "40 N"),
    ({f"{TP}.state": "absent", f"{TP}.torque_Nm": 4}, f"{TP}.torque_Nm", "4 Nm"),
    ({f"{TP}.fat_grade": "2"}, f"{TP}.fat_grade", "fat_system"),
    (
        {f"{TP}.state": "paralysed", "plan.only_donors": ["tibialis_posterior"]},
        "plan.only_donors",
        "paralysed",
    ),
    ({f"{TP}.state": "absent", "plan.only_donors": ["tibialis_posterior"]}, "plan.only_donors", "absent"),
    (
        {"plan.only_donors": ["soleus"], "plan.exclude_donors": ["soleus"]},
        "plan.only_donors",
        "one of the two",
    ),
    (
        {"history.onset_on": date(2024, 1, 1), "history.onset_months": 9},
        "history.onset_months",
        "keep the date",
    ),
    (
        {"history.onset_on": date(2024, 1, 2), "examined_on": date(2024, 1, 1)},
        "history.onset_on",
        "examined_on",
    ),
]


@pytest.mark.parametrize(("changes", "field", "said"), REFUSED, ids=[f"{e[1]}: {e[2]}" for e in REFUSED])
def test_a_contradiction_is_refused(changes: dict[str, Any], field: str, said: str) -> None:
    error = refused_change(changes)
    assert [problem.field for problem in error.problems] == [field]
    assert said in str(error)


ACCEPTED: list[dict[str, Any]] = [
    {UP: -20, DOWN: 20},
    {UP: -20, DOWN: 45, ACTIVE: -40},
    {f"{TP}.state": "normal", f"{TP}.grade": "4-"},
    {f"{TP}.state": "paralysed", f"{TP}.grade": "0", f"{TP}.force_N": 0, f"{TP}.contraction_felt": False},
    {f"{TP}.state": "recovering", f"{TP}.grade": "1"},
    {f"{TP}.state": "scarred", f"{TP}.grade": "3"},
    {"plan.only_donors": ["peroneus_longus"], "plan.exclude_donors": ["soleus"]},
]


@pytest.mark.parametrize("changes", ACCEPTED)
def test_what_is_possible_is_accepted(changes: dict[str, Any]) -> None:
    case = with_(changes)
    assert case.side == "left"


def test_konor_2012_decides_how_far_active_may_lie_above_passive() -> None:
    """Row me-wb-df-goniometer-mdc-konor2012: up to its upper end a difference is error of the goniometer."""
    error_deg = load().row("me-wb-df-goniometer-mdc-konor2012").high
    assert error_deg == 7.7
    with_({UP: 0, ACTIVE: error_deg})
    refused_change({UP: 0, ACTIVE: error_deg + 0.1})


def test_all_contradictions_come_at_once() -> None:
    error = refused_change({**REFUSED[0][0], **REFUSED[5][0]})
    assert [problem.field for problem in error.problems] == [DOWN, f"{TP}.grade"]
