"""Shares told as counts of a hundred with exact intervals, for people and for small series."""

from __future__ import annotations

from dataclasses import dataclass

SURE = 0.95


@dataclass(frozen=True)
class Hundred:
    """A count of 100 with the exact 95 % interval (Clopper and Pearson 1934)."""

    count: int
    low: int
    high: int

    @property
    def words(self) -> str:
        """``71 of 100 (55 to 83)``."""
        return f"{self.count} of 100 ({self.low} to {self.high})"


def of_hundred(events: float, number: float) -> Hundred:
    """`events` among `number`, as a count of 100; the interval is rounded outwards.

    `number` may be an effective number. Raises ValueError unless 0 <= events <= number and number > 0.

    >>> of_hundred(0, 27).high
    13
    """
    from math import ceil, floor

    from scipy.stats import beta

    if not 0.0 <= events <= number or number <= 0.0:
        raise ValueError(f"{events} of {number} is no share")
    tail = 0.5 * (1.0 - SURE)
    low = float(beta.ppf(tail, events, number - events + 1.0)) if events > 0.0 else 0.0
    high = float(beta.ppf(1.0 - tail, events + 1.0, number - events)) if events < number else 1.0
    return Hundred(round(100.0 * events / number), floor(100.0 * low), ceil(100.0 * high))
