"""How much of its effort each working muscle gives through swing.

A learned movement without correction on the way: at five moments of swing as much of the full effort as would hold the
foot at its normal mid-swing angle (row ga-ankle-adult-85) and let it rise as fast as a normal ankle does then (rows
ga-ankle-adult-*), never more than there is; between them it runs straight. Lifters left in place and donors share it.
"""

import numpy as np

from sinewright.anatomy.path import set_pose
from sinewright.arrays import Floats, Ints
from sinewright.compiled import compiled, compiled_making_arrays
from sinewright.solve.fibre import velocity_factor
from sinewright.solve.field import COUNTING, EFFORT, FIBRE, OFFSET, TAKEN, one_tension, path_of
from sinewright.solve.foot_motion import foot_motion
from sinewright.solve.leg import Body, Legs
from sinewright.solve.passive_torque import passive_joints
from sinewright.solve.questions import LAST_LIFTER, NATIVE
from sinewright.solve.walk import BASE, FASTEST, KNEE, LEARNED, NODES, ON_DONOR, ON_LIFTERS, SPIN, SPIN_UP, Walk


@compiled
def working(
    leg: int, moved: int, legs: Legs, walk: Walk, effort: Floats, offset: Floats, toe: Floats, pulls: Floats,
    words: Ints, live: Ints, level: Floats, onset: Floats,
) -> int:  # fmt: skip
    """Choose the muscles that can work or hang on in swing; fill their place, full level and onset. Gives how many."""
    count = 0
    for i in range(LAST_LIFTER):
        if words[i, COUNTING] != TAKEN and legs.capacity[leg, i] > 0.0:
            live[count], level[count], onset[count] = i, legs.capacity[leg, i], walk.timing[leg, ON_LIFTERS]
            count += 1
    for p in range(moved):
        pulls[NATIVE + p, OFFSET] = offset[p] - toe[p]
        live[count] = NATIVE + p
        level[count] = effort[p] * walk.timing[leg, LEARNED]
        onset[count] = walk.timing[leg, ON_DONOR]
        count += 1
    return count


@compiled
def lift_at(share: float, lengths: Floats, level: Floats, live: Ints, pulls: Floats) -> float:
    """Ankle moment [N.m] of the working muscles held still at ``share`` of their level.

    ``lengths`` (muscles, 3): length, arm [m] and the tension at rest that is counted elsewhere [N].
    """
    total = 0.0
    for j in range(len(live)):
        force, _ = one_tension(pulls[live[j]], share * level[j], lengths[j, 0], True)
        total += (force - lengths[j, 2]) * lengths[j, 1]
    return total


@compiled
def share_for(need: float, lengths: Floats, level: Floats, live: Ints, pulls: Floats) -> float:
    """Share of the full level, 0 to 1, that gives ``need`` [N.m]; the nearer end where none does."""
    low, high = 0.0, 1.0
    f_low = lift_at(low, lengths, level, live, pulls) - need
    if f_low >= 0.0:
        return 0.0
    f_high = lift_at(high, lengths, level, live, pulls) - need
    if f_high <= 0.0:
        return 1.0
    for _ in range(40):
        x = low - f_low * (high - low) / (f_high - f_low)
        f = lift_at(x, lengths, level, live, pulls) - need
        if abs(f) < 1e-4 or high - low < 1e-6:
            return x
        if f < 0.0:
            low, f_low, f_high = x, f, 0.5 * f_high
        else:
            high, f_high, f_low = x, f, 0.5 * f_low
    return 0.5 * (low + high)


@compiled_making_arrays
def plan_effort(
    wanted: float, subtalar: float, pace: Floats, base: Floats, live: Ints, level: Floats, pulls: Floats, words: Ints,
    body: Body, foot: Floats, fibre: Floats, damping: Floats, pose: Floats, shares: Floats,
) -> None:  # fmt: skip
    """Fill ``shares`` (5): effort that holds the foot at the wanted ankle angle while it rises at ``pace`` (5)."""
    set_pose(body.joint, wanted, subtalar, pose)
    lengths = np.zeros((len(live), 3))
    for j in range(len(live)):
        i = live[j]
        lengths[j, 0], lengths[j, 1], _ = path_of(pulls[i], words[i], 0.0, body, pose)
        if words[i, COUNTING] == EFFORT:
            lengths[j, 2], _ = one_tension(pulls[i], 0.0, lengths[j, 0], True)
    lost = 0.0
    for i in range(NATIVE):
        if words[i, COUNTING] == TAKEN:
            length, arm, _ = path_of(pulls[i], words[i], 0.0, body, pose)
            idle, _ = one_tension(pulls[i], 0.0, length, True)
            lost += idle * arm
    still, slowed = np.empty(BASE), np.empty(len(live))
    for k in range(NODES):
        row = base[k * (len(base) - 1) // (NODES - 1)]
        still[:] = row
        still[SPIN], still[SPIN_UP] = 0.0, 0.0
        _, _, _, asked, _ = foot_motion(0.0, 0.0, pose, body.joint, foot, still)
        held, _, _, _, _ = passive_joints(body.passive, wanted, subtalar, row[KNEE])
        for j in range(len(live)):
            x = -lengths[j, 1] * pace[k] / (fibre[FASTEST] * pulls[live[j], FIBRE])
            slowed[j] = level[j] * velocity_factor(x)[0]
        need = asked - held + lost + damping[0] * pace[k]
        shares[k] = share_for(need, lengths, slowed, live, pulls)


@compiled
def ramp(since: float, rise: float) -> float:
    """Smooth rise from 0 to 1 over ``rise`` [s] after the onset."""
    x = min(max(since / rise, 0.0), 1.0)
    return x * x * (3.0 - 2.0 * x)


@compiled
def excite(part: float, time: float, shares: Floats, level: Floats, onset: Floats, rise: float, out: Floats) -> None:
    """Fill ``out`` (muscles): excitation at ``part`` (0 to 1) of swing, ``time`` [s] after toe-off."""
    along = part * (NODES - 1.0)
    k = min(int(along), NODES - 2)
    share = shares[k] + (along - k) * (shares[k + 1] - shares[k])
    for j in range(len(level)):
        out[j] = level[j] * share * ramp(time - onset[j], rise)
