"""Rank-based calibration: over simulated patients the truth takes every rank among the virtual legs equally often.

Reduced size; ``benchmarks/calibration.py`` runs it in full. Bounds are those of chance at this size (two-sided, 1 in
1000 for each bound), not chosen by looking at the result.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import binom, chi2

from sinewright.case import Case, parse_case
from sinewright.transfer.catalogue import catalogue
from sinewright.transfer.plans import SewnOperation
from sinewright.units import m, rad

from ..support.simulated_patients import Ranks, ranks

DONOR, PATIENTS, DRAWS, BINS = "tibialis_posterior", 64, 200, 8
GONE = (
    "tibialis_anterior", "extensor_hallucis_longus", "extensor_digitorum_longus", "peroneus_tertius",
    "peroneus_longus", "peroneus_brevis",
)  # fmt: skip


def template() -> Case:
    """A complete peroneal palsy without an examination."""
    text = 'schema_version = 1\npseudonym = "simulated"\ninvented = true\nside = "right"\n'
    text += '[person]\nsex = "male"\nage_years = 40\nheight_cm = 178\nmass_kg = 80\n'
    text += "".join(f'[muscles.{name}]\nstate = "paralysed"\n' for name in GONE)
    return parse_case(text + f'[muscles.{DONOR}]\nstate = "normal"\n')


@pytest.fixture(scope="module")
def found() -> Ranks:
    moved = next(m for m in catalogue() if m.id == f"{DONOR}.membrane_under.lateral_cuneiform_dorsum")
    plan = SewnOperation(moved, rad(8.0), 0.0, rad(30.0), m(5.0))
    return ranks(template(), DONOR, plan, PATIENTS, DRAWS, seed=1000)


@pytest.mark.parametrize("column", [0, 1], ids=["lift", "rest"])
def test_ranks_are_flat_within_chance(found: Ranks, column: int) -> None:
    counts, _ = np.histogram(found.rank[:, column], bins=BINS, range=(0.0, 1.0))
    expected = PATIENTS / BINS
    assert np.sum((counts - expected) ** 2 / expected) < chi2.ppf(0.999, BINS - 1)


@pytest.mark.parametrize("column", [0, 1], ids=["lift", "rest"])
@pytest.mark.parametrize("share", [0.5, 0.9])
def test_printed_intervals_cover_as_often_as_they_say(found: Ranks, column: int, share: float) -> None:
    inside = np.abs(found.rank[:, column] - 0.5) <= 0.5 * share
    low, high = binom.ppf([0.0005, 0.9995], PATIENTS, share)
    assert low <= inside.sum() <= high


def test_no_true_examination_is_refused_and_enough_legs_speak_for_each(found: Ranks) -> None:
    """The findings, torques of both legs among them, are true by construction."""
    assert found.refused == 0
    assert np.all(found.effective_sample_size >= DRAWS)
