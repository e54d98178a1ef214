"""Quantities that are jointly normal before the examination, and readings of them: the exact answer, draw by draw."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from sinewright.arrays import Floats
from sinewright.doubt.prior import PriorSampler


@dataclass(frozen=True)
class JointNormal:
    """K quantities in every draw, given the other quantities of that draw: mean (N, K), covariance (N, K, K)."""

    mean: Floats
    covariance: Floats

    def draw(self, sampler: PriorSampler, name: str) -> Floats:
        """One value of each quantity for every draw, (N, K)."""
        root = np.linalg.cholesky(self.covariance)
        z = sampler.stream(name).standard_normal(self.mean.shape)
        out: Floats = self.mean + np.einsum("nij,nj->ni", root, z)
        return out


def before(mean: ArrayLike, sd: ArrayLike, sampler: PriorSampler) -> JointNormal:
    """What is known before any reading: means (K,) and independent spreads (K,), or (N, K) where legs differ."""
    m, s = np.atleast_1d(np.asarray(mean, dtype=np.float64)), np.atleast_1d(np.asarray(sd, dtype=np.float64))
    n, k = sampler.draws, len(m)
    variance = np.broadcast_to(s**2, (n, k))
    return JointNormal(np.tile(m, (n, 1)), variance[:, :, None] * np.eye(k))


def read(
    belief: JointNormal,
    sampler: PriorSampler,
    finding: str,
    found: float,
    error: float,
    offset: Floats | float = 0.0,
    along: ArrayLike = (1.0,),
    unit: str = "deg",
) -> JointNormal:
    """Belief after the reading ``found = along . x + offset + error``; how well each draw agreed is taken down.

    ``along`` (K,) or (N, K) and ``offset`` may differ between draws: they carry what else the reading depends on.
    """
    h = np.broadcast_to(np.asarray(along, dtype=np.float64), belief.mean.shape)
    predicted = np.einsum("ni,ni->n", h, belief.mean) + offset
    spread = np.einsum("nij,nj->ni", belief.covariance, h)
    variance = np.einsum("ni,ni->n", h, spread) + error**2
    sampler.observe(finding, found, predicted, np.sqrt(variance), unit, direct=True)
    if finding in sampler.without:
        return belief
    gain = spread / variance[:, None]
    mean = belief.mean + gain * (found - predicted)[:, None]
    return JointNormal(mean, belief.covariance - gain[:, :, None] * spread[:, None, :])
