"""A printed spread becomes a standard deviation only under the stated rule of its kind."""

from __future__ import annotations

import pytest

from sinewright.reference.spreads import parse_bounds, standard_deviation


@pytest.mark.parametrize(
    ("text", "bounds"),
    [
        ("", None),
        ("5", (5.0, 5.0)),
        ("-57..-36", (-57.0, -36.0)),
        ("0.5..1.0", (0.5, 1.0)),
        ("1e-3", (1e-3, 1e-3)),
    ],
)
def test_values_and_ranges(text: str, bounds: tuple[float, float] | None) -> None:
    assert parse_bounds(text) == bounds


@pytest.mark.parametrize("text", ["five", "1..", "..2", "3..1", "nan", "inf", "1..inf", "1...2..3"])
def test_anything_else_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match=r"."):
        parse_bounds(text)


@pytest.mark.parametrize(
    ("value", "unit", "spread", "kind", "n", "sd"),
    [
        ("48", "mm", "4.5", "sd", 10, 4.5),
        ("10", "deg", "3..5", "sd", 19, 5.0),  # a printed band of SDs: the wider doubt
        ("15", "mm", "2", "se", 9, 6.0),  # 2 * sqrt(9)
        ("15", "mm", "2", "se", None, None),
        ("20", "deg", "19.02..20.98", "ci95", 100, 5.0),  # half width 0.98 = 1.96 * 5 / 10
        ("20", "deg", "19.02..20.98", "ci95", 12, None),  # too few for the normal factor
        ("20", "deg", "19.0..24.0", "ci95", 100, None),  # lopsided: not the interval of a mean
        ("0.9", "1", "0.8..1.0", "ci95", 100, None),  # a ratio or score
        ("90", "%", "80..100", "ci95", 100, None),  # a share
        ("10", "deg", "13.49", "iqr", 20, 10.0),
        ("10", "deg", "3.255..16.745", "iqr", 20, 10.0),
        ("10", "deg", "8..20", "iqr", 20, None),
        ("300", "kPa", "16", "cv", 27, 48.0),
        ("225", "kPa", "0.18", "cv", None, 40.5),
        ("225", "kPa", "1.5", "cv", None, None),  # share or per cent? not guessed
        ("80", "deg", "68..88", "range", 46, None),
        ("80", "deg", "4", "", 46, None),
        ("80", "deg", "", "sd", 46, None),
    ],
)
def test_rule_of_each_kind(value: str, unit: str, spread: str, kind: str, n: int | None, sd: float | None) -> None:
    got = standard_deviation(parse_bounds(value), unit, parse_bounds(spread), kind, n)
    assert got == (None if sd is None else pytest.approx(sd, rel=1e-12))
