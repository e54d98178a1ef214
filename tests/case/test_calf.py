"""Which calf procedure an operation is weighed with: the plan's word, else the equinus test, never on a weak calf."""

from __future__ import annotations

from typing import Any

import pytest

from sinewright.case import calf_procedure, changed, parse_case, weak_calf

STRAIGHT, BENT = "range.affected.dorsiflexion_knee_straight_deg", "range.affected.dorsiflexion_knee_bent_deg"
LEG = parse_case('schema_version = 1\npseudonym = "ZZ-1"\ninvented = true\nside = "right"\n')


@pytest.mark.parametrize(
    ("straight", "bent", "procedure"),
    [
        (12, 20, "none"),
        (6, 14, "none"),
        (5, 13, "gastrocnemius recession"),
        (-8, 6, "gastrocnemius recession"),
        (3, 7, "none"),  # what it would gain is less than a goniometer tells
        (-8, 2, "achilles lengthening"),
        (-14, -6, "achilles lengthening"),
        (1, 4, "none"),
        (-10, None, "none"),
        (None, 10, "none"),
    ],
)
def test_where_the_plan_is_silent_the_calf_says_what_it_needs(
    straight: float | None, bent: float | None, procedure: str
) -> None:
    assert calf_procedure(changed(LEG, {STRAIGHT: straight, BENT: bent})) == procedure


@pytest.mark.parametrize("planned", ["none", "gastrocnemius recession", "achilles lengthening"])
def test_the_plan_has_the_last_word(planned: str) -> None:
    assert calf_procedure(changed(LEG, {STRAIGHT: -8, BENT: 6, "plan.calf_procedure": planned})) == planned


@pytest.mark.parametrize(
    ("grades", "weak"),
    [
        ({"soleus": "4-"}, True),
        ({"soleus": "4"}, False),
        ({"gastrocnemius_medial": "3"}, False),
        ({"gastrocnemius_medial": "3", "gastrocnemius_lateral": "4-"}, True),
    ],
)
def test_a_weak_calf_is_not_lengthened_unless_the_plan_says_so(grades: dict[str, str], weak: bool) -> None:
    changes: dict[str, Any] = {f"muscles.{name}.grade": grade for name, grade in grades.items()}
    case = changed(LEG, changes | {STRAIGHT: -8, BENT: 6})
    assert weak_calf(case) is weak
    assert (calf_procedure(case) == "none") is weak
    paralysed = changed(LEG, {"muscles.soleus.state": "paralysed", STRAIGHT: -8, BENT: 6})
    assert calf_procedure(paralysed) == "none"
