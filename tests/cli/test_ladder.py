"""The drawing says what the numbers say, at every width, and never runs over the edge."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sinewright.cli.ladder import Axis, axis_for, bar, ladder_lines, tick_line
from sinewright.cli.screen import ASCII, FULL, Screen, to_ascii
from sinewright.results import Spread

from .cli_streams import Stream
from .invented_weighing import ASIDE, DOUBT, FIRST, SECOND, THIRD

ZONE = (0.0, 90.0)
ROWS = [FIRST, SECOND, THIRD, DOUBT]


def drawn(width: int, full: bool = False) -> list[str]:
    screen = Screen(Stream(terminal=full), width, full)
    return [line.plain.rstrip() for line in ladder_lines(ROWS, [ASIDE], screen, ZONE)]


@pytest.mark.parametrize("width", [60, 80, 100, 120, 171, 200])
@pytest.mark.parametrize("full", [False, True])
def test_every_width_holds_every_number_inside_the_edge(width: int, full: bool) -> None:
    lines = drawn(width, full)
    assert max(map(len, lines)) <= width
    page = "\n".join(lines)
    for part in (
        "2 down to 14 up",
        "33 to 11 down",
        "0.8 to 7.6",
        "2 down to 30",
        "5 out to 9 in",
        "11 short to 5 spare",
    ):
        assert part in page
    if not full:
        assert page.isascii()


def test_the_bar_has_its_dot_half_and_nine_tenths_where_they_belong() -> None:
    line = bar(Spread(-10, -5, 0, 5, 10), Axis(-20, 20, 41), ASCII, ZONE).plain
    assert line[10:31] == "-----=====O=====-----"
    assert line[:10] == " " * 10
    assert line[31:] == ":" * 10


def test_neutral_is_marked_unless_the_bar_covers_it() -> None:
    assert bar(Spread(-19, -18, -17, -16, -15), Axis(-20, 20, 41), ASCII, ZONE).plain[20] == "|"


def test_what_lies_beyond_the_axis_gets_an_arrow() -> None:
    line = bar(Spread(-90, -70, -10, 45, 60), Axis(-60, 40, 51), FULL, ZONE).plain
    assert (line[0], line[-1]) == ("◂", "▸")


@given(st.lists(st.floats(-120, 90), min_size=5, max_size=5), st.integers(21, 60))
def test_any_spread_fits_its_track_with_one_dot(values: list[float], width: int) -> None:
    spread = Spread(*sorted(values))
    line = bar(spread, axis_for([spread], width), FULL, ZONE).plain
    assert len(line) == width
    assert line.count("●") == 1


@pytest.mark.parametrize(("low", "high"), [(-20.0, 20.0), (-60.0, 40.0), (-30.0, 20.0)])
def test_tick_labels_stand_apart_and_neutral_is_always_among_them(low: float, high: float) -> None:
    for width in range(21, 46):
        line = tick_line(Axis(low, high, width), ASCII).plain
        assert len(line) == width
        assert "neutral" in line
        assert "down" in line or "up" in line


def test_a_higher_lift_never_stands_further_left() -> None:
    axis = Axis(-40, 20, 33)
    places = [axis.place(value) for value in range(-60, 40)]
    assert places == sorted(places)


def test_doubt_and_rejection_keep_their_reason_beside_the_bar() -> None:
    lines = drawn(120)
    page = "\n".join(lines)
    assert "doubtful: In 8 of 100 virtual patients no resting position was found." in page
    at = next(place for place, line in enumerate(lines) if line == "Set aside")
    assert lines[at + 1].startswith("Great-toe flexor")
    assert "31 mm short of the bone" in lines[at + 1]


def test_columns_that_do_not_fit_are_continued_in_the_same_order() -> None:
    heads = [line for line in drawn(80) if "at rest" in line or "push-down" in line or "reach to" in line]
    joined = " ".join(heads)
    order = [
        joined.index(word)
        for word in ("lift", "at rest", "push-down", "moment at", "of normal", "hindfoot", "reach")
    ]
    assert order == sorted(order)
    assert "The same choices, continued" not in "\n".join(drawn(171))


def test_plain_text_spells_what_ascii_lacks() -> None:
    assert to_ascii("Šantić, Müller–Øster: 5° ≤ x") == "Santic, Muller-Oster: 5 deg <= x"
