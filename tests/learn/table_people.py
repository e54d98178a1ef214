"""An invented patient and operation for the table, small enough for a test."""

from __future__ import annotations

from datetime import datetime, timedelta
from functools import cache

from sinewright.doubt.virtual import draw
from sinewright.learn.entries import TableReading
from sinewright.learn.prepare import Prepared, lay_out
from sinewright.transfer.catalogue import Operation, catalogue
from sinewright.transfer.plans import SewnOperation
from sinewright.units import m, rad

from ..virtual_people import example

STEM = "knee_dislocation_common_peroneal"
CHOICE = "tibialis_posterior.membrane_under.lateral_cuneiform_dorsum"
PLANNED_MM, LEGS = 6.0, 400
START = datetime(2026, 3, 5, 9, 40)


def operation() -> Operation:
    return next(moved for moved in catalogue() if moved.id == CHOICE)


def sewn(set_stretch_mm: float = PLANNED_MM) -> SewnOperation:
    return SewnOperation(operation(), rad(8.0), 0.0, rad(30.0), m(set_stretch_mm))


@cache
def prepared(legs: int = LEGS, seed: int = 1) -> Prepared:
    case = example(STEM)
    return lay_out(case, sewn(), draw(case, legs, seed), True, seed)


def entry(kind: str, value: float, minute: int = 0, knee_deg: float | None = None, limb: str = "lying") -> TableReading:
    return TableReading(kind, value, START + timedelta(minutes=minute), knee_deg, limb)  # type: ignore[arg-type]
