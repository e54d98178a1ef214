"""All answers for many legs and many operations: one compiled pass, spread over threads by legs.

The kernel releases the interpreter lock and shares nothing between calls, so a thread pool may run it and an event
loop stays free. Results do not depend on the number of threads.
"""

import math

import numpy as np

from sinewright.anatomy.path import POSE_SIZE, set_pose
from sinewright.arrays import Floats, Ints
from sinewright.compiled import compiled, compiled_making_arrays
from sinewright.solve.balance import balance
from sinewright.solve.chunks import Progress, in_chunks
from sinewright.solve.field import PULL_SIZE, PULL_WORDS, SHARE, path_of
from sinewright.solve.leg import (
    FRICTION,
    LEARNED,
    SCAR,
    SCARRED_MASS,
    SETTLING_BONE,
    SETTLING_WEAVE,
    TOE_TAKE_UP,
    UNEVEN,
    Body,
    Legs,
)
from sinewright.solve.questions import (
    DONORS,
    NATIVE,
    ask,
    capstan_share,
    donor_pull,
    lay_donor,
    lay_native,
    lifting_moment,
    reach_margin,
)
from sinewright.transfer.plans import Operations

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
# bits of what found no balance, in the order in which the questions are asked
FAILED_TABLE, FAILED_REST, FAILED_LIFT, FAILED_BENT, FAILED_PUSH = 1, 2, 4, 8, 16
STRAIGHT, BENT = 0.0, 0.5 * math.pi  # knee [rad]
RESTING, LIFTING = 0, 1  # question numbers of ``questions.ask``
DROPPED = -0.3  # rad, where the search for the first rest begins
NOTHING_MOVED = 1.0  # m, reach of an operation that moves nothing: never the limit


@compiled
def lay_pulls(leg: int, plan: int, legs: Legs, plans: Operations, pulls: Floats, words: Ints) -> int:
    """Write the pulls of one leg and operation; gives the number of moved muscles."""
    lay_native(legs.muscles[leg], legs.knee_moment_arm[leg], plans.native, plans.taken[plan], pulls, words)
    moved = 0
    for p in range(DONORS):
        muscle = plans.donor[plan, p]
        if muscle >= 0:
            count, ends, shares = plans.path_count[plan, p], plans.ends[plan, p], plans.shares[plan, p]
            lay_donor(NATIVE + moved, muscle, count, ends, shares, legs.muscles[leg], pulls, words)
            if count == 2:  # two limbs are never tensioned quite alike
                first = min(max(shares[0] + legs.losses[leg, UNEVEN], 0.1), 0.9)
                pulls[NATIVE + moved, SHARE], pulls[NATIVE + moved, SHARE + 1] = first, 1.0 - first
            moved += 1
    return moved


@compiled
def sew(
    leg: int, plan: int, moved: int, legs: Legs, plans: Operations, body: Body, pulls: Floats, words: Ints,
    pose: Floats, fixing: Floats, effort: Floats, offset: Floats, toe: Floats,
) -> tuple[float, float]:  # fmt: skip
    """Set efforts, offsets and toe take-up as sewn; gives the least tendon to spare, the most belly past [m]."""
    set_pose(body.joint, 0.0, 0.0, pose)
    ankle, subtalar = plans.fixing[plan, 0] + legs.execution[leg, 1], plans.fixing[plan, 1] + legs.execution[leg, 2]
    set_pose(body.joint, ankle, subtalar, fixing)
    losses, least, most = legs.losses[leg], NOTHING_MOVED, -NOTHING_MOVED
    for p in range(moved):
        muscle, one = plans.donor[plan, p], NATIVE + p
        lie = plans.stretch[plan] + legs.execution[leg, 0]
        rest, _, _ = path_of(pulls[muscle], words[muscle], 0.0, body, pose)
        sewn, _, _ = path_of(pulls[one], words[one], 0.0, body, fixing)
        offset[p] = rest + lie - sewn
        glide = capstan_share(
            muscle, plans.path_count[plan, p], plans.ends[plan, p], plans.shares[plan, p], plans.native,
            losses[FRICTION], body, pose,
        )  # fmt: skip
        kept = losses[SCARRED_MASS] if plans.scarred[plan, p] == 1 else 1.0
        effort[p] = legs.capacity[leg, muscle] * losses[SCAR] * losses[LEARNED] * kept * glide
        toe[p] = losses[TOE_TAKE_UP] * plans.toes[plan, p]
        margin, past = reach_margin(
            muscle, plans.reach[plan, p], plans.cut[plan, p], plans.overlap[plan, p], lie, plans.native,
            body, pose, fixing,
        )  # fmt: skip
        least, most = min(least, margin), max(most, past)
    return least, most


@compiled
def settle(leg: int, plan: int, moved: int, legs: Legs, plans: Operations, offset: Floats) -> None:
    """Take the early settling of each junction off the tension as sewn."""
    for p in range(moved):
        offset[p] -= legs.losses[leg, SETTLING_BONE if plans.bone[plan, p] == 1 else SETTLING_WEAVE]


@compiled_making_arrays
def answer_one(
    leg: int, plan: int, legs: Legs, plans: Operations, elastic: bool, moment_only: bool, out: Floats
) -> int:
    """Fill ``out`` (12) for one leg and operation; gives the bits of what failed.

    With ``moment_only`` no balance is sought: just the moment at neutral, the reach and, as PULL, the tension of the
    relaxed donor while it is sewn are filled.
    """
    body = Body(plans.elements, legs.points[leg], legs.cylinders[leg], legs.joint[leg], legs.passive[leg], elastic)
    pulls = np.zeros((NATIVE + DONORS, PULL_SIZE))
    words = np.zeros((NATIVE + DONORS, PULL_WORDS), dtype=np.int32)
    poses, spare = np.empty((3, POSE_SIZE)), np.empty(POSE_SIZE)
    moved = lay_pulls(leg, plan, legs, plans, pulls, words)
    pulls, words = pulls[: NATIVE + moved], words[: NATIVE + moved]
    effort, offset, toe = np.zeros(DONORS), np.zeros(DONORS), np.zeros(DONORS)
    out[REACH], out[BELLY_PAST] = sew(
        leg, plan, moved, legs, plans, body, pulls, words, poses[0], spare, effort, offset, toe
    )
    capacity = legs.capacity[leg]
    if moment_only:
        fix = plans.fixing[plan]
        ask(RESTING, capacity, effort, offset, toe, pulls, moved)
        ankle, subtalar = fix[0] + legs.execution[leg, 1], fix[1] + legs.execution[leg, 2]
        out[PULL] = donor_pull(ankle, subtalar, STRAIGHT, pulls, words, body, spare)
        settle(leg, plan, moved, legs, plans, offset)
        ask(LIFTING, capacity, effort, offset, toe, pulls, moved)
        set_pose(body.joint, 0.0, 0.0, spare)
        out[MOMENT] = lifting_moment(pulls, words, body, spare)
        return 0
    knees = np.array([plans.fixing[plan, 2] + legs.execution[leg, 3], BENT, STRAIGHT, BENT, STRAIGHT])
    columns, failed = (REST_TABLE, REST, LIFT, LIFT_BENT, PUSH), 0
    a, s, rest_a, rest_s = DROPPED, 0.0, 0.0, 0.0
    for i in range(5):  # on the table, hanging, lift, lift with the knee bent, push-down
        if i == 1:
            settle(leg, plan, moved, legs, plans, offset)
        if i == 4:
            a, s = rest_a, rest_s
        ask((i > 1) + (i > 3), capacity, effort, offset, toe, pulls, moved)
        down = np.array([0.0, -1.0, 0.0]) if i in (1, 3) else np.array([-1.0, 0.0, 0.0])
        a, s, _, _, bad = balance(a, s, knees[i], down, pulls, words, body, poses)
        out[columns[i]], failed = a, failed + (bad << i)
        if i == 1:
            out[REST_SUBTALAR], rest_a, rest_s = s, a, s
        if i == 2:
            out[SUBTALAR_IN_LIFT], out[PULL] = s, donor_pull(a, s, STRAIGHT, pulls, words, body, spare)
            set_pose(body.joint, 0.0, 0.0, spare)
            out[MOMENT] = lifting_moment(pulls, words, body, spare)
    out[PUSH_PULL] = donor_pull(a, s, STRAIGHT, pulls, words, body, spare)
    return failed


@compiled
def _answer_some(
    first: int, last: int, legs: Legs, plans: Operations, elastic: bool, moment_only: bool, out: Floats, failed: Ints
) -> None:
    for leg in range(first, last):
        for plan in range(len(plans.donor)):
            failed[leg, plan] = answer_one(leg, plan, legs, plans, elastic, moment_only, out[leg, plan])


def answer(
    legs: Legs,
    plans: Operations,
    elastic: bool = True,
    progress: Progress | None = None,
    moment_only: bool = False,
) -> tuple[Floats, Ints]:
    """Answers (N, C, 12) [rad, m, N, N.m] and the bits of what failed (N, C); columns as named above.

    Push-down and lift are ankle angles, dorsiflexion positive. A failed answer holds the last point tried and must
    not be used; its bit says so. With ``moment_only`` all columns but moment, reach and pull are NaN; see
    ``answer_one``.
    """
    n, c = len(legs.points), len(plans.donor)
    out, failed = np.full((n, c, ANSWERS), np.nan), np.zeros((n, c), dtype=np.int32)
    in_chunks(_answer_some, n, (legs, plans, elastic, moment_only, out, failed), progress)
    return out, failed
