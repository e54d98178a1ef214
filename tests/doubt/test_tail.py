"""The shape of a tail: against samples of known shape, and against weights whose variance is known to be infinite."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import genpareto

from sinewright.doubt.tail import pareto_shape, tail_index


@pytest.mark.parametrize("shape", [-0.3, 0.0, 0.3, 0.7, 1.2])
def test_the_shape_of_a_known_tail_is_found(shape: float) -> None:
    found = [pareto_shape(np.sort(genpareto.rvs(shape, size=400, random_state=seed))) for seed in range(20)]
    assert np.mean(found) == pytest.approx(shape, abs=0.06)


def test_the_scale_of_the_tail_does_not_matter() -> None:
    values = np.sort(genpareto.rvs(0.4, size=300, random_state=1))
    assert pareto_shape(1e6 * values) == pytest.approx(pareto_shape(values), abs=1e-9)


@pytest.mark.parametrize("shape", [0.2, 0.5, 0.9])
def test_weights_with_a_tail_of_known_shape(shape: float) -> None:
    """Weights u^-k of uniform u have a tail of shape k."""
    found = [tail_index(-shape * np.log(np.random.default_rng(seed).random(4000))) for seed in range(10)]
    assert np.mean(found) == pytest.approx(shape, abs=0.1)


def test_draws_weighed_to_a_narrower_normal_have_no_tail() -> None:
    x = np.random.default_rng(5).standard_normal(40_000)
    assert tail_index(0.5 * x**2 * (1.0 - 1.0 / 0.8**2)) < 0.1


def test_equal_weights_have_no_tail_and_a_handful_says_nothing() -> None:
    assert tail_index(np.zeros(1000)) == 0.0
    assert tail_index(np.arange(5.0)) == float("inf")
