"""The table of other postures says what the ruler found, with the plan's own posture among them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from sinewright.app.how_sewn import BEYOND, SEWN, exchange_rows
from sinewright.results import Exchange, Posture


@dataclass
class Plain:
    """Something with the fields that a table reads."""

    fixing: Any = None
    set_stretch_mm: float = 0.0


@dataclass
class Laid:
    """A ruler as far as the table reads it."""

    choice: Plain
    chosen: Plain
    exchange: tuple[Exchange, ...]


def test_postures_run_from_low_to_high_and_say_how_many_legs_go_there() -> None:
    others = (Exchange(-10.0, 15.0, 1.0), Exchange(-5.0, 9.0, 0.74), Exchange(0.0, None, 0.11))
    ruler: Any = Laid(Plain(Posture(-6.0, 0.0, 30.0)), Plain(set_stretch_mm=10.0), others)
    assert exchange_rows(ruler) == [
        ("10° down", "15 mm tighter", "100 of 100 legs"),
        ("6° down", "10 mm tighter", SEWN),
        ("5° down", "9 mm tighter", "74 of 100 legs"),
        ("neutral", BEYOND, "11 of 100 legs"),
    ]


def test_the_posture_of_the_plan_stands_once() -> None:
    ruler: Any = Laid(Plain(Posture(5.0, 0.0, 30.0)), Plain(set_stretch_mm=8.0), (Exchange(5.0, 8.0, 0.9),))
    assert exchange_rows(ruler) == [("5° up", "8 mm tighter", SEWN)]
