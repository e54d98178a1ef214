"""Importance weights of proposed legs, and legs drawn by them."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from sinewright.arrays import Floats, Indices
from sinewright.doubt.prior import LogLikelihood


def log_weights(log_likelihoods: Sequence[LogLikelihood], draws: int) -> Floats:
    """Logarithm (N,) of the weight of each draw under all findings, up to a constant."""
    total = np.zeros(draws)
    for part in log_likelihoods:
        total += part.value
    return total


def normalised(log_weight: Floats) -> Floats:
    """Weights (N,) that add to 1."""
    weight = np.exp(log_weight - log_weight.max())
    out: Floats = weight / weight.sum()
    return out


def systematic(weight: Floats, wanted: int, rng: np.random.Generator) -> Indices:
    """Places (wanted,) drawn by their weight, in rising order: each as often as its weight says, give or take one."""
    places = (rng.random() + np.arange(wanted)) / wanted
    return np.minimum(np.searchsorted(np.cumsum(weight), places), len(weight) - 1)
