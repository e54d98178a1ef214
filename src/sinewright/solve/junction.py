"""What a sewn junction carries: foot held in a posture, foot held up by the donor alone, foot lifted with full effort.

Losses that only weaken the pull (scar, learning) are left out: the junction must stand what the muscle can do. Of two
moved muscles the larger tension counts; of a split tendon the whole.
"""

import math

import numpy as np

from sinewright.anatomy.path import set_pose
from sinewright.arrays import Floats, checked
from sinewright.compiled import compiled
from sinewright.muscle.equilibrium import muscle_of
from sinewright.solve.actuators import Actuators, Operated, muscle_tension, path_of, set_actuators
from sinewright.solve.answer import DROPPED, STRAIGHT
from sinewright.solve.balance import HANGING, LYING, Limb, balance, moments
from sinewright.solve.leg import LEARNED, LEG_SHAPES, SCAR, Body, Legs, body_of
from sinewright.solve.questions import LIFT, REST, ask, junction_tension
from sinewright.solve.sewing import Donors, Space, new_space, settle, sew
from sinewright.transfer.plans import NATIVE, PLAN_SHAPES, Operations

HELD, CARRIED, LIFTED = 0, 1, 2
HALVINGS = 40


@compiled
def _donors_at(
    gain: float, ankle: float, donors: Donors, actuators: Actuators, body: Body, pose: Floats
) -> tuple[float, float]:
    """Moment about the ankle [N.m] and largest tension [N] of the moved muscles at a gain, hindfoot straight."""
    set_pose(body.joint, ankle, 0.0, pose)
    moment = most = 0.0
    for p in range(len(actuators) - NATIVE):
        actuator = actuators[NATIVE + p]
        length, arm, _ = path_of(actuator, 0.0, body, pose)
        force, _ = muscle_tension(muscle_of(actuator.muscle), gain * donors[p].activation, length, body.elastic)
        if math.isnan(force):
            return force, force
        moment += force * arm
        most = max(most, force)
    return moment, most


@compiled
def _carry(ankle: float, knee: float, extra: float, actuators: Actuators, body: Body, space: Space) -> float:
    """Tension [N] with which the donors alone hold the hanging foot at an angle [rad] against ``extra`` [N.m] besides
    weight and passive joint; what they can at most when that is less."""
    donors, pose = space.donors, space.poses[0]
    rest, _, _, _, _ = moments(ankle, 0.0, Limb(knee, HANGING), actuators[:NATIVE], body, space.poses)
    wanted, low, high = extra - rest, 0.0, 1.0
    idle, idle_tension = _donors_at(0.0, ankle, donors, actuators, body, pose)
    if idle >= wanted:
        return idle_tension
    for _ in range(HALVINGS):
        half = 0.5 * (low + high)
        if _donors_at(half, ankle, donors, actuators, body, pose)[0] < wanted:
            low = half
        else:
            high = half
    return _donors_at(high, ankle, donors, actuators, body, pose)[1]


@compiled
def _load_one(
    operated: Operated, way: int, ankle: float, knee: float, amount: float, settled: bool, body: Body, space: Space
) -> float:
    moved = set_actuators(operated, space.actuators)
    actuators, donors, spare = space.actuators[: NATIVE + moved], space.donors, space.fixing_pose
    sew(operated, moved, body, space)
    if settled:
        settle(operated, moved, donors)
    gain = amount if way == LIFTED else 1.0
    ask(LIFT if way == LIFTED else REST, gain, operated.legs.capacity[operated.leg], donors, actuators)
    if way == HELD:
        return _donors_at(amount, ankle, donors, actuators, body, spare)[1]
    if way == CARRIED:
        return _carry(ankle, knee, amount, actuators, body, space)
    a, s, _, _, bad = balance(DROPPED, 0.0, Limb(STRAIGHT, LYING), actuators, body, space.poses)
    return math.nan if bad else junction_tension(a, s, actuators, body, spare)


@compiled
def _load_all(
    way: int, legs: Legs, plans: Operations, elastic: bool, posture: Floats, settled: bool, space: Space, out: Floats
) -> None:
    """Fill ``out`` (N,); ``posture`` (N, 3): ankle and knee angle [rad], amount."""
    for leg in range(len(out)):
        body, operated = body_of(leg, legs, plans.elements, elastic), Operated(leg, 0, legs, plans)
        ankle, knee, amount = posture[leg, 0], posture[leg, 1], posture[leg, 2]
        out[leg] = _load_one(operated, way, ankle, knee, amount, settled, body, space)


def junction_load(
    way: int, legs: Legs, plans: Operations, ankle: Floats, amount: Floats, knee: float = 0.0, elastic: bool = True,
    settled: bool = False,
) -> Floats:  # fmt: skip
    """Tension on the junction of the first plan in every leg.

    Parameters
    ----------
    way : int
        ``HELD``: foot held in a posture. ``CARRIED``: the donor alone holds the hanging foot at ``ankle``, the knee at
        ``knee``. ``LIFTED``: the foot is free, lying, knee straight.
    legs : Legs
        N virtual legs.
    plans : Plans
        The first operation counts.
    ankle : array, (N,)
        Ankle angle [rad].
    amount : array, (N,)
        ``HELD`` and ``LIFTED``: share of full effort; ``CARRIED``: moment to hold besides the foot's weight [N.m].
    knee : float
        Knee angle [rad].
    elastic : bool
        Whether tendons stretch.
    settled : bool
        After early settling instead of as sewn.

    Returns
    -------
    array, (N,)
        Tension [N]; NaN where no balance was found.
    """
    losses = legs.losses.copy()
    losses[:, [SCAR, LEARNED]] = 1.0
    legs, plans = checked(legs._replace(losses=losses), LEG_SHAPES), checked(plans, PLAN_SHAPES)
    out = np.empty(len(legs.points))
    posture = np.stack([ankle, np.full(len(out), knee), amount], axis=1)
    _load_all(way, legs, plans, elastic, posture, settled, new_space(), out)
    return out
