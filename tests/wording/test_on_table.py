"""The first line on the table: leave it, or whole millimetres that end inside the interval that makes no difference."""

from __future__ import annotations

import pytest

from sinewright.results import Advice
from sinewright.wording.on_table import change_back_mm, first_line


def advice(low: float | None, high: float | None, lift: float | None = None, rest: float | None = None) -> Advice:
    return Advice(to_planned_rest_mm=rest, to_planned_lift_mm=lift, low_mm=low, high_mm=high)


@pytest.mark.parametrize(
    ("given", "millimetres", "words"),
    [
        (advice(-7.0, 7.0, lift=2.0), 0.0, "leave it"),
        (advice(0.0, 3.0, lift=3.0), 0.0, "leave it"),
        (advice(1.0, 6.0, lift=2.4), 2.0, "tighten 2 mm"),
        (advice(1.0, 6.0, lift=9.0), 6.0, "tighten 6 mm"),
        (advice(1.0, 6.0, lift=-3.0), 1.0, "tighten 1 mm"),
        (advice(-6.0, -2.0, rest=-3.6), -4.0, "slacken 4 mm"),
        (advice(-6.0, -2.0), -2.0, "slacken 2 mm"),
    ],
)
def test_the_change_ends_inside_the_interval(given: Advice, millimetres: float, words: str) -> None:
    assert change_back_mm(given) == millimetres
    assert first_line(given, 12.0).endswith(f": {words}.")


def test_no_interval_gives_no_millimetres() -> None:
    assert change_back_mm(advice(None, None, lift=2.0)) is None
    assert first_line(advice(None, None, lift=2.0), 12.0) == "No change of up to 12 mm would bring it back to the plan."


def test_it_is_never_an_order() -> None:
    for given in (advice(-7.0, 7.0), advice(2.0, 4.0), advice(-4.0, -2.0), advice(None, None)):
        assert first_line(given, 12.0).split()[0] in ("What", "No")
