"""The door to a count, a quantile and an interval: against SciPy, against hand counts, with origins kept."""

from __future__ import annotations

import ast
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.special import ndtr
from scipy.stats import binomtest

from sinewright.doubt.sample import Sample, chance_of, kish, quantile, spread_of, wilson
from sinewright.doubt.weights import normalised, systematic
from sinewright.results import Chance, Spread

SRC = Path(__file__).parents[2] / "src" / "sinewright"
COUNTING = ("choose", "learn", "protect", "export", "cli", "app", "service", "store", "plan.py")
FORBIDDEN = {"percentile", "nanpercentile", "quantile", "nanquantile", "median", "nanmedian", "average"}
# healing curves are draws of their own, not legs
OWN_DRAWS = {"protect/healing.py", "protect/stages.py"}


def test_spread_of_equal_steps_is_read_off_the_line() -> None:
    assert spread_of(np.arange(101.0)) == Spread(5.0, 25.0, 50.0, 75.0, 95.0)


def test_equal_weights_agree_with_no_weights_within_one_step() -> None:
    values = np.random.default_rng(3).normal(size=2001)
    plain, weighted = spread_of(values), spread_of(values, np.ones_like(values))
    assert np.allclose(plain.as_tuple(), weighted.as_tuple(), atol=5e-3)


def test_weight_zero_takes_a_value_out() -> None:
    assert spread_of([1.0, 1.0, 99.0], [1.0, 1.0, 0.0]).p50 == pytest.approx(1.0)
    assert spread_of([4.0], [2.0]) == Spread(4.0, 4.0, 4.0, 4.0, 4.0)


@given(st.lists(st.floats(-1e6, 1e6), min_size=1, max_size=60))
def test_spread_never_falls_and_stays_inside_the_values(values: list[float]) -> None:
    found = spread_of(values)
    assert list(found.as_tuple()) == sorted(found.as_tuple())
    assert min(values) <= found.p05 and found.p95 <= max(values)


@pytest.mark.parametrize("values", [[], [1.0, float("nan")], [float("inf")]])
def test_spread_refuses_nothing_and_what_is_not_finite(values: list[float]) -> None:
    with pytest.raises(ValueError, match="at least one value|not finite"):
        spread_of(values)


@pytest.mark.parametrize("weights", [[1.0], [-1.0, 2.0], [0.0, 0.0], [float("nan"), 1.0]])
def test_spread_refuses_weights_that_cannot_be_weights(weights: list[float]) -> None:
    with pytest.raises(ValueError, match="weights"):
        spread_of([1.0, 2.0], weights)


@pytest.mark.parametrize(("count", "legs"), [(0, 100), (100, 100), (37, 100), (1, 3), (799, 1000)])
def test_interval_of_a_whole_count_is_that_of_scipy(count: int, legs: int) -> None:
    chance = chance_of(count, legs)
    found = binomtest(count, legs).proportion_ci(0.95, method="wilson")
    assert (chance.low, chance.high) == pytest.approx((found.low, found.high), abs=1e-7)
    assert chance.share == count / legs


@given(st.floats(0.0, 1.0), st.floats(0.5, 1e5), st.floats(1.0, 10.0))
def test_more_legs_never_widen_the_interval(share: float, number: float, more: float) -> None:
    low, high = wilson(share, number)
    closer_low, closer_high = wilson(share, number * more)
    assert low <= share + 1e-12 and share <= high + 1e-12
    assert closer_high - closer_low <= high - low + 1e-12


def test_a_chance_counts_only_the_legs_that_are_asked() -> None:
    sample = Sample(np.arange(6), 60, 3.0)
    holds, among = np.array([1, 1, 0, 0, 1, 1], dtype=bool), np.array([1, 1, 1, 1, 0, 0], dtype=bool)
    found = sample.chance(holds, among)
    assert (found.share, found.draws) == (0.5, 4)
    assert found.independent == pytest.approx(1.0 / (1.0 / 4.0 + 1.0 / (3.0 * 4.0 / 6.0)))
    assert (found.low, found.high) == pytest.approx(wilson(0.5, found.independent))


def test_weights_count_as_weights_and_copies_as_one() -> None:
    weight = np.array([0.5, 0.25, 0.25])
    apart, copies = Sample(np.arange(3), 3, 3.0, weight), Sample(np.array([0, 1, 1]), 3, 3.0, weight)
    holds = np.array([True, False, False])
    assert apart.chance(holds).share == copies.chance(holds).share == pytest.approx(0.5)
    assert apart.chance(holds).independent == pytest.approx(1.0 / (1.0 / kish(weight) + 1.0 / 3.0))
    assert copies.chance(holds).independent == pytest.approx(1.0 / (1.0 / 2.0 + 1.0 / 3.0))


def test_intervals_of_legs_drawn_from_a_weighted_pool_cover_as_often_as_they_say() -> None:
    """A pool of proposals, weights, legs drawn by them: the interval holds the known share in 93 to 98 of 100."""
    rng, inside, trials, target = np.random.default_rng(11), 0, 1500, 0.0
    for _ in range(trials):
        x = 1.5 * rng.standard_normal(3000)
        weight = normalised(-0.5 * (x - 1.0) ** 2 + 0.5 * (x / 1.5) ** 2)
        origin = systematic(weight, 500, rng)
        chance = Sample(origin, 3000, kish(weight)).chance(x[origin] > target)
        inside += chance.low <= float(ndtr(1.0)) <= chance.high
    assert 0.93 < inside / trials < 0.985


def test_origins_go_with_the_legs() -> None:
    sample = Sample(np.array([4, 4, 9, 2]), 20, 3.0)
    assert sample.distinct == 3
    some = sample.take(np.array([0, 1]))
    assert (list(some.origin), some.distinct, len(some), some.pool) == ([4, 4], 1, 2, 20)


@given(st.lists(st.integers(1, 5), min_size=1, max_size=30), st.sampled_from([0.05, 0.25, 0.5, 0.95]))
def test_a_weighted_quantile_is_that_of_the_values_written_out(times: list[int], share: float) -> None:
    values = np.arange(float(len(times)))
    written = np.repeat(values, times)
    found = float(quantile(values, share, np.array(times, dtype=float)))
    assert found in (
        float(np.quantile(written, min(share + nudge, 1.0), method="inverted_cdf")) for nudge in (-1e-9, 0.0, 1e-9)
    )


def test_a_chance_out_of_order_is_refused() -> None:
    with pytest.raises(ValueError, match="low <= share"):
        Chance(0.5, 0.6, 0.7, 10)


def _files() -> list[Path]:
    found = ([SRC / room] if room.endswith(".py") else sorted((SRC / room).rglob("*.py")) for room in COUNTING)
    return [path for paths in found for path in paths]


@pytest.mark.parametrize("path", _files(), ids=lambda path: str(path.relative_to(SRC)))
def test_no_room_counts_legs_by_itself(path: Path) -> None:
    """Quantiles and intervals over legs are made in ``doubt.sample``, which knows origins and weights."""
    if str(path.relative_to(SRC)) in OWN_DRAWS:
        return
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name) and node.value.id == "np":
            assert node.attr not in FORBIDDEN, f"line {node.lineno}: np.{node.attr}"
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
            assert node.func.id != "Chance", f"line {node.lineno}: a Chance that doubt.sample did not make"
