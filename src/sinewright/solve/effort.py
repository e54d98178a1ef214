"""How much of its effort each working muscle gives through swing.

A learned movement without correction on the way: at five moments of swing as much of the full effort as would hold the
foot at its normal mid-swing angle (row ga-ankle-adult-85) and let it rise as fast as a normal ankle does then (rows
ga-ankle-adult-*), never more than there is; between them it runs straight. Lifters left in place and donors share it.
"""

from typing import NamedTuple

from sinewright.anatomy.path import set_pose
from sinewright.arrays import Floats
from sinewright.compiled import compiled
from sinewright.muscle.equilibrium import muscle_of
from sinewright.solve.actuators import ACTIVATION, TAKEN, Actuators, Operated, muscle_tension, path_of
from sinewright.solve.fibre import velocity_factor
from sinewright.solve.foot_motion import foot_motion
from sinewright.solve.passive_torque import passive_joints
from sinewright.solve.questions import LAST_LIFTER
from sinewright.solve.sewing import Donors
from sinewright.solve.swing_step import SwingingFoot, WorkingMuscles
from sinewright.solve.walk import FASTEST, LEARNED, NODES, ON_DONOR, ON_LIFTERS, Shank, Walk, shank_of
from sinewright.transfer.plans import NATIVE


class Effort(NamedTuple):
    """Share of the full effort at the five moments of swing (5,), and the rise of excitation after its onset [s]."""

    shares: Floats
    rise: float


@compiled
def set_working(operated: Operated, walk: Walk, donors: Donors, actuators: Actuators, working: WorkingMuscles) -> int:
    """Choose the muscles that can work or hang on in swing; fill their actuator, level and onset. Gives how many."""
    capacity, timing = operated.legs.capacity[operated.leg], walk.timing[operated.leg]
    count = 0
    for i in range(LAST_LIFTER):
        if actuators[i].counting != TAKEN and capacity[i] > 0.0:
            row = working[count]
            row.actuator, row.level, row.onset = i, capacity[i], timing[ON_LIFTERS]
            count += 1
    for p in range(len(actuators) - NATIVE):
        row, donor = working[count], donors[p]
        actuators[NATIVE + p].offset = donor.offset - donor.toe_take_up
        row.actuator, row.level, row.onset = NATIVE + p, donor.activation * timing[LEARNED], timing[ON_DONOR]
        count += 1
    return count


@compiled
def moment_at(share: float, foot: SwingingFoot) -> float:
    """Ankle moment [N.m] of the working muscles held still at ``share`` of their slowed level."""
    total = 0.0
    for j in range(len(foot.working)):
        row = foot.working[j]
        muscle = muscle_of(foot.actuators[row.actuator].muscle)
        force, _ = muscle_tension(muscle, share * row.slowed_level, row.length, True)
        total += (force - row.idle_tension) * row.moment_arm
    return total


@compiled
def share_for(need: float, foot: SwingingFoot) -> float:
    """Share of the full level, 0 to 1, that gives ``need`` [N.m]; the nearer end where none does."""
    low, high = 0.0, 1.0
    f_low = moment_at(low, foot) - need
    if f_low >= 0.0:
        return 0.0
    f_high = moment_at(high, foot) - need
    if f_high <= 0.0:
        return 1.0
    for _ in range(40):
        x = low - f_low * (high - low) / (f_high - f_low)
        f = moment_at(x, foot) - need
        if abs(f) < 1e-4 or high - low < 1e-6:
            return x
        if f < 0.0:
            low, f_low, f_high = x, f, 0.5 * f_high
        else:
            high, f_high, f_low = x, f, 0.5 * f_low
    return 0.5 * (low + high)


@compiled
def _hold(ankle: float, subtalar: float, foot: SwingingFoot) -> float:
    """Fill lengths, arms and tension at rest of the working muscles in a posture [rad], knee straight.

    Gives the ankle moment of the muscles taken away at rest [N.m], which the passive joint has too much.
    """
    set_pose(foot.body.joint, ankle, subtalar, foot.pose)
    for j in range(len(foot.working)):
        row = foot.working[j]
        actuator = foot.actuators[row.actuator]
        row.length, row.moment_arm, _ = path_of(actuator, 0.0, foot.body, foot.pose)
        row.idle_tension = 0.0
        if actuator.counting == ACTIVATION:
            row.idle_tension, _ = muscle_tension(muscle_of(actuator.muscle), 0.0, row.length, True)
    lost = 0.0
    for i in range(NATIVE):
        actuator = foot.actuators[i]
        if actuator.counting == TAKEN:
            length, arm, _ = path_of(actuator, 0.0, foot.body, foot.pose)
            idle, _ = muscle_tension(muscle_of(actuator.muscle), 0.0, length, True)
            lost += idle * arm
    return lost


@compiled
def plan_effort(leg: int, walk: Walk, subtalar: float, foot: SwingingFoot, shares: Floats) -> None:
    """Fill ``shares`` (5): effort that holds the foot at the wanted ankle angle while it rises at the wanted pace."""
    wanted, pace, base = walk.wanted[leg], walk.pace[leg], walk.base[leg]
    lost = _hold(wanted, subtalar, foot)
    for k in range(NODES):
        shank = shank_of(base[k * (len(base) - 1) // (NODES - 1)])
        still = Shank(shank.sine, shank.cosine, 0.0, 0.0, shank.felt_x, shank.felt_y, shank.knee)
        _, _, _, asked, _ = foot_motion(0.0, 0.0, foot.pose, foot.body.joint, foot.inertia, still)
        held, _, _, _, _ = passive_joints(foot.body.passive, wanted, subtalar, shank.knee)
        for j in range(len(foot.working)):
            row = foot.working[j]
            optimal = muscle_of(foot.actuators[row.actuator].muscle).optimal_fibre
            x = -row.moment_arm * pace[k] / (foot.fibre[FASTEST] * optimal)
            row.slowed_level = row.level * velocity_factor(x)[0]
        need = asked - held + lost + foot.damping[0] * pace[k]
        shares[k] = share_for(need, foot)


@compiled
def ramp(since: float, rise: float) -> float:
    """Smooth rise from 0 to 1 over ``rise`` [s] after the onset."""
    x = min(max(since / rise, 0.0), 1.0)
    return x * x * (3.0 - 2.0 * x)


@compiled
def excite(part: float, time: float, effort: Effort, working: WorkingMuscles, out: Floats) -> None:
    """Fill ``out`` (muscles): excitation at ``part`` (0 to 1) of swing, ``time`` [s] after toe-off."""
    shares, along = effort.shares, part * (NODES - 1.0)
    k = min(int(along), NODES - 2)
    share = shares[k] + (along - k) * (shares[k + 1] - shares[k])
    for j in range(len(working)):
        row = working[j]
        out[j] = row.level * share * ramp(time - row.onset, effort.rise)
