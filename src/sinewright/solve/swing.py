"""The foot from toe-off to heel strike, for many legs and many operations.

Effort: see ``solve.effort``. Tendons are elastic and fibres follow force and speed (``solve.fibre``), whatever tendon
the statics use.

Start: ankle where push-off leaves it (row ga-ankle-adult-62), or as far down as the calf still pushes it against the
transfer; hindfoot at its resting angle; both at rest. The calf is taken as relaxed from toe-off on.

Heel strike, slap kept apart from clearance. Demand: the floor pushes up under the heel, behind the ankle axis; moment =
load x lever (own mechanics, no curve of moments is used). Available: what effort adds about the ankle in the posture of
heel strike, held still. A lengthening muscle gives up to four tenths more, which is not counted.
"""

import math
from typing import NamedTuple

import numpy as np

from sinewright.anatomy.path import set_pose
from sinewright.arrays import Floats, Ints, Shapes, checked
from sinewright.compiled import compiled
from sinewright.muscle.equilibrium import muscle_of
from sinewright.solve.actuators import ACTIVATION, TAKEN, Operated, effort_tension, path_of, set_actuators
from sinewright.solve.chunks import Progress, in_chunks
from sinewright.solve.clearance import Sole, lowest, passing_of, steppage
from sinewright.solve.effort import Effort, excite, plan_effort, set_working
from sinewright.solve.fibre import settled
from sinewright.solve.idle import IDLE, IdleTensions, set_idle
from sinewright.solve.leg import LEG_SHAPES, Body, Legs, body_of
from sinewright.solve.questions import LAST_LIFTER
from sinewright.solve.sewing import Space, new_space, settle, sew
from sinewright.solve.swing_step import (
    ANKLE,
    MUSCLES,
    STIFF,
    SUBTALAR,
    WORKING,
    StepSpace,
    SwingingFoot,
    WorkingMuscles,
    step,
)
from sinewright.solve.walk import KNEE, MARKS, NODES, RISE, WALK_SHAPES, Shank, Walk
from sinewright.transfer.plans import NATIVE, PARTS, PLAN_SHAPES, Operations
from sinewright.units import GRAVITY

# columns of the answers [rad, m, N.m]
(
    MID,
    MID_SUBTALAR,
    STRIKE,
    STRIKE_SUBTALAR,
    CLEARANCE,
    EXTRA_HIP,
    AVAILABLE,
    DEMAND,
    PEAK,
    SWING_MOMENT,
    EFFORT_MID,
) = range(11)
ANSWERS = 11
FAILED_MOTION, FAILED_STEPPAGE = 1, 2
FARTHEST = 2.0  # rad: a foot beyond it has left the range of the joints
FIRST_PIECES, MOST_PIECES = 2, 64
ALLOWED = math.radians(0.015)  # of a step against order one; see tests/solve/test_swing_motion.py


MOST_WORKING = LAST_LIFTER + PARTS
STATE = MUSCLES + 2 * MOST_WORKING


class SwingSpace(NamedTuple):
    """Working space of one swing, made once for many legs and operations.

    state, start (20,): now and at the start of an interval; guess, first_guess (6,): the same of the fibre speeds;
    shanks (2, 7) and excitation (2, 6) at both ends of a step; shares (5,) of effort; track (T, 3): ankle, hindfoot
    [rad] and moment about the ankle [N.m]; where (T, 3, 2): points of the sole.
    """

    statics: Space
    working: WorkingMuscles
    idle: IdleTensions
    steps: StepSpace
    state: Floats
    start: Floats
    guess: Floats
    first_guess: Floats
    excitation: Floats
    shares: Floats
    track: Floats
    where: Floats


class Course(NamedTuple):
    """What drives a swing: motion of the shank (T, 7), time of one step [s], effort."""

    base: Floats
    step: float
    effort: Effort


class Start(NamedTuple):
    """What the statics say of a leg and operation: lowest ankle angle that the calf reaches, subtalar angle at rest
    [rad]."""

    pushdown: float
    rest_subtalar: float


class Starts(NamedTuple):
    """``Start`` of every leg and operation."""

    pushdown: Floats
    rest_subtalar: Floats


START_SHAPES: Shapes = {"pushdown": ("N", "C"), "rest_subtalar": ("N", "C")}


def new_swing_space(moments: int) -> SwingSpace:
    """Working space for a swing of so many moments (steps and one)."""
    stiff = (np.zeros(MOST_WORKING, dtype=STIFF), np.zeros(MOST_WORKING, dtype=STIFF))
    return SwingSpace(
        statics=new_space(),
        working=np.zeros(MOST_WORKING, dtype=WORKING),
        idle=np.zeros(NATIVE + PARTS, dtype=IDLE),
        steps=StepSpace(np.empty((4, STATE)), *stiff),
        state=np.zeros(STATE),
        start=np.empty(STATE),
        guess=np.zeros(MOST_WORKING),
        first_guess=np.empty(MOST_WORKING),
        excitation=np.empty((2, MOST_WORKING)),
        shares=np.empty(NODES),
        track=np.empty((moments, 3)),
        where=np.zeros((moments, MARKS, 2)),
    )


@compiled
def begin(ankle: float, subtalar: float, knee: float, excitation: Floats, foot: SwingingFoot, y: Floats) -> None:
    """Fill ``y`` at toe-off: at rest, activation as asked, fibres in balance."""
    for k in range(MUSCLES):
        y[k] = 0.0
    y[ANKLE], y[SUBTALAR] = ankle, subtalar
    set_pose(foot.body.joint, ankle, subtalar, foot.pose)
    for j in range(len(foot.working)):
        actuator, at = foot.actuators[foot.working[j].actuator], MUSCLES + 2 * j
        length, _, _ = path_of(actuator, knee, foot.body, foot.pose)
        y[at], y[at + 1] = excitation[j], settled(muscle_of(actuator.muscle), excitation[j], length)


@compiled
def _between(n: int, part: float, base: Floats, c: int) -> float:
    """One column of the motion of the shank, ``part`` of the way through interval n: a parabola through three steps."""
    near = min(n + 1, len(base) - 2)
    bow = base[near + 1, c] - 2.0 * base[near, c] + base[near - 1, c]
    value: float = base[n, c] + part * (base[n + 1, c] - base[n, c] - 0.5 * (1.0 - part) * bow)
    return value


@compiled
def _shank_between(n: int, part: float, base: Floats) -> Shank:
    """Motion of the shank, ``part`` (0 to 1) of the way through interval n."""
    return Shank(
        _between(n, part, base, 0), _between(n, part, base, 1), _between(n, part, base, 2), _between(n, part, base, 3),
        _between(n, part, base, 4), _between(n, part, base, 5), _between(n, part, base, 6),
    )  # fmt: skip


@compiled
def interval(
    n: int, pieces: int, course: Course, foot: SwingingFoot, y: Floats, space: SwingSpace
) -> tuple[float, float]:
    """Move ``y`` through interval n in so many equal pieces.

    Returns
    -------
    worst, net : float
        Largest difference from order one [rad]; moment of tendons and tissues about the ankle at the last piece [N.m].
    """
    worst, net, last, h = 0.0, 0.0, len(course.base) - 1, course.step
    for i in range(pieces):
        start, end = i / pieces, (i + 1) / pieces
        shanks = (_shank_between(n, start, course.base), _shank_between(n, end, course.base))
        excite((n + start) / last, (n + start) * h, course.effort, foot.working, space.excitation[0])
        excite((n + end) / last, (n + end) * h, course.effort, foot.working, space.excitation[1])
        off, net = step(y, h / pieces, shanks, space.excitation, foot, space.steps)
        if not off < worst:
            worst = off
    return worst, net


@compiled
def travel(course: Course, foot: SwingingFoot, allowed: float, y: Floats, space: SwingSpace) -> bool:
    """Go from toe-off to heel strike and fill the track.

    An interval is cut into so many pieces that each differs from order one by about ``allowed`` [rad] or less; when it
    differs by more than twice as much it is done again. False when the foot left its range.
    """
    track, start, guess = space.track, space.start, foot.guess
    for j in range(len(guess)):
        guess[j] = 0.0
    track[0, 0], track[0, 1] = y[ANKLE], y[SUBTALAR]
    pieces = FIRST_PIECES if allowed < FARTHEST else 1
    for n in range(len(course.base) - 1):
        _keep(y, start)
        _keep(guess, space.first_guess)
        while True:
            off, net = interval(n, pieces, course, foot, y, space)
            done = off <= 2.0 * allowed or pieces >= MOST_PIECES
            finer = math.ceil(pieces * math.sqrt(off / allowed)) if off < FARTHEST else MOST_PIECES
            pieces = min(max(int(finer), 1), MOST_PIECES)
            if done:
                break
            _keep(start, y)
            _keep(space.first_guess, guess)
        if not (abs(y[ANKLE]) < FARTHEST and abs(y[SUBTALAR]) < FARTHEST):
            return False
        track[n + 1, 0], track[n + 1, 1], track[n + 1, 2] = y[ANKLE], y[SUBTALAR], net
    track[0, 2] = track[1, 2]
    return True


@compiled
def _keep(values: Floats, into: Floats) -> None:
    for i in range(min(len(values), len(into))):
        into[i] = values[i]


@compiled
def read_track(leg: int, walk: Walk, margin: float, joint: Floats, space: SwingSpace, out: Floats) -> int:
    """Fill angles, least clearance and steppage from a track; gives the bits of what failed."""
    track, where = space.track, space.where
    last = len(track) - 1
    out[MID], out[MID_SUBTALAR] = track[last // 2, 0], track[last // 2, 1]
    out[STRIKE], out[STRIKE_SUBTALAR] = track[last, 0], track[last, 1]
    sole = Sole(walk.marks[leg], joint, walk.base[leg], walk.ankle_rise[leg], space.statics.fixing_pose)
    passing = passing_of(leg, walk, where)
    least = 1e9
    for n in range(passing.first, passing.last + 1):
        least = min(least, lowest(track[n, 0], track[n, 1], n, sole, where[n]))
    out[CLEARANCE] = least
    out[EXTRA_HIP], found = steppage(margin, walk.knee_per_hip[leg], passing)
    return 0 if found else FAILED_STEPPAGE


@compiled
def available(ankle: float, subtalar: float, knee: float, foot: SwingingFoot) -> float:
    """Lifting moment [N.m] that the full effort of swing adds at joint angles [rad]."""
    set_pose(foot.body.joint, ankle, subtalar, foot.pose)
    total = 0.0
    for j in range(len(foot.working)):
        row = foot.working[j]
        actuator = foot.actuators[row.actuator]
        length, arm, _ = path_of(actuator, knee, foot.body, foot.pose)
        total += effort_tension(actuator, row.level, length, True) * arm
    return total


@compiled
def demand(mass: float, lever: float, load: float) -> float:
    """Moment [N.m] with which the floor pushes the foot down: load over body weight x body weight x lever [m]."""
    return mass * GRAVITY * load * lever


@compiled
def foot_of(leg: int, walk: Walk, moved: int, count: int, body: Body, space: SwingSpace) -> SwingingFoot:
    """The swinging foot on its working space, with so many moved and so many working muscles."""
    return SwingingFoot(
        body, space.statics.actuators[: NATIVE + moved], space.working[:count], space.idle, walk.foot[leg],
        walk.fibre[leg], walk.damping[leg], space.guess[:count], space.statics.poses[0],
    )  # fmt: skip


@compiled
def set_out(operated: Operated, walk: Walk, start: Start, body: Body, space: SwingSpace) -> tuple[int, int]:
    """Fill the working space at toe-off: actuators, working muscles, effort, tensions at rest, state.

    Gives the number of moved muscles and of working ones.
    """
    leg, statics = operated.leg, space.statics
    moved = set_actuators(operated, statics.actuators)
    sew(operated, moved, body, statics)
    settle(operated, moved, statics.donors)
    count = set_working(operated, walk, statics.donors, statics.actuators[: NATIVE + moved], space.working)
    foot = foot_of(leg, walk, moved, count, body, space)
    plan_effort(leg, walk, start.rest_subtalar, foot, space.shares)
    first, base = space.excitation[0], walk.base[leg]
    excite(0.0, 0.0, Effort(space.shares, walk.timing[leg, RISE]), foot.working, first)
    begin(max(walk.toe_off[leg], start.pushdown), start.rest_subtalar, base[0, KNEE], first, foot, space.state)
    for i in range(NATIVE + moved):
        needed = foot.actuators[i].counting == TAKEN
        for j in range(count):
            needed = needed or (foot.working[j].actuator == i and foot.actuators[i].counting == ACTIVATION)
        space.idle[i].spacing = 0.0
        if needed:
            set_idle(i, foot.actuators, body, foot.pose, space.idle[i])
    return moved, count


@compiled
def swing_one(
    operated: Operated, walk: Walk, start: Start, margin: float, allowed: float, space: SwingSpace, out: Floats
) -> int:
    """Fill ``out`` (11) and the track of the working space for one leg and operation; gives the bits of what failed."""
    leg = operated.leg
    body = body_of(leg, operated.legs, operated.plans.elements, True)
    moved, count = set_out(operated, walk, start, body, space)
    foot, base, track, shares = foot_of(leg, walk, moved, count, body, space), walk.base[leg], space.track, space.shares
    course = Course(base, walk.step[leg], Effort(shares, walk.timing[leg, RISE]))
    if not travel(course, foot, allowed, space.state[: MUSCLES + 2 * count], space):
        return FAILED_MOTION
    failed = read_track(leg, walk, margin, body.joint, space, out)
    last = len(base) - 1
    out[PEAK], out[SWING_MOMENT], out[EFFORT_MID] = track[0, 0], track[0, 2], shares[NODES // 2]
    for n in range(1, last + 1):
        out[PEAK] = max(out[PEAK], track[n, 0])
    for n in range(1, last // 2):
        out[SWING_MOMENT] = max(out[SWING_MOMENT], track[n, 2])
    out[AVAILABLE] = available(track[last, 0], track[last, 1], base[last, KNEE], foot)
    out[DEMAND] = demand(walk.mass[leg], walk.heel[leg, 0], walk.heel[leg, 1])
    return FAILED_MOTION if math.isnan(out[AVAILABLE]) else failed


@compiled
def _swing_some(
    first: int, last: int, legs: Legs, plans: Operations, walk: Walk, starts: Starts, margin: float, allowed: float,
    space: SwingSpace, out: Floats, failed: Ints,
) -> None:  # fmt: skip
    for leg in range(first, last):
        for plan in range(len(plans.donor)):
            start = Start(starts.pushdown[leg, plan], starts.rest_subtalar[leg, plan])
            operated = Operated(leg, plan, legs, plans)
            failed[leg, plan] = swing_one(operated, walk, start, margin, allowed, space, out[leg, plan])


def swing(
    legs: Legs, plans: Operations, walk: Walk, pushdown: Floats, rest_subtalar: Floats, margin: float,
    progress: Progress | None = None, allowed: float = ALLOWED,
) -> tuple[Floats, Ints]:  # fmt: skip
    """Swing every leg after every operation.

    Parameters
    ----------
    legs : Legs
        N virtual legs.
    plans : Plans
        C operations.
    walk : Walk
        N ways of walking.
    pushdown, rest_subtalar : array, (N, C)
        Lowest ankle angle that the calf reaches, subtalar angle at rest [rad].
    margin : float
        Clearance asked for [m]; it only moves the steppage.
    progress : callable, optional
        Called with legs done and all legs; what it raises stops the work.
    allowed : float
        Difference of a step from one of order one [rad].

    Returns
    -------
    answers : array, (N, C, 11)
        Columns as named above [rad, m, N.m].
    failed : int32 array, (N, C)
        Bits of what failed.

    Raises
    ------
    ValueError
        If an array has not the shape stated for it.
    """
    legs, plans, walk = checked(legs, LEG_SHAPES), checked(plans, PLAN_SHAPES), checked(walk, WALK_SHAPES)
    starts = checked(Starts(pushdown, rest_subtalar), START_SHAPES)
    n, c = len(legs.points), len(plans.donor)
    out, failed = np.full((n, c, ANSWERS), np.nan), np.zeros((n, c), dtype=np.int32)

    def some(first: int, last: int) -> None:
        space = new_swing_space(walk.base.shape[1])
        _swing_some(first, last, legs, plans, walk, starts, margin, allowed, space, out, failed)

    in_chunks(some, n, progress)
    return out, failed


@compiled
def _tracks_some(
    first: int, last: int, legs: Legs, plans: Operations, walk: Walk, starts: Starts, allowed: float, space: SwingSpace,
    spare: Floats, out: Floats,
) -> None:  # fmt: skip
    plan = 0
    for leg in range(first, last):
        start = Start(starts.pushdown[leg, plan], starts.rest_subtalar[leg, plan])
        failed = swing_one(Operated(leg, plan, legs, plans), walk, start, 0.0, allowed, space, spare)
        for n in range(out.shape[1]):
            for c in range(3):
                out[leg, n, c] = math.nan if failed == FAILED_MOTION else space.track[n, c]


def tracks(
    legs: Legs, plans: Operations, walk: Walk, pushdown: Floats, rest_subtalar: Floats, allowed: float = ALLOWED
) -> Floats:
    """Ankle, hindfoot [rad] and ankle moment [N.m] at every step of swing, (N, T+1, 3), for the first operation.

    ``pushdown`` and ``rest_subtalar`` are (N,); a leg that failed holds NaN.
    """
    legs, plans, walk = checked(legs, LEG_SHAPES), checked(plans, PLAN_SHAPES), checked(walk, WALK_SHAPES)
    starts = checked(Starts(pushdown[:, None], rest_subtalar[:, None]), START_SHAPES)
    n, moments = len(legs.points), walk.base.shape[1]
    out = np.empty((n, moments, 3))

    def some(first: int, last: int) -> None:
        space = new_swing_space(moments)
        _tracks_some(first, last, legs, plans, walk, starts, allowed, space, np.empty(ANSWERS), out)

    in_chunks(some, n)
    return out
