"""A quantity and a chance over virtual legs: five percentiles, and a share with its interval."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields
from itertools import pairwise
from math import isfinite
from typing import Any

from pydantic import Field, WrapSerializer

PERCENTILES = (5.0, 25.0, 50.0, 75.0, 95.0)


def refuse_not_finite(owner: str, name: str, value: float) -> None:
    """Raises ValueError for NaN and infinity."""
    if not isfinite(value):
        raise ValueError(f"{owner}.{name} is {value}: a finite number is needed")


AS_TABLE = WrapSerializer(lambda table, write: write(dict(table)))
"""Writes a read-only table as a table."""


def names(words: Mapping[str, str]) -> Any:
    """The names that may stand in a table, each with its meaning, for the schema."""
    allowed: list[Any] = [{"const": name, "description": told} for name, told in words.items()]
    return Field(json_schema_extra={"propertyNames": {"oneOf": allowed}})


@dataclass(frozen=True)
class Spread:
    """Five percentiles of one quantity over the virtual legs, in the unit of its key.

    Half of the virtual legs lie between `p25` and `p75`, nine-tenths between `p05` and `p95`.
    Raises ValueError for a value that is not finite, or for percentiles that are out of order.
    """

    p05: float
    """one virtual leg in twenty lies below"""
    p25: float
    """a quarter lie below"""
    p50: float
    """the middle"""
    p75: float
    """a quarter lie above"""
    p95: float
    """one virtual leg in twenty lies above"""

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


@dataclass(frozen=True)
class Chance:
    """Share of virtual legs in which something happens, with the doubt that comes from their number alone.

    `low` to `high` is Wilson's 95 % interval of a share among `independent` legs: fewer than the `draws` that were
    counted, since these come from a pool that is itself a draw. How right the model is lies not in it.
    """

    share: float
    """share of the virtual legs [0..1]"""
    low: float
    """lower end of its 95 % interval [0..1]"""
    high: float
    """upper end of its 95 % interval [0..1]"""
    draws: int
    """virtual legs that were counted"""
    independent: float = 0.0
    """independent legs that they are worth"""

    def __post_init__(self) -> None:
        if not 0.0 <= self.low <= self.share <= self.high <= 1.0:
            raise ValueError(f"Chance must hold 0 <= low <= share <= high <= 1, given {self}")
        if self.draws < 1:
            raise ValueError(f"Chance.draws is {self.draws}: at least one is needed")


@dataclass(frozen=True)
class Basis:
    """On how many virtual legs the numbers stand, and how well those speak for all that agree with the examination."""

    legs: int
    """virtual legs that were kept"""
    proposed: int
    """virtual legs that were proposed"""
    effective_sample_size: float
    """equally weighted legs that the proposals are worth under the examination"""
    largest_weight: float
    """share of all weight that the heaviest proposal has [0..1]"""
    tail: float | None = None
    """shape of the tail of the weights, from 0.7 on not to be trusted; null where legs were moved instead of weighed"""
    temperatures: int = 0
    """steps in which legs were moved to the examination; 0 where weighing was enough"""
