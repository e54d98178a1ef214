"""The pull of a muscle where its tendon goes slack: no jump, or the foot finds no balance at that length."""

from __future__ import annotations

import numpy as np
import pytest

from sinewright.muscle.curves import PASSIVE_SOFT_E, PASSIVE_STIFF_E, PASSIVE_STIFF_K, tendon_force
from sinewright.muscle.equilibrium import BALANCED, TOLERANCE, MuscleTendon, elastic_force

# length of the whole, tendon, effort, fibre, slant, strain of a stiff tendon, passive stretch
STIFF = (0.38837704, 0.36610212, 0.0, 0.02304922, 0.09134282, 0.00442406, PASSIVE_STIFF_E)


def pull(
    whole: float, slack: float, effort: float, l0: float, slant: float, e0: float, e: float
) -> tuple[float, float]:
    """Pull [F0] of the fibre, and of the tendon at the length that the fibre leaves it."""
    force, fibre, status, _ = elastic_force(MuscleTendon(1.0, l0, slack, slant, e0, PASSIVE_STIFF_K, e), whole, effort)
    along = np.sqrt(max(fibre**2 - (l0 * np.sin(slant)) ** 2, 0.0))
    return force, tendon_force((whole - along) / slack, e0) if status == BALANCED else force


def test_a_stiff_tendon_pulls_what_its_fibre_pulls() -> None:
    fibre, tendon = pull(*STIFF)
    assert fibre == pytest.approx(tendon, abs=2.0 * TOLERANCE)


def test_fibre_and_tendon_agree_at_every_length() -> None:
    rng = np.random.default_rng(1)
    for _ in range(20_000):
        l0, slack, e0, slant = (rng.uniform(*ends) for ends in ((0.02, 0.1), (0.05, 0.4), (0.004, 0.08), (0.0, 0.6)))
        whole = slack + l0 * np.cos(slant) * rng.uniform(0.0, 1.3)
        effort, e = rng.uniform(0.0, 1.0) * rng.integers(2), (PASSIVE_STIFF_E, PASSIVE_SOFT_E)[rng.integers(2)]
        fibre, tendon = pull(whole, slack, effort, l0, slant, e0, e)
        assert fibre == pytest.approx(tendon, abs=2.0 * TOLERANCE), (whole, slack, effort, l0, slant, e0, e)


def test_the_pull_of_a_resting_muscle_does_not_jump() -> None:
    lengths = STIFF[0] + np.linspace(-2e-3, 2e-3, 2001)
    forces = np.array([pull(float(length), *STIFF[1:])[0] for length in lengths])
    assert np.diff(forces).max() < 5e-5 and np.diff(forces).min() >= -1e-9
