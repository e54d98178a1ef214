"""All answers for many legs and many operations: one compiled pass, spread over threads by legs.

The kernel releases the interpreter lock and shares nothing between calls, so a thread pool may run it and an event
loop stays free. Results do not depend on the number of threads.
"""

import math

import numpy as np

from sinewright.anatomy.path import set_pose
from sinewright.arrays import Floats, Ints, checked
from sinewright.compiled import compiled
from sinewright.solve.actuators import Operated, set_actuators
from sinewright.solve.balance import HANGING, LYING, Limb, balance
from sinewright.solve.chunks import Progress, in_chunks
from sinewright.solve.leg import ANKLE_ERROR, KNEE_ERROR, LEG_SHAPES, SUBTALAR_ERROR, Body, Legs, body_of
from sinewright.solve.questions import LIFT as ASK_LIFT
from sinewright.solve.questions import PUSH as ASK_PUSH
from sinewright.solve.questions import REST as ASK_REST
from sinewright.solve.questions import ask, junction_tension, lifting_moment
from sinewright.solve.sewing import Space, new_space, settle, sew
from sinewright.transfer.plans import NATIVE, PLAN_SHAPES, Operations

# columns of the answers [rad, N, N.m, m]
(
    LIFT,
    LIFT_BENT,
    REST,
    REST_TABLE,
    PUSH,
    MOMENT,
    SUBTALAR_IN_LIFT,
    PULL,
    REACH,
    REST_SUBTALAR,
    PUSH_PULL,
    BELLY_PAST,
) = range(12)
ANSWERS = 12
# bits of what failed: no balance, in the order in which the questions are asked; no equilibrium of muscle and tendon
FAILED_TABLE, FAILED_REST, FAILED_LIFT, FAILED_BENT, FAILED_PUSH, FAILED_TENSION = 1, 2, 4, 8, 16, 32
STRAIGHT, BENT = 0.0, 0.5 * math.pi  # knee [rad]
DROPPED = -0.3  # rad, where the search for the first rest begins
COLUMNS = (REST_TABLE, REST, LIFT, LIFT_BENT, PUSH)  # of the angle found by each balance, in the order asked


@compiled
def answer_one(operated: Operated, moment_only: bool, body: Body, space: Space, out: Floats) -> int:
    """Fill ``out`` (12) for one leg and operation.

    Parameters
    ----------
    operated : Operated
    moment_only : bool
        Seek no balance: just the moment at neutral, the reach and, as PULL, the tension of the relaxed donor while it
        is sewn are filled.
    body : Body
    space : Space
    out : array, (12,)

    Returns
    -------
    int
        Bits of what failed, see the names above.
    """
    moved = set_actuators(operated, space.actuators)
    actuators, donors, spare = space.actuators[: NATIVE + moved], space.donors, space.fixing_pose
    out[REACH], out[BELLY_PAST] = sew(operated, moved, body, space)
    leg, plan, legs, plans = operated
    capacity, fixing, execution = legs.capacity[leg], plans.fixing[plan], legs.execution[leg]
    if moment_only:
        ask(ASK_REST, 1.0, capacity, donors, actuators)
        ankle, subtalar = fixing[0] + execution[ANKLE_ERROR], fixing[1] + execution[SUBTALAR_ERROR]
        out[PULL] = junction_tension(ankle, subtalar, actuators, body, spare)
        settle(operated, moved, donors)
        ask(ASK_LIFT, 1.0, capacity, donors, actuators)
        set_pose(body.joint, 0.0, 0.0, spare)
        out[MOMENT] = lifting_moment(actuators, body, spare)
        return FAILED_TENSION if math.isnan(out[PULL] + out[MOMENT]) else 0
    failed = 0
    a, s, rest_a, rest_s = DROPPED, 0.0, 0.0, 0.0
    for i in range(5):  # on the table, hanging, lift, lift with the knee bent, push-down
        if i == 1:
            settle(operated, moved, donors)
        if i == 4:
            a, s = rest_a, rest_s
        ask(ASK_PUSH if i == 4 else (ASK_LIFT if i > 1 else ASK_REST), 1.0, capacity, donors, actuators)
        knee = fixing[2] + execution[KNEE_ERROR] if i == 0 else (BENT if i in (1, 3) else STRAIGHT)
        limb = Limb(knee, HANGING if i in (1, 3) else LYING)
        a, s, _, _, bad = balance(a, s, limb, actuators, body, space.poses)
        out[COLUMNS[i]], failed = a, failed + (bad << i)
        if i == 1:
            out[REST_SUBTALAR], rest_a, rest_s = s, a, s
        if i == 2:
            out[SUBTALAR_IN_LIFT], out[PULL] = s, junction_tension(a, s, actuators, body, spare)
            set_pose(body.joint, 0.0, 0.0, spare)
            out[MOMENT] = lifting_moment(actuators, body, spare)
    out[PUSH_PULL] = junction_tension(a, s, actuators, body, spare)
    if math.isnan(out[PULL] + out[MOMENT] + out[PUSH_PULL]):
        failed += FAILED_TENSION
    return failed


@compiled
def _answer_some(
    first: int, last: int, legs: Legs, plans: Operations, elastic: bool, moment_only: bool, space: Space, out: Floats,
    failed: Ints,
) -> None:  # fmt: skip
    for leg in range(first, last):
        body = body_of(leg, legs, plans.elements, elastic)
        for plan in range(len(plans.donor)):
            operated = Operated(leg, plan, legs, plans)
            failed[leg, plan] = answer_one(operated, moment_only, body, space, out[leg, plan])


def answer(
    legs: Legs,
    plans: Operations,
    elastic: bool = True,
    progress: Progress | None = None,
    moment_only: bool = False,
) -> tuple[Floats, Ints]:
    """Answer every question for every leg and operation.

    Parameters
    ----------
    legs : Legs
        N virtual legs.
    plans : Plans
        C operations.
    elastic : bool
        Whether tendons stretch.
    progress : callable, optional
        Called with legs done and all legs; what it raises stops the work.
    moment_only : bool
        Fill only moment, reach and, as PULL, the tension of the relaxed donor while it is sewn; the rest is NaN.

    Returns
    -------
    answers : array, (N, C, 12)
        Columns as named above [rad, m, N, N.m]; push-down and lift are ankle angles, dorsiflexion positive. A failed
        answer holds the last point tried and must not be used.
    failed : int32 array, (N, C)
        Bits of what failed.

    Raises
    ------
    ValueError
        If an array has not the shape stated for it.
    """
    legs, plans = checked(legs, LEG_SHAPES), checked(plans, PLAN_SHAPES)
    n, c = len(legs.points), len(plans.donor)
    out, failed = np.full((n, c, ANSWERS), np.nan), np.zeros((n, c), dtype=np.int32)

    def some(first: int, last: int) -> None:
        _answer_some(first, last, legs, plans, elastic, moment_only, new_space(), out, failed)

    in_chunks(some, n, progress)
    return out, failed
