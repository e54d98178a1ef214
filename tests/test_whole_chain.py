"""Whole-chain calibration at a reduced size; ``benchmarks/chain.py`` runs it in full, by example and by stiffness.

Bounds are those of chance at this size (two-sided, 1 in 1000 for each bound), not chosen by looking at the result.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import binom

from sinewright.transfer.catalogue import catalogue
from sinewright.transfer.plans import SewnOperation
from sinewright.units import m, rad

from .doubt.test_calibration import DONOR, template
from .support.whole_chain import STATIONS, Ways, ways

PATIENTS, DRAWS = 24, 200


@pytest.fixture(scope="module")
def found() -> Ways:
    moved = next(one for one in catalogue() if one.id == f"{DONOR}.membrane_under.lateral_cuneiform_dorsum")
    return ways(template(), DONOR, SewnOperation(moved, rad(8.0), 0.0, rad(30.0), m(5.0)), PATIENTS, DRAWS, seed=7000)


@pytest.mark.slow
@pytest.mark.parametrize("station", range(len(STATIONS)), ids=STATIONS)
@pytest.mark.parametrize("share", [0.5, 0.9])
def test_intervals_hold_the_truth_at_every_station(found: Ways, station: int, share: float) -> None:
    ranks = np.array(found.ranks)[:, station]
    ranks = ranks[np.isfinite(ranks)]
    low, high = binom.ppf([0.0005, 0.9995], len(ranks), share)
    assert low <= np.sum(np.abs(ranks - 0.5) <= 0.5 * share) <= high


@pytest.mark.slow
def test_shares_are_what_happens(found: Ways) -> None:
    said, happened = np.array(found.said), np.array(found.happened)
    spread = float(np.sqrt(np.sum(said * (1.0 - said))))
    assert abs(happened.sum() - said.sum()) < 3.3 * max(spread, 1.0)


@pytest.mark.slow
def test_true_findings_are_not_refused(found: Ways) -> None:
    assert found.refused == []
