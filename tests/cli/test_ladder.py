"""The drawing says what the numbers say, at every width, and never runs over the edge."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sinewright.cli.ladder import TextAxis, aside_lines, axis_for, bar, ladder_lines, posture_lines, tick_line
from sinewright.cli.screen import ASCII, FULL, Screen, to_ascii
from sinewright.results import Outcome, Posture, Spread
from sinewright.wording.columns import LADDER_COLUMNS
from sinewright.wording.standing import Worths

from .cli_streams import Stream
from .invented_weighing import ASIDE, DOUBT, FIRST, SECOND, THIRD, WEIGHING, choice

ZONE = (0.0, 90.0)
WORTHS = Worths.of(WEIGHING)
ROWS = [FIRST, SECOND, THIRD, DOUBT]


def drawn(width: int, full: bool = False) -> list[str]:
    screen = Screen(Stream(terminal=full), width, full)
    return [line.plain.rstrip() for line in ladder_lines(ROWS, screen, ZONE, WORTHS)]


@pytest.mark.parametrize("width", [60, 80, 100, 120, 171, 200])
@pytest.mark.parametrize("full", [False, True])
def test_every_width_holds_every_number_inside_the_edge(width: int, full: bool) -> None:
    lines = drawn(width, full)
    assert max(map(len, lines)) <= width
    page = " ".join(" ".join(lines).split())
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
    line = bar(Spread(-10, -5, 0, 5, 10), TextAxis(-20, 20, 41), ASCII, ZONE).plain
    assert line[10:31] == "-----=====O=====-----"
    assert line[:10] == " " * 10
    assert line[31:] == ":" * 10


def test_neutral_is_marked_unless_the_bar_covers_it() -> None:
    assert bar(Spread(-19, -18, -17, -16, -15), TextAxis(-20, 20, 41), ASCII, ZONE).plain[20] == "|"


def test_what_lies_beyond_the_axis_gets_an_arrow() -> None:
    line = bar(Spread(-90, -70, -10, 45, 60), TextAxis(-60, 40, 51), FULL, ZONE).plain
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
        line = tick_line(TextAxis(low, high, width), ASCII).plain
        assert len(line) == width
        assert "neutral" in line
        assert "down" in line or "up" in line


def test_a_higher_lift_never_stands_further_left() -> None:
    axis = TextAxis(-40, 20, 33)
    places = [axis.place(value) for value in range(-60, 40)]
    assert places == sorted(places)


def test_doubt_keeps_its_reason_and_the_share_without_solution_under_the_bar() -> None:
    page = " ".join(" ".join(drawn(120)).split())
    assert "doubtful: In 8 of 100 virtual legs no resting position was found." in page
    assert "no solution in 8.0 % of the virtual legs, left out" in page


def test_one_reason_stands_once_over_all_it_holds_for(plain: Screen) -> None:
    twin = replace(ASIDE, choice=replace(ASIDE.choice, id="f", subtitle="third ray"))
    lines = [line.plain for line in aside_lines([ASIDE, twin], plain)]
    assert lines == [
        "- The tendon ends 31 mm short of the bone in half of the virtual legs.",
        "    Great-toe flexor: medial cuneiform",
        "    Great-toe flexor: third ray",
    ]


def test_the_posture_is_said_once_when_all_share_it_and_for_each_when_not(plain: Screen) -> None:
    told = [line.plain for line in posture_lines(ROWS, plain)]
    assert told == ["All sewn with ankle 10 deg up, hindfoot 2 deg outward, knee 30 deg bent."]
    other = replace(FIRST, choice=replace(FIRST.choice, fixing=Posture(0.0, 0.0, 0.0)))
    told = [line.plain for line in posture_lines([other, SECOND], plain)]
    assert told[0] == f"{FIRST.choice.title}: sewn with ankle neutral, hindfoot straight, knee straight."
    assert len(told) == 2


def test_what_does_not_fit_is_told_in_words_in_the_same_order() -> None:
    labels = [column.label for column in LADDER_COLUMNS]
    for width in (60, 80, 120, 200):
        lines = drawn(width)
        heads = " ".join(" ".join(line.split()) for line in lines[:3])
        told = " ".join(" ".join(lines).split())
        beside = [column for column in LADDER_COLUMNS if column.heading[0] in heads]
        assert beside == list(LADDER_COLUMNS[: len(beside)])
        assert beside
        places = [told.find(f"{label} ", len(heads)) for label in labels[len(beside) :]]
        assert places == sorted(places)
        assert -1 not in places
    assert len([column for column in LADDER_COLUMNS if column.heading[0] in " ".join(drawn(200)[:2])]) >= 7


def test_a_choice_without_a_lift_has_its_reason_and_no_bar() -> None:
    brace = Outcome(choice("brace", "Brace only", ""), "workable", "It clears the toes while it is worn.")
    screen = Screen(Stream(False), 100, full=False)
    lines = [line.plain.rstrip() for line in ladder_lines([FIRST, brace], screen, ZONE, WORTHS)]
    assert lines[-3:] == ["  Brace only", "  workable: It clears the toes while it is worn.", "  id brace"]


def test_plain_text_spells_what_ascii_lacks() -> None:
    assert to_ascii("Šantić, Müller–Øster: 5° ≤ x") == "Santic, Muller-Oster: 5 deg <= x"
