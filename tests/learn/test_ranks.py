"""Rank-based calibration of the update: over simulated operations the truth takes every rank equally often.

The truth comes from the solver, not from the table. Reduced size; ``benchmarks/table.py 4000 400`` runs it in full.
Bounds are those of chance at this size (two-sided, 1 in 1000 for each), not chosen by looking at the result.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import binom, chi2

from sinewright.doubt.virtual import draw
from sinewright.learn.beliefs import FEWEST
from sinewright.reference import load

from ..support.simulated_operations import WHAT, Ranks, ranks
from ..virtual_people import example
from .table_people import STEM, prepared

OPERATIONS, BINS = 120, 8
LEGS = 1200  # as many as a session draws when 400 are too few


@pytest.fixture(scope="module")
def found() -> Ranks:
    return ranks(prepared(LEGS), draw(example(STEM), OPERATIONS, 77).legs, 5)


@pytest.mark.parametrize("column", [0, 1], ids=WHAT)
def test_ranks_are_flat_within_chance(found: Ranks, column: int) -> None:
    counts, _ = np.histogram(found.rank[:, column], bins=BINS, range=(0.0, 1.0))
    expected = len(found.rank) / BINS
    assert np.sum((counts - expected) ** 2 / expected) < chi2.ppf(0.999, BINS - 1)


@pytest.mark.parametrize("column", [0, 1], ids=WHAT)
@pytest.mark.parametrize("share", [0.5, 0.9])
def test_printed_intervals_cover_as_often_as_they_say(found: Ranks, column: int, share: float) -> None:
    inside = np.abs(found.rank[:, column] - 0.5) <= 0.5 * share
    low, high = binom.ppf([0.0005, 0.9995], len(inside), share)
    assert low <= inside.sum() <= high


def test_the_effective_number_is_reported_and_too_few_are_refused(found: Ranks) -> None:
    assert len(found.effective_sample_size) == len(found.rank) + found.refused
    assert found.refused <= OPERATIONS // 3
    assert found.refused == np.sum(found.effective_sample_size < load().fit_value(FEWEST))
