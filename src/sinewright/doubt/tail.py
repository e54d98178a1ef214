"""How heavy the tail of importance weights is: shape of a generalised Pareto distribution.

Below 0.5 the weights have a variance, from 0.7 on no number that they give is to be trusted (Vehtari and others 2024).
The shape is fitted by the quick method of Zhang and Stephens (2009).
"""

from __future__ import annotations

import numpy as np
from scipy.special import softmax

from sinewright.arrays import Floats

FEWEST_IN_TAIL = 5
PRIOR_WEIGHT, PRIOR_SHAPE = 10.0, 0.5  # ten made-up values of a shape of a half steady the fit of a short tail


def tail_index(log_weight: Floats) -> float:
    """Shape k of the tail of weights.

    Parameters
    ----------
    log_weight : (N,) logarithms of the weights, up to a constant

    Returns
    -------
    k; 0 where all large weights are alike, infinity where they are too few to say anything
    """
    count = int(min(0.2 * len(log_weight), 3.0 * np.sqrt(len(log_weight))))
    if count < FEWEST_IN_TAIL:
        return float("inf")
    weight = np.exp(np.sort(log_weight)[-count - 1 :] - np.max(log_weight))
    excess = weight[1:] - weight[0]
    if not excess[-1] > 0.0:
        return 0.0
    return pareto_shape(np.maximum(excess, 1e-300))


def pareto_shape(excess: Floats) -> float:
    """Shape of a generalised Pareto distribution fitted to excesses (n,) > 0 in rising order.

    The posterior mean of Zhang and Stephens, Technometrics 51 (2009) 316-325, drawn towards a half in short tails.
    """
    n = len(excess)
    grid = 30 + int(np.sqrt(n))
    scale = 1.0 - np.sqrt(grid / (np.arange(1.0, grid + 1.0) - 0.5))
    theta = scale / (3.0 * excess[int(n / 4.0 + 0.5) - 1]) + 1.0 / excess[-1]
    shape = np.log1p(-theta[:, None] * excess).mean(axis=1)
    likelihood = n * (np.log(-theta / shape) - shape - 1.0)
    best = float(theta @ softmax(likelihood))
    found = float(np.log1p(-best * excess).mean())
    return (n * found + PRIOR_WEIGHT * PRIOR_SHAPE) / (n + PRIOR_WEIGHT)
