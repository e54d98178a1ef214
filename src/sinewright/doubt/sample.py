"""The one door to a count, a quantile or an interval: legs that know where they come from and what they weigh.

Virtual legs are drawn from a pool of proposals with replacement, so that copies of one proposal are no new legs. A
`Sample` keeps the place of each leg in its pool and goes with the legs wherever they go; shares, quantiles and
intervals over legs are made here and nowhere else.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike

from sinewright.arrays import Bools, Floats, Indices
from sinewright.results import PERCENTILES, Basis, Chance, Spread

SURE = 1.959964  # standard errors either side: 95 % of a normal


@dataclass(frozen=True)
class Sample:
    """Where some virtual legs come from and what they weigh.

    Parameters
    ----------
    origin : (N,) place of each leg in the pool; copies share it
    pool : number of proposals
    effective_sample_size : of the weights of the pool (Kish); for legs that were moved, what they are worth
    weight : (N,) weight of each leg; None where all weigh the same
    largest : share of all weight that the heaviest proposal has
    tail : shape k of the tail of the weights; None for legs that were moved
    temperatures : steps in which the legs were brought to the examination; 0 where they were drawn from the pool
    seed : of the draws
    """

    origin: Indices
    pool: int
    effective_sample_size: float
    weight: Floats | None = None
    largest: float = 0.0
    tail: float | None = None
    temperatures: int = 0
    seed: int = 0

    @staticmethod
    def independent(legs: int) -> Sample:
        """Legs that were drawn one by one, each for itself."""
        return Sample(np.arange(legs), legs, float(legs))

    def __len__(self) -> int:
        return len(self.origin)

    @property
    def distinct(self) -> int:
        """How many different proposals are among the legs."""
        return int(np.unique(self.origin).size)

    def basis(self) -> Basis:
        """How well the legs speak, as it is printed."""
        tail = self.tail if self.tail is not None and np.isfinite(self.tail) else None
        return Basis(
            len(self), self.pool, self.effective_sample_size, self.largest, tail=tail, temperatures=self.temperatures
        )

    def take(self, index: Indices | slice) -> Sample:
        """The sample of some of the legs, by their places."""
        weight = None if self.weight is None else self.weight[index]
        return replace(self, origin=self.origin[index], weight=weight)

    def joined(self, other: Sample) -> Sample:
        """These legs and those of another pool together, all of the same weight."""
        assert self.weight is None and other.weight is None
        return Sample(
            np.concatenate([self.origin, self.pool + other.origin]),
            self.pool + other.pool,
            self.effective_sample_size + other.effective_sample_size,
            largest=max(self.largest * len(self), other.largest * len(other)) / (len(self) + len(other)),
            tail=None if self.tail is None or other.tail is None else max(self.tail, other.tail),
            temperatures=max(self.temperatures, other.temperatures),
            seed=self.seed,
        )

    def chance(self, holds: Bools, among: Bools | None = None) -> Chance:
        """Share of the legs in which something holds, with the interval of counting them.

        The interval is Wilson's for n = 1/(1/legs + 1/effective) independent legs: the legs are a draw from a pool
        that is itself a draw.

        Parameters
        ----------
        holds : (N,) whether it holds in each leg
        among : (N,) the legs that are counted at all; None for all of them
        """
        counted = np.ones(len(holds), dtype=np.bool_) if among is None else among
        legs = int(np.count_nonzero(counted))
        if self.weight is None:
            share = float(np.count_nonzero(holds & counted) / legs)
        else:
            weight = self.weight[counted]
            share = float(np.clip(weight @ holds[counted] / weight.sum(), 0.0, 1.0))
        low, high = wilson(share, self.number(counted))
        return Chance(share, min(low, share), max(high, share), legs, self.number(counted))

    def number(self, counted: Bools | None = None) -> float:
        """How many independent legs stand behind a share of the legs, or of those that are counted."""
        some = np.ones(len(self), dtype=np.bool_) if counted is None else counted
        legs = float(np.count_nonzero(some))
        if self.weight is not None:
            legs = kish(np.bincount(self.origin[some], weights=self.weight[some]).astype(np.float64))
        behind = self.effective_sample_size * float(np.count_nonzero(some)) / len(self)
        return 1.0 / (1.0 / legs + 1.0 / behind)

    def spread(self, values: Floats, among: Bools | None = None) -> Spread:
        """Percentiles of a quantity (N,) over the legs, or over those that are counted."""
        some = slice(None) if among is None else among
        return spread_of(values[some], None if self.weight is None else self.weight[some])


def kish(weight: Floats) -> float:
    """Effective sample size of weights: how many equal ones would say as much (Kish 1965)."""
    return float(weight.sum() ** 2 / np.sum(weight**2))


def chance_of(count: int, legs: int) -> Chance:
    """A count among independent legs with Wilson's interval (1927).

    >>> round(chance_of(50, 100).low, 3)
    0.404
    """
    share = count / legs
    low, high = wilson(share, legs)
    return Chance(share, min(low, share), max(high, share), legs, float(legs))


def wilson(share: float, number: float) -> tuple[float, float]:
    """Wilson's 95 % interval of a share among ``number`` independent trials, which need not be whole.

    For whole numbers the interval of ``scipy.stats.binomtest``, which takes no others.
    """
    z = SURE
    middle = share + z * z / (2 * number)
    half = z * (share * (1 - share) / number + (z / (2 * number)) ** 2) ** 0.5
    scale = 1 + z * z / number
    return max((middle - half) / scale, 0.0), min((middle + half) / scale, 1.0)


def spread_of(values: ArrayLike, weights: ArrayLike | None = None) -> Spread:
    """Percentiles of values of any shape in their own unit; ``weights`` of the same shape are optional.

    Without weights: linear interpolation between order statistics. With weights: the smallest value up to which the
    share of the weight lies (``quantile``).
    Raises ValueError when nothing is given, a value is not finite, or a weight is negative or all are zero.

    >>> spread_of([0.0, 1.0, 2.0, 3.0, 4.0]).p50
    2.0
    """
    given = np.asarray(values, dtype=float).ravel()
    if given.size == 0:
        raise ValueError("a Spread needs at least one value, given none")
    bad = int(np.count_nonzero(~np.isfinite(given)))
    if bad:
        raise ValueError(f"{bad} of {given.size} values are not finite: leave failed draws out and count them")
    if weights is None:
        found = np.percentile(given, PERCENTILES)
    else:
        weighing = _checked(given, np.asarray(weights, dtype=float).ravel())
        found = quantile(given, np.array(PERCENTILES) / 100.0, weighing)
    return Spread(*(float(value) for value in np.maximum.accumulate(found)))


def _checked(values: Floats, weights: Floats) -> Floats:
    """Weights (n,) that can weigh ``values`` (n,)."""
    if weights.shape != values.shape:
        raise ValueError(f"{values.size} values need {values.size} weights, given {weights.size}")
    if not np.all(np.isfinite(weights)) or np.any(weights < 0.0) or weights.sum() <= 0.0:
        raise ValueError("weights must be finite, none negative, and not all zero")
    return weights


def quantile(values: Floats, share: ArrayLike, weights: Floats) -> Floats:
    """Smallest of some values (N,) that the given share of their weight (N,) does not exceed, for each share."""
    return np.asarray(np.quantile(values, np.asarray(share, dtype=np.float64), weights=weights, method="inverted_cdf"))


def middle(values: Floats) -> Floats:
    """The middle leg: median of (N, ...) over legs that weigh the same."""
    return np.asarray(np.median(values, axis=0))
