"""A quantity and a chance over virtual patients: five percentiles, and a share with its interval."""

from __future__ import annotations

from dataclasses import dataclass, fields
from itertools import pairwise
from math import isfinite
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from numpy import float64
    from numpy.typing import ArrayLike, NDArray

    FloatArray = NDArray[float64]

PERCENTILES = (5.0, 25.0, 50.0, 75.0, 95.0)


def refuse_not_finite(owner: str, name: str, value: float) -> None:
    """Raises ValueError for NaN and infinity."""
    if not isfinite(value):
        raise ValueError(f"{owner}.{name} is {value}: a finite number is needed")


@dataclass(frozen=True)
class Spread:
    """Five percentiles of one quantity over the virtual patients, in the unit of its key.

    Half of the virtual patients lie between `p25` and `p75`, nine-tenths between `p05` and `p95`.
    Raises ValueError for a value that is not finite, or for percentiles that are out of order.
    """

    p05: float
    p25: float
    p50: float
    p75: float
    p95: float

    def __post_init__(self) -> None:
        values = self.as_tuple()
        for each, value in zip(fields(self), values, strict=True):
            refuse_not_finite("Spread", each.name, value)
        if any(low > high for low, high in pairwise(values)):
            raise ValueError(f"Spread percentiles must not fall from p05 to p95, given {values}")

    def as_tuple(self) -> tuple[float, float, float, float, float]:
        """The five percentiles, lowest first."""
        return (self.p05, self.p25, self.p50, self.p75, self.p95)

    def as_dict(self) -> dict[str, float]:
        """The five percentiles by name, lowest first."""
        return {each.name: getattr(self, each.name) for each in fields(self)}

    def overlaps(self, other: Spread) -> bool:
        """True when the nine-tenths intervals share at least one value."""
        return self.p05 <= other.p95 and other.p05 <= self.p95

    @staticmethod
    def of(array: ArrayLike, weights: ArrayLike | None = None) -> Spread:
        """Percentiles of `array`, any shape, in its own unit; `weights` of the same shape are optional.

        Without weights: linear interpolation between order statistics. With weights: linear interpolation
        of the sorted values over their cumulated weight, each value standing at the middle of its own weight.
        Raises ValueError when nothing is given, a value is not finite, or a weight is negative or all are zero.

        >>> Spread.of([0.0, 1.0, 2.0, 3.0, 4.0]).p50
        2.0
        """
        import numpy as np

        values = np.asarray(array, dtype=float).ravel()
        if values.size == 0:
            raise ValueError("a Spread needs at least one value, given none")
        bad = int(np.count_nonzero(~np.isfinite(values)))
        if bad:
            raise ValueError(f"{bad} of {values.size} values are not finite: leave failed draws out and count them")
        if weights is None:
            found = np.percentile(values, PERCENTILES)
        else:
            found = _weighted_percentiles(values, np.asarray(weights, dtype=float).ravel())
        return Spread(*(float(value) for value in np.maximum.accumulate(found)))


def _weighted_percentiles(values: FloatArray, weights: FloatArray) -> FloatArray:
    """Percentiles of `values` (n,) under `weights` (n,); returns (5,)."""
    import numpy as np

    if weights.shape != values.shape:
        raise ValueError(f"{values.size} values need {values.size} weights, given {weights.size}")
    if not np.all(np.isfinite(weights)) or np.any(weights < 0.0) or weights.sum() <= 0.0:
        raise ValueError("weights must be finite, none negative, and not all zero")
    order = np.argsort(values, kind="stable")
    sorted_values, sorted_weights = values[order], weights[order]
    middle = (np.cumsum(sorted_weights) - 0.5 * sorted_weights) / sorted_weights.sum()
    return np.interp(np.asarray(PERCENTILES) / 100.0, middle, sorted_values)


@dataclass(frozen=True)
class Chance:
    """Share of virtual patients in which something happens, with the doubt that comes from their number alone.

    `low` to `high` is Wilson's 95 % interval of a share of `draws`; how right the model is lies not in it.
    """

    share: float
    low: float
    high: float
    draws: int

    def __post_init__(self) -> None:
        if not 0.0 <= self.low <= self.share <= self.high <= 1.0:
            raise ValueError(f"Chance must hold 0 <= low <= share <= high <= 1, given {self}")
        if self.draws < 1:
            raise ValueError(f"Chance.draws is {self.draws}: at least one is needed")

    @staticmethod
    def of(count: int, draws: int) -> Chance:
        """Chance from a count out of `draws`.

        >>> Chance.of(50, 100).low.__round__(3)
        0.404
        """
        z = 1.959964
        share = count / draws
        middle, half = share + z * z / (2 * draws), z * (share * (1 - share) / draws + (z / (2 * draws)) ** 2) ** 0.5
        scale = 1 + z * z / draws
        low, high = max((middle - half) / scale, 0.0), min((middle + half) / scale, 1.0)
        return Chance(share, min(low, share), max(high, share), draws)
