"""Shares told as counts of a hundred with their interval, for people and for small series."""

from __future__ import annotations

from dataclasses import dataclass

from sinewright.doubt.sample import chance_of
from sinewright.results import Chance
from sinewright.wording.counts import hundred


@dataclass(frozen=True)
class Hundred:
    """A count of 100 with its 95 % interval (Wilson 1927), the same on every screen and page."""

    count: int
    low: int
    high: int

    @property
    def words(self) -> str:
        """``71 of 100 (55 to 83)``."""
        return f"{self.count} of 100 ({self.low} to {self.high})"


def as_hundred(chance: Chance) -> Hundred:
    """A chance over virtual legs as a count of 100."""
    return Hundred(*hundred(chance))


def of_hundred(events: float, number: float) -> Hundred:
    """Printed `events` among `number` people, as a count of 100.

    Raises ValueError unless both are whole, 0 <= events <= number and number > 0.

    >>> of_hundred(0, 27).high
    12
    """
    if not 0.0 <= events <= number or number <= 0.0 or events % 1.0 or number % 1.0:
        raise ValueError(f"{events} of {number} is no share")
    return as_hundred(chance_of(int(events), int(number)))
