"""The foot from toe-off to heel strike, for many legs and many operations.

Effort: see ``solve.effort``. Tendons are elastic and fibres follow force and speed (``solve.fibre``), whatever tendon
the statics use.

Start: ankle where push-off leaves it (row ga-ankle-adult-62), or as far down as the calf still pushes it against the
transfer; hindfoot at its resting angle; both at rest. The calf is taken as relaxed from toe-off on.
"""

import math

import numpy as np

from sinewright.anatomy.path import POSE_SIZE, set_pose
from sinewright.arrays import Floats, Ints
from sinewright.compiled import compiled, compiled_making_arrays
from sinewright.solve.answer import lay_pulls, settle, sew
from sinewright.solve.chunks import Progress, in_chunks
from sinewright.solve.clearance import lowest, steppage
from sinewright.solve.effort import excite, plan_effort, working
from sinewright.solve.fibre import settled
from sinewright.solve.field import PULL_SIZE, PULL_WORDS, path_of
from sinewright.solve.heel_strike import available, demand
from sinewright.solve.idle import IDLE, lay_idle
from sinewright.solve.leg import Body, Legs
from sinewright.solve.questions import DONORS, NATIVE
from sinewright.solve.swing_step import ANKLE, FRAME, MUSCLES, NET, SIDE, SUBTALAR, step
from sinewright.solve.walk import BASE, KNEE, MARKS, NODES, RISE, Walk
from sinewright.transfer.plans import Operations

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


@compiled
def begin(
    ankle: float, subtalar: float, knee: float, excitation: Floats, live: Ints, pulls: Floats, words: Ints, body: Body,
    pose: Floats, y: Floats,
) -> None:  # fmt: skip
    """Fill ``y`` at toe-off: at rest, activation as asked, fibres in balance."""
    y[:] = 0.0
    y[ANKLE], y[SUBTALAR] = ankle, subtalar
    set_pose(body.joint, ankle, subtalar, pose)
    for j in range(len(live)):
        i, at = live[j], MUSCLES + 2 * j
        length, _, _ = path_of(pulls[i], words[i], knee, body, pose)
        y[at], y[at + 1] = excitation[j], settled(pulls[i], excitation[j], length)


@compiled
def interval(
    y: Floats, n: int, pieces: int, h: float, base: Floats, shares: Floats, level: Floats, onset: Floats, rise: float,
    live: Ints, pulls: Floats, words: Ints, idle: Floats, body: Body, foot: Floats, fibre: Floats,
    damping: Floats, pose: Floats,
    space: Floats, side: Floats, frame: Floats, held_side: Floats, held_frame: Floats, rows: Floats, asked: Floats,
) -> float:  # fmt: skip
    """Move ``y`` through interval n of h [s] in so many equal pieces; gives the largest difference from order one.

    The motion of the shank inside an interval is a parabola through three steps; ``rows`` (2, 7) and ``asked``
    (2, muscles) are working space.
    """
    worst, last = 0.0, len(base) - 1
    near = min(n + 1, last - 1)
    for i in range(pieces):
        for end in range(2):
            part = (i + end) / pieces
            for c in range(BASE):
                bow = base[near + 1, c] - 2.0 * base[near, c] + base[near - 1, c]
                rows[end, c] = base[n, c] + part * (base[n + 1, c] - base[n, c] - 0.5 * (1.0 - part) * bow)
            excite((n + part) / last, (n + part) * h, shares, level, onset, rise, asked[end])
        off = step(
            y, h / pieces, rows[0], rows[1], asked[0], asked[1], live, pulls, words, idle, body, foot, fibre, damping,
            pose, space, side, frame, held_side, held_frame,
        )  # fmt: skip
        if not off < worst:
            worst = off
    return worst


@compiled_making_arrays
def travel(
    y: Floats, h: float, base: Floats, shares: Floats, level: Floats, onset: Floats, rise: float, live: Ints,
    pulls: Floats, words: Ints, idle: Floats, body: Body, foot: Floats, fibre: Floats, damping: Floats, allowed: float,
    track: Floats,
) -> bool:  # fmt: skip
    """Go from toe-off to heel strike; ``track`` (T+1, 3) gets ankle, hindfoot and moment about the ankle.

    An interval is cut into so many pieces that each differs from order one by about ``allowed`` [rad] or less; when it
    differs by more than twice as much it is done again. False when the foot left its range.
    """
    pose, space, start = np.empty(POSE_SIZE), np.empty((4, len(y))), np.empty(len(y))
    side, frame = np.zeros((len(live), SIDE)), np.empty(FRAME)
    held_side, held_frame, guess = np.zeros((len(live), SIDE)), np.empty(FRAME), np.zeros((len(live), SIDE))
    rows, asked = np.empty((2, BASE)), np.empty((2, len(live)))
    track[0, 0], track[0, 1] = y[ANKLE], y[SUBTALAR]
    pieces = FIRST_PIECES if allowed < FARTHEST else 1
    for n in range(len(base) - 1):
        start[:], guess[:] = y, side
        while True:
            off = interval(
                y, n, pieces, h, base, shares, level, onset, rise, live, pulls, words, idle, body, foot, fibre, damping,
                pose, space, side, frame, held_side, held_frame, rows, asked,
            )  # fmt: skip
            done = off <= 2.0 * allowed or pieces >= MOST_PIECES
            finer = math.ceil(pieces * math.sqrt(off / allowed)) if off < FARTHEST else MOST_PIECES
            pieces = min(max(int(finer), 1), MOST_PIECES)
            if done:
                break
            y[:], side[:] = start, guess
        if not (abs(y[ANKLE]) < FARTHEST and abs(y[SUBTALAR]) < FARTHEST):
            return False
        track[n + 1, 0], track[n + 1, 1], track[n + 1, 2] = y[ANKLE], y[SUBTALAR], held_frame[NET]
    track[0, 2] = track[1, 2]
    return True


@compiled_making_arrays
def read_track(leg: int, track: Floats, walk: Walk, margin: float, body: Body, pose: Floats, out: Floats) -> int:
    """Angles, least clearance and steppage from a track; gives the bits of what failed."""
    last = len(track) - 1
    out[MID], out[MID_SUBTALAR] = track[last // 2, 0], track[last // 2, 1]
    out[STRIKE], out[STRIKE_SUBTALAR] = track[last, 0], track[last, 1]
    where = np.zeros((last + 1, MARKS, 2))
    first, end = walk.window[leg, 0], walk.window[leg, 1]
    least = 1e9
    for n in range(first, end + 1):
        height = lowest(
            track[n, 0], track[n, 1], walk.base[leg, n], walk.ankle_rise[leg, n], walk.marks[leg], body.joint, pose,
            where[n],
        )  # fmt: skip
        least = min(least, height)
    out[CLEARANCE] = least
    out[EXTRA_HIP], found = steppage(
        margin, walk.knee_per_hip[leg], first, end, walk.base[leg], walk.ankle_rise[leg], walk.thigh[leg],
        walk.limb[leg], where,
    )  # fmt: skip
    return 0 if found else FAILED_STEPPAGE


@compiled_making_arrays
def set_out(
    leg: int, plan: int, legs: Legs, plans: Operations, walk: Walk, pushdown: float, rest_subtalar: float, body: Body
) -> tuple[Floats, Ints, Floats, Ints, Floats, Floats, Floats, Floats]:
    """Pulls, words, tensions at rest, working muscles, their level and onset, shares of effort, state at toe-off."""
    pulls, words = np.zeros((NATIVE + DONORS, PULL_SIZE)), np.zeros((NATIVE + DONORS, PULL_WORDS), dtype=np.int32)
    pose, spare = np.empty(POSE_SIZE), np.empty(POSE_SIZE)
    moved = lay_pulls(leg, plan, legs, plans, pulls, words)
    pulls, words = pulls[: NATIVE + moved], words[: NATIVE + moved]
    effort, offset, toe = np.zeros(DONORS), np.zeros(DONORS), np.zeros(DONORS)
    sew(leg, plan, moved, legs, plans, body, pulls, words, pose, spare, effort, offset, toe)
    settle(leg, plan, moved, legs, plans, offset)
    live, level, onset = np.zeros(8, dtype=np.int32), np.zeros(8), np.zeros(8)
    count = working(leg, moved, legs, walk, effort, offset, toe, pulls, words, live, level, onset)
    live, level, onset = live[:count], level[:count], onset[:count]
    shares, base = np.empty(NODES), walk.base[leg]
    plan_effort(
        walk.wanted[leg], rest_subtalar, walk.pace[leg], base, live, level, pulls, words, body, walk.foot[leg],
        walk.fibre[leg], walk.damping[leg], pose, shares,
    )  # fmt: skip
    first = np.empty(count)
    excite(0.0, 0.0, shares, level, onset, walk.timing[leg, RISE], first)
    y = np.empty(MUSCLES + 2 * count)
    begin(max(walk.toe_off[leg], pushdown), rest_subtalar, base[0, KNEE], first, live, pulls, words, body, pose, y)
    idle = np.zeros((len(pulls), IDLE))
    lay_idle(live, pulls, words, body, pose, idle)
    return pulls, words, idle, live, level, onset, shares, y


@compiled_making_arrays
def swing_one(
    leg: int, plan: int, legs: Legs, plans: Operations, walk: Walk, pushdown: float, rest_subtalar: float,
    margin: float, allowed: float, out: Floats, track: Floats,
) -> int:  # fmt: skip
    """Fill ``out`` (11) and ``track`` (T+1, 3) for one leg and operation; gives the bits of what failed."""
    body = Body(plans.elements, legs.points[leg], legs.cylinders[leg], legs.joint[leg], legs.passive[leg], True)
    pulls, words, idle, live, level, onset, shares, y = set_out(
        leg, plan, legs, plans, walk, pushdown, rest_subtalar, body
    )
    pose, base = np.empty(POSE_SIZE), walk.base[leg]
    good = travel(
        y, walk.step[leg], base, shares, level, onset, walk.timing[leg, RISE], live, pulls, words, idle, body,
        walk.foot[leg], walk.fibre[leg], walk.damping[leg], allowed, track,
    )  # fmt: skip
    if not good:
        return FAILED_MOTION
    failed = read_track(leg, track, walk, margin, body, pose, out)
    last = len(base) - 1
    out[PEAK], out[SWING_MOMENT], out[EFFORT_MID] = track[:, 0].max(), track[: last // 2, 2].max(), shares[NODES // 2]
    out[AVAILABLE] = available(track[last, 0], track[last, 1], base[last, KNEE], level, live, pulls, words, body, pose)
    out[DEMAND] = demand(walk.mass[leg], walk.heel[leg, 0], walk.heel[leg, 1])
    return failed


@compiled_making_arrays
def _swing_some(
    first: int, last: int, legs: Legs, plans: Operations, walk: Walk, pushdown: Floats, rest_subtalar: Floats,
    margin: float, allowed: float, out: Floats, failed: Ints,
) -> None:  # fmt: skip
    track = np.empty((walk.base.shape[1], 3))
    for leg in range(first, last):
        for plan in range(len(plans.donor)):
            failed[leg, plan] = swing_one(
                leg,
                plan,
                legs,
                plans,
                walk,
                pushdown[leg, plan],
                rest_subtalar[leg, plan],
                margin,
                allowed,
                out[leg, plan],
                track,
            )


def swing(
    legs: Legs, plans: Operations, walk: Walk, pushdown: Floats, rest_subtalar: Floats, margin: float,
    progress: Progress | None = None, allowed: float = ALLOWED,
) -> tuple[Floats, Ints]:  # fmt: skip
    """Answers (N, C, 11) [rad, m, N.m] and the bits of what failed (N, C); columns as named above.

    Args:
        legs, plans: as for ``solve.answer.answer``.
        walk: N ways of walking.
        pushdown, rest_tilt: (N, C) lowest ankle angle that the calf reaches and hindfoot angle at rest [rad].
        margin: clearance asked for [m]; it only moves the steppage.
    """
    n, c = len(legs.points), len(plans.donor)
    out, failed = np.full((n, c, ANSWERS), np.nan), np.zeros((n, c), dtype=np.int32)
    in_chunks(_swing_some, n, (legs, plans, walk, pushdown, rest_subtalar, margin, allowed, out, failed), progress)
    return out, failed


@compiled_making_arrays
def _tracks_some(
    first: int, last: int, legs: Legs, plans: Operations, walk: Walk, pushdown: Floats, rest_subtalar: Floats,
    allowed: float, out: Floats,
) -> None:  # fmt: skip
    spare = np.empty(ANSWERS)
    for leg in range(first, last):
        failed = swing_one(leg, 0, legs, plans, walk, pushdown[leg], rest_subtalar[leg], 0.0, allowed, spare, out[leg])
        if failed == FAILED_MOTION:
            out[leg] = np.nan


def tracks(
    legs: Legs, plans: Operations, walk: Walk, pushdown: Floats, rest_subtalar: Floats, allowed: float = ALLOWED
) -> Floats:
    """Ankle, hindfoot [rad] and ankle moment [N.m] at every step of swing, (N, T+1, 3), for the first operation.

    ``pushdown`` and ``rest_subtalar`` are (N,); a leg that failed holds NaN.
    """
    n = len(legs.points)
    out = np.empty((n, walk.base.shape[1], 3))
    in_chunks(_tracks_some, n, (legs, plans, walk, pushdown, rest_subtalar, allowed, out))
    return out
