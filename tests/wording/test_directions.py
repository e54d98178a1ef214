"""No bare sign is ever printed, and zero has its own word."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sinewright.results import QUANTITIES, Posture, Spread
from sinewright.wording.columns import LADDER_COLUMNS
from sinewright.wording.directions import (
    BENT,
    DOWN_UP,
    IN_OUT,
    MOMENT,
    OUT_IN,
    PERCENT,
    REACH,
    STRETCH,
    UP_DOWN,
    VARUS_VALGUS,
    Direction,
    sewn_words,
)

ALL = [UP_DOWN, DOWN_UP, IN_OUT, OUT_IN, VARUS_VALGUS, BENT, MOMENT, PERCENT, REACH, STRETCH]


@pytest.mark.parametrize(
    ("direction", "value", "said"),
    [
        (UP_DOWN, 12.4, "12° up"),
        (UP_DOWN, -8.0, "8° down"),
        (UP_DOWN, -0.4, "neutral"),
        (DOWN_UP, 40.0, "40° down"),
        (DOWN_UP, -5.0, "5° up"),
        (IN_OUT, 3.0, "3° inward"),
        (IN_OUT, -3.0, "3° outward"),
        (OUT_IN, 3.0, "3° outward"),
        (VARUS_VALGUS, -2.0, "2° valgus"),
        (REACH, 9.0, "9 mm spare"),
        (REACH, -3.0, "3 mm short"),
        (REACH, 0.2, "just enough"),
        (MOMENT, 4.24, "4.2 Nm"),
        (MOMENT, -1.0, "1.0 Nm down"),
        (PERCENT, 0.0, "0 %"),
        (STRETCH, -4.0, "4 mm slacker"),
    ],
)
def test_a_number_is_said_with_its_direction(direction: Direction, value: float, said: str) -> None:
    assert direction.one(value) == said


@pytest.mark.parametrize(
    ("direction", "low", "high", "said"),
    [
        (UP_DOWN, 3, 18, "3 to 18 up"),
        (UP_DOWN, -8, 12, "8 down to 12 up"),
        (UP_DOWN, -20, -4, "20 to 4 down"),
        (UP_DOWN, 0, 5, "neutral to 5 up"),
        (UP_DOWN, -5, 0, "5 down to neutral"),
        (UP_DOWN, 0.1, -0.1, "neutral"),
        (IN_OUT, -12, 3, "12 out to 3 in"),
        (MOMENT, 0.8, 7.6, "0.8 to 7.6"),
        (MOMENT, -0.8, 7.6, "0.8 down to 7.6"),
        (REACH, -4, 18, "4 short to 18 spare"),
    ],
)
def test_nine_tenths_are_said_from_low_to_high(direction: Direction, low: float, high: float, said: str) -> None:
    assert direction.between(low, high) == said


@given(st.sampled_from(ALL), st.floats(-200, 200), st.floats(-200, 200))
def test_no_minus_and_no_plus_is_ever_printed(direction: Direction, one: float, other: float) -> None:
    low, high = sorted((one, other))
    for text in (direction.one(one), direction.exact(one), direction.between(low, high)):
        assert text
        assert not re.search(r"(?<!e)[-+−]\d", text)


@given(st.floats(0.6, 200))
def test_the_opposite_number_is_never_said_alike(value: float) -> None:
    for direction in ALL:
        if direction is not MOMENT or value > 0.06:
            assert direction.one(value) != direction.one(-value)


def test_an_echo_keeps_the_digits_that_were_given() -> None:
    assert UP_DOWN.exact(-2.5) == "2.5° down"
    assert BENT.exact(30.0, " deg") == "30 deg bent"


def test_columns_are_quantities_and_the_share_is_printed_in_percent() -> None:
    assert {column.key for column in LADDER_COLUMNS} <= set(QUANTITIES)
    share = next(column for column in LADDER_COLUMNS if column.key == "share_of_normal")
    assert share.cell(Spread(0.01, 0.1, 0.25, 0.3, 0.6), "°") == ("25 %", "1 to 60")
    assert share.cell(None, "°") == ("not computed", "")


def test_a_posture_never_shows_an_angle_without_its_direction() -> None:
    told = sewn_words(-4.0, Posture(ankle_deg=-8.0, subtalar_deg=5.0, knee_deg=30.0))
    assert told == "Set stretch 4 mm slacker; sewn with ankle 8° down, hindfoot 5° inward, knee 30° bent."
