"""Whether a relaxed foot has more than one place to rest: the search is begun from several sides.

A tight tether beside a soft hindfoot can hold the foot in two ways, and setting it a little tighter may let it snap
from one to the other.
"""

import math

import numpy as np

from sinewright.arrays import Bools, Floats, checked
from sinewright.compiled import compiled
from sinewright.solve.actuators import Operated, set_actuators
from sinewright.solve.answer import BENT
from sinewright.solve.balance import HANGING, Limb, balance
from sinewright.solve.chunks import in_chunks
from sinewright.solve.leg import LEG_SHAPES, Body, Legs, body_of
from sinewright.solve.questions import REST, ask
from sinewright.solve.sewing import Space, new_space, settle, sew
from sinewright.transfer.plans import NATIVE, PLAN_SHAPES, Operations
from sinewright.units import rad

STARTS = np.array([[-0.3, 0.0], [-0.8, 0.35], [-0.8, -0.35], [0.3, 0.35], [0.3, -0.35]])  # ankle and subtalar [rad]
APART = rad(2.0)  # between two rests


@compiled
def _rests_one(operated: Operated, starts: Floats, body: Body, space: Space, out: Floats) -> None:
    """Fill ``out`` (K, 2): ankle and subtalar angle at which the search from each start ends, NaN without balance."""
    moved = set_actuators(operated, space.actuators)
    actuators, donors = space.actuators[: NATIVE + moved], space.donors
    sew(operated, moved, body, space)
    settle(operated, moved, donors)
    ask(REST, 1.0, operated.legs.capacity[operated.leg], donors, actuators)
    for k in range(len(starts)):
        a, s, _, _, bad = balance(starts[k, 0], starts[k, 1], Limb(BENT, HANGING), actuators, body, space.poses)
        out[k, 0], out[k, 1] = (math.nan, math.nan) if bad else (a, s)


@compiled
def _rests_some(
    first: int, last: int, legs: Legs, plans: Operations, elastic: bool, starts: Floats, space: Space, out: Floats
) -> None:
    for leg in range(first, last):
        body = body_of(leg, legs, plans.elements, elastic)
        for plan in range(len(plans.donor)):
            _rests_one(Operated(leg, plan, legs, plans), starts, body, space, out[leg, plan])


def rests(legs: Legs, plans: Operations, elastic: bool = True) -> Floats:
    """Where the relaxed hanging foot comes to rest, the junction settled, from every start.

    Parameters
    ----------
    legs : N virtual legs
    plans : C operations
    elastic : whether tendons stretch

    Returns
    -------
    (N, C, K, 2) ankle and subtalar angle [rad], NaN where no balance was found
    """
    legs, plans = checked(legs, LEG_SHAPES), checked(plans, PLAN_SHAPES)
    out = np.full((len(legs.points), len(plans.donor), len(STARTS), 2), np.nan)

    def some(first: int, last: int) -> None:
        _rests_some(first, last, legs, plans, elastic, STARTS, new_space(), out)

    in_chunks(some, len(out), None)
    return out


def has_two(found: Floats) -> Bools:
    """Whether rests (N, C, K, 2) of one leg and operation lie more than 2 degrees apart, (N, C)."""
    span = np.fmax.reduce(found, axis=2) - np.fmin.reduce(found, axis=2)  # those without balance left out
    return np.asarray(np.any(span > APART, axis=2))
