"""What a sewn junction carries: foot held in a posture, foot held up by the donor alone, foot lifted with full effort.

Losses that only weaken the pull (scar, learning) are left out: the junction must stand what the muscle can do. Of two
moved muscles the larger tension counts; of a split tendon the whole.
"""

import numpy as np

from sinewright.anatomy.path import POSE_SIZE, set_pose
from sinewright.arrays import Floats, Ints
from sinewright.compiled import compiled, compiled_making_arrays
from sinewright.solve.answer import DROPPED, STRAIGHT, lay_pulls, settle, sew
from sinewright.solve.balance import balance
from sinewright.solve.field import EFFORT_LEVEL, PULL_SIZE, PULL_WORDS, moments, one_tension, path_of
from sinewright.solve.leg import LEARNED, SCAR, Body, Legs
from sinewright.solve.questions import DONORS, NATIVE, ask, donor_pull
from sinewright.transfer.plans import Operations

HELD, CARRIED, LIFTED = 0, 1, 2
REST, LIFT = 0, 1  # questions of ``questions.ask``
HALVINGS = 40


@compiled_making_arrays
def _donors(gain: float, ankle: float, effort: Floats, pulls: Floats, words: Ints, body: Body, pose: Floats) -> Floats:
    """Moment about the ankle [N.m] and largest tension [N] of the moved muscles at a gain, hindfoot straight."""
    set_pose(body.joint, ankle, 0.0, pose)
    out = np.zeros(2)
    for p in range(len(pulls) - NATIVE):
        length, arm, _ = path_of(pulls[NATIVE + p], words[NATIVE + p], 0.0, body, pose)
        force, _ = one_tension(pulls[NATIVE + p], gain * effort[p], length, body.elastic)
        out[0] += force * arm
        out[1] = max(out[1], force)
    return out


@compiled_making_arrays
def _carry(
    ankle: float, knee: float, extra: float, effort: Floats, pulls: Floats, words: Ints, body: Body, poses: Floats
) -> float:
    """Tension [N] with which the donors alone hold the hanging foot at an angle [rad] against ``extra`` [N.m] besides
    weight and passive joint; what they can at most when that is less."""
    down = np.array([0.0, -1.0, 0.0])
    rest, _, _, _, _ = moments(ankle, 0.0, knee, down, pulls[:NATIVE], words[:NATIVE], body, poses)
    wanted, low, high = extra - rest, 0.0, 1.0
    idle = _donors(0.0, ankle, effort, pulls, words, body, poses[0])
    if idle[0] >= wanted:
        return float(idle[1])
    for _ in range(HALVINGS):
        half = 0.5 * (low + high)
        if _donors(half, ankle, effort, pulls, words, body, poses[0])[0] < wanted:
            low = half
        else:
            high = half
    return float(_donors(high, ankle, effort, pulls, words, body, poses[0])[1])


@compiled_making_arrays
def _one(
    leg: int,
    way: int,
    legs: Legs,
    plans: Operations,
    elastic: bool,
    ankle: float,
    knee: float,
    amount: float,
    settled: bool,
) -> float:
    body = Body(plans.elements, legs.points[leg], legs.cylinders[leg], legs.joint[leg], legs.passive[leg], elastic)
    pulls, words = np.zeros((NATIVE + DONORS, PULL_SIZE)), np.zeros((NATIVE + DONORS, PULL_WORDS), dtype=np.int32)
    poses, spare = np.empty((3, POSE_SIZE)), np.empty(POSE_SIZE)
    moved = lay_pulls(leg, 0, legs, plans, pulls, words)
    pulls, words = pulls[: NATIVE + moved], words[: NATIVE + moved]
    effort, offset, toe = np.zeros(DONORS), np.zeros(DONORS), np.zeros(DONORS)
    sew(leg, 0, moved, legs, plans, body, pulls, words, poses[0], spare, effort, offset, toe)
    if settled:
        settle(leg, 0, moved, legs, plans, offset)
    ask(REST if way != LIFTED else LIFT, legs.capacity[leg], effort, offset, toe, pulls, moved)
    if way == HELD:
        return float(_donors(amount, ankle, effort, pulls, words, body, spare)[1])
    if way == CARRIED:
        return _carry(ankle, knee, amount, effort, pulls, words, body, poses)
    for p in range(moved):
        pulls[NATIVE + p, EFFORT_LEVEL] = effort[p] * amount
    down = np.array([-1.0, 0.0, 0.0])
    a, s, _, _, bad = balance(DROPPED, 0.0, STRAIGHT, down, pulls, words, body, poses)
    return np.nan if bad else float(donor_pull(a, s, STRAIGHT, pulls, words, body, spare))


@compiled
def _all(
    way: int, legs: Legs, plans: Operations, elastic: bool, ankle: Floats, knee: float, amount: Floats, settled: bool,
    out: Floats,
) -> None:  # fmt: skip
    for leg in range(len(out)):
        out[leg] = _one(leg, way, legs, plans, elastic, ankle[leg], knee, amount[leg], settled)


def junction_load(
    way: int, legs: Legs, plans: Operations, ankle: Floats, amount: Floats, knee: float = 0.0, elastic: bool = True,
    settled: bool = False,
) -> Floats:  # fmt: skip
    """Tension [N] on the junction of the first plan in every leg, (N,); NaN where no balance was found.

    ``HELD``: foot held at ``ankle`` (N,) [rad], ``amount`` (N,) share of full effort. ``CARRIED``: the donor alone
    holds the hanging foot at ``ankle`` with the knee at ``knee`` against ``amount`` [N.m] besides its weight.
    ``LIFTED``: the foot is free, lying, knee straight; ``amount`` share of full effort. As sewn unless ``settled``.
    """
    losses = legs.losses.copy()
    losses[:, [SCAR, LEARNED]] = 1.0
    out = np.empty(len(legs.points))
    _all(way, legs._replace(losses=losses), plans, elastic, ankle, knee, amount, settled, out)
    return out
