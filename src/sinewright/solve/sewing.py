"""What sewing does to a moved muscle: its length, how much of its activation passes, how much tendon is to spare."""

import math
from typing import Any, NamedTuple, Protocol

import numpy as np
from numpy.typing import NDArray

from sinewright.anatomy.path import POSE_SIZE, bend, length_and_moment_arms, set_pose
from sinewright.arrays import Floats, Ints
from sinewright.compiled import compiled
from sinewright.solve.actuators import DONORS, Actuators, Operated, actuator_rows, path_of
from sinewright.solve.leg import (
    ANKLE_ERROR,
    FRICTION,
    LEARNED,
    SCAR,
    SCARRED_MASS,
    SETTLING_BONE,
    SETTLING_WEAVE,
    STRETCH_ERROR,
    SUBTALAR_ERROR,
    TOE_TAKE_UP,
    Body,
)
from sinewright.transfer.plans import NATIVE

NOTHING_MOVED = 1.0  # m, reach of an operation that moves nothing: never the limit

DONOR = np.dtype([("activation", np.float64), ("offset", np.float64), ("toe_take_up", np.float64)], align=True)
Donors = NDArray[Any]  # (2,) of ``DONOR``


class SewnDonor(Protocol):
    """One moved muscle as sewn: the most it can be activated, offset of its length [m], what the toes take up [m]."""

    activation: float
    offset: float
    toe_take_up: float


class Space(NamedTuple):
    """Working space for one leg and operation in statics: actuators, donors, poses (3, 27), pose of fixing (27)."""

    actuators: Actuators
    donors: Donors
    poses: Floats
    fixing_pose: Floats


def new_space() -> Space:
    """Working space, made once for many legs and operations."""
    return Space(actuator_rows(), np.zeros(DONORS, dtype=DONOR), np.empty((3, POSE_SIZE)), np.empty(POSE_SIZE))


@compiled
def sew(operated: Operated, moved: int, body: Body, space: Space) -> tuple[float, float]:
    """Fill the donors as sewn, before settling.

    Parameters
    ----------
    operated : Operated
    moved : int
        Number of moved muscles.
    body : Body
    space : Space
        Its actuators are read, its donors are filled.

    Returns
    -------
    least, most : float
        Least tendon to spare; how far the lowest fibres of a donor lie past its junction at most [m].
    """
    leg, plan, legs, plans = operated
    pose, losses, execution = space.poses[0], legs.losses[leg], legs.execution[leg]
    set_pose(body.joint, 0.0, 0.0, pose)
    ankle, subtalar = plans.fixing[plan, 0] + execution[ANKLE_ERROR], plans.fixing[plan, 1] + execution[SUBTALAR_ERROR]
    set_pose(body.joint, ankle, subtalar, space.fixing_pose)
    least, most = NOTHING_MOVED, -NOTHING_MOVED
    for p in range(moved):
        muscle, donor = plans.donor[plan, p], space.donors[p]
        stretch = plans.stretch[plan] + execution[STRETCH_ERROR]
        rest, _, _ = path_of(space.actuators[muscle], 0.0, body, pose)
        sewn, _, _ = path_of(space.actuators[NATIVE + p], 0.0, body, space.fixing_pose)
        donor.offset = rest + stretch - sewn
        passes = capstan_share(operated, p, body, pose)
        kept = losses[SCARRED_MASS] if plans.scarred[plan, p] == 1 else 1.0
        donor.activation = legs.capacity[leg, muscle] * losses[SCAR] * losses[LEARNED] * kept * passes
        donor.toe_take_up = losses[TOE_TAKE_UP] * plans.toes[plan, p]
        spare, past = reach_margin(operated, p, body, space)
        least, most = min(least, spare), max(most, past)
    return least, most


@compiled
def settle(operated: Operated, moved: int, donors: Donors) -> None:
    """Take the early settling of each junction off the tension as sewn."""
    for p in range(moved):
        loss = SETTLING_BONE if operated.plans.bone[operated.plan, p] == 1 else SETTLING_WEAVE
        donors[p].offset -= operated.legs.losses[operated.leg, loss]


@compiled
def capstan_share(operated: Operated, part: int, body: Body, pose: Floats) -> float:
    """Share of tension that passes the bends of the new path, against the muscle's own path (capstan equation).

    A straighter path counts as the own one.
    """
    plan, plans = operated.plan, operated.plans
    ends, shares, own = plans.ends[plan, part], plans.shares[plan, part], plans.native[plans.donor[plan, part]]
    before = bend(body.elements, own[0], own[1], body.points, body.cylinders, pose)
    after = 0.0
    for s in range(plans.path_count[plan, part]):
        after += shares[s] * bend(body.elements, ends[s, 0], ends[s, 1], body.points, body.cylinders, pose)
    return math.exp(-operated.legs.losses[operated.leg, FRICTION] * max(after - before, 0.0))


@compiled
def reach_margin(operated: Operated, part: int, body: Body, space: Space) -> tuple[float, float]:
    """Tendon to spare, and how far the lowest fibres lie past the junction (negative: before it) [m].

    To spare: free tendon from the muscle's end to the cut, less the way left from there to the junction, less the
    overlap. The muscle's end lies the set stretch beyond its own resting place. It is found on the native path by the
    free tendon beyond it, measured in the rest pose like everything the set stretch counts from.
    """
    leg, plan, legs, plans = operated
    cut, reach, rest_pose = plans.cut[plan, part], plans.reach[plan, part], space.poses[0]
    stretch = plans.stretch[plan] + legs.execution[leg, STRETCH_ERROR]
    free = _length(cut[0], cut[1], body, rest_pose)
    native = plans.native[plans.donor[plan, part]]
    belly = _until(native, body.elements[cut[1] - 1, 1], body, rest_pose) - free
    way = _length(reach[0], reach[1], body, space.fixing_pose)
    past = belly + stretch - way
    return free + past - plans.overlap[plan, part], past


@compiled
def _length(first: int, last: int, body: Body, pose: Floats) -> float:
    """Length of a path [m]."""
    length, _, _ = length_and_moment_arms(body.elements, first, last, body.points, body.cylinders, body.joint, pose)
    return length


@compiled
def _until(ends: Ints, landmark: int, body: Body, pose: Floats) -> float:
    """Length [m] of a path up to a landmark on it (its whole length when the landmark is its end)."""
    for k in range(ends[0] + 1, ends[1]):
        if body.elements[k, 0] == 0 and body.elements[k, 1] == landmark:
            return _length(ends[0], k + 1, body, pose)
    return _length(ends[0], ends[1], body, pose)
