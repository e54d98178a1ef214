"""Findings that fight are named, both of them; true findings and rare ones are believed."""

from __future__ import annotations

import pytest

from sinewright.case import changed
from sinewright.doubt.contradiction import Contradiction, held_against_each_other, most_unusual, sentence
from sinewright.doubt.pool import agreeing
from sinewright.errors import DoubtError

from ..virtual_people import EXAMPLES, example


@pytest.mark.parametrize("stem", EXAMPLES)
def test_no_example_contradicts_itself(stem: str) -> None:
    case = example(stem)
    assert held_against_each_other(case, agreeing(case, 250, 1), 1) == ()


def test_two_angles_that_fight_are_both_named() -> None:
    case = changed(example("stiff_calf"), {"range.affected.resting_supine_deg": -10.0})
    with pytest.raises(DoubtError) as told:
        held_against_each_other(case, agreeing(case, 250, 1), 1)
    text = str(told.value)
    assert "resting angle, lying" in text and "resting angle, hanging" in text
    assert "found -10 deg" in text and "Measure these two again" in text


def test_a_rare_limit_is_believed() -> None:
    """An ankle that hardly moves is no contradiction, however rare."""
    gone = dict.fromkeys(
        (
            "active_dorsiflexion_knee_straight_deg", "active_dorsiflexion_knee_bent_deg",
            "active_plantarflexion_down_deg", "resting_hanging_deg", "resting_supine_deg", "resting_hanging_knee_deg",
        )
    )  # fmt: skip
    limits = {
        "dorsiflexion_knee_straight_deg": 3.0, "dorsiflexion_knee_bent_deg": 3.0, "plantarflexion_limit_down_deg": 1.0,
    }  # fmt: skip
    case = changed(example("stiff_calf"), {f"range.affected.{k}": v for k, v in {**gone, **limits}.items()})
    found = most_unusual(case, agreeing(case, 250, 1), 1)
    assert found is None or found.chance > 0.01


def test_a_torque_is_told_in_newton_metres_and_a_lonely_finding_as_such() -> None:
    one = Contradiction("lifting torque", 2.485, 3.2, middle=3.58, high=3.96, unit="ln N.m", chance=0.0004)
    assert "found 12 N.m, the others lead to 35.9 N.m (24.5 to 52.5)" in sentence(one)
    assert "fewer than 1 in 1000" in sentence(one) and "No single other finding explains it" in sentence(one)
