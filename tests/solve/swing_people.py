"""Invented legs and walks for the tests of swing: a palsy with donors of full strength, and a healthy leg."""

from dataclasses import dataclass
from functools import cache

import numpy as np

from sinewright.arrays import Floats
from sinewright.case import parse_case
from sinewright.doubt.virtual import draw
from sinewright.doubt.walk import Drawn, draw_walk
from sinewright.solve import answer as a
from sinewright.solve.leg import Legs
from sinewright.transfer.catalogue import catalogue
from sinewright.transfer.plans import Operations, SewnOperation, build_plans

WHO = """
schema_version = 1
pseudonym = "invented for tests"
invented = true
side = "right"
[person]
sex = "male"
age_years = 35
height_cm = 178
mass_kg = 75
[range.affected]
dorsiflexion_knee_straight_deg = 8
dorsiflexion_knee_bent_deg = 18
plantarflexion_limit_down_deg = 50
"""
DEAD = ("tibialis_anterior", "extensor_hallucis_longus", "extensor_digitorum_longus", "peroneus_tertius",
        "peroneus_longus", "peroneus_brevis")  # fmt: skip
NOTHING = SewnOperation(None, 0.0, 0.0, 0.0, 0.0)
OPERATION = "tibialis_posterior.membrane_under.lateral_cuneiform_dorsum"


@dataclass(frozen=True)
class Ground:
    """Legs, operations, walk, and what the statics say of push-down and hindfoot."""

    legs: Legs
    plans: Operations
    drawn: Drawn
    pushdown: Floats
    rest_subtalar: Floats


CASE_PALSY = parse_case(WHO + "[muscles]\n" + "".join(f'{n}.state = "paralysed"\n' for n in DEAD)
                        + 'tibialis_posterior.grade = "5"\n')  # fmt: skip
CASE_HEALTHY = parse_case(WHO)


@cache
def ground(healthy: bool, count: int, steps: int = 64, speed: float | None = None) -> Ground:
    """``count`` legs with nothing moved (healthy), or with nothing moved and one transfer (palsy)."""
    case = CASE_HEALTHY if healthy else CASE_PALSY
    legs = draw(case, max(count, 60), 5).legs
    legs = Legs(*(part[:count] for part in legs))
    if healthy:
        legs = legs._replace(capacity=np.ones_like(legs.capacity))
    moved = next(o for o in catalogue() if o.id == OPERATION)
    sewn = [NOTHING] if healthy else [NOTHING, SewnOperation(moved, np.radians(8.0), 0.0, np.radians(30.0), 0.004)]
    plans = build_plans(sewn)
    found, _ = a.answer(legs, plans)
    return Ground(
        legs, plans, draw_walk(case, legs, 5, speed, steps), found[:, :, a.PUSH], found[:, :, a.REST_SUBTALAR]
    )
