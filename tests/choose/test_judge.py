"""The sentence about a computed choice: every limit from both sides, the grave ones as doubtful."""

from __future__ import annotations

import pytest

from sinewright.choose.judge import judge
from sinewright.results import Spread

GOOD = {
    "reach_margin_mm": (12.0, 20.0, 30.0),
    "lift_deg": (-5.0, 2.0, 9.0),
    "share_of_normal": (0.15, 0.3, 0.5),
    "pushdown_deg": (-45.0, -35.0, -25.0),
}


def said(failed: float = 0.0, donor: float = 0.9, past: float = 0.0, **changes: tuple[float, float, float]) -> tuple:  # type: ignore[type-arg]
    ends = {**GOOD, **changes}
    spreads = {k: Spread(low, low, middle, high, high) for k, (low, middle, high) in ends.items()}
    return judge(spreads, failed, donor, past)


def test_a_sound_choice_needs_no_words() -> None:
    assert said() == ("workable", "")


@pytest.mark.parametrize(
    ("changes", "status", "reason"),
    [
        (
            {"reach_margin_mm": (-30.0, -14.4, -1.0)},
            "set aside",
            "The tendon does not reach: 14 mm short in the middle leg.",
        ),
        ({"reach_margin_mm": (-30.0, -6.0, 4.0)}, "doubtful", "The tendon is 6 mm short in the middle leg."),
        ({"reach_margin_mm": (-3.0, 6.0, 14.0)}, "workable", "The tendon may not reach."),
        (
            {"lift_deg": (-40.0, -25.0, -11.0)},
            "set aside",
            "It would not lift the foot: 25° down in the middle leg.",
        ),
        ({"donor": 0.49}, "doubtful", "The donor has about 49 % of its normal strength."),
        ({"share_of_normal": (0.02, 0.09, 0.2)}, "doubtful", "It gives about 9 % of a normal lift."),
        ({"pushdown_deg": (-25.0, -15.0, 5.0)}, "workable", "The calf can push the foot only to 15° down."),
        ({"pushdown_deg": (-5.0, 4.0, 9.0)}, "workable", "The calf can push the foot only to 4° up."),
        ({"past": 14.6}, "workable", "The lowest muscle fibres reach 15 mm beyond the junction."),
        ({"failed": 0.08}, "doubtful", "8 of 100 legs found no balance."),
    ],
)
def test_each_doubt(changes: dict[str, object], status: str, reason: str) -> None:
    assert said(**changes) == (status, reason)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    "changes",
    [
        {"reach_margin_mm": (0.0, 5.0, 9.0)},
        {"lift_deg": (-40.0, -25.0, -10.0), "share_of_normal": (0.1, 0.1, 0.2)},
        {"donor": 0.5},
        {"pushdown_deg": (-30.0, -20.0, -5.0)},
        {"past": 10.0},
        {"failed": 0.05},
    ],
)
def test_exactly_at_a_limit_there_is_no_doubt(changes: dict[str, object]) -> None:
    assert said(**changes) == ("workable", "")  # type: ignore[arg-type]


def test_several_doubts_stand_in_one_sentence() -> None:
    status, reason = said(donor=0.3, past=20.0, reach_margin_mm=(-1.0, 3.0, 9.0))
    assert status == "doubtful"
    assert reason == (
        "The tendon may not reach; the donor has about 30 % of its normal strength; "
        "the lowest muscle fibres reach 20 mm beyond the junction."
    )


def test_what_cannot_reach_is_not_judged_further() -> None:
    assert said(reach_margin_mm=(-30.0, -20.0, -1.0), donor=0.1)[1].count(";") == 0
