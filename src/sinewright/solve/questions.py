"""What a question sets in motion, and what is read off a pose: efforts, offsets, moment, pull on the junction, reach.

Rest: nobody contracts. Lift: the donor and what is left of the lifters contract fully, calf relaxed. Push-down: the
calf contracts fully, the transfer acts as a tether.
"""

import math

from sinewright.anatomy.path import bend, length_and_moment_arms, set_pose
from sinewright.arrays import Floats, Ints
from sinewright.compiled import compiled
from sinewright.solve.field import (
    COUNTING,
    EFFORT,
    EFFORT_LEVEL,
    ENDS,
    KNEE_MOMENT_ARM,
    OFFSET,
    PATHS,
    SHARE,
    TAKEN,
    WHOLE,
    one_tension,
    path_of,
)
from sinewright.solve.leg import Body

NATIVE, DONORS = 12, 2
PULLS = NATIVE + DONORS
LAST_LIFTER, FIRST_CALF, FIRST_GASTROCNEMIUS = 4, 9, 10


@compiled
def lay_native(muscles: Floats, knee_moment_arm: float, native: Ints, taken: Ints, pulls: Floats, words: Ints) -> None:
    """Write the twelve muscles in place into the list of pulls, at rest."""
    for i in range(NATIVE):
        for j in range(7):
            pulls[i, j] = muscles[i, j]
        pulls[i, OFFSET] = 0.0
        pulls[i, EFFORT_LEVEL] = 0.0
        pulls[i, KNEE_MOMENT_ARM] = knee_moment_arm if i >= FIRST_GASTROCNEMIUS else 0.0
        pulls[i, SHARE] = 1.0
        words[i, COUNTING] = TAKEN if taken[i] == 1 else EFFORT
        words[i, PATHS] = 1
        words[i, ENDS], words[i, ENDS + 1] = native[i, 0], native[i, 1]


@compiled
def lay_donor(
    place: int,
    muscle: int,
    count: int,
    ends: Ints,
    shares: Floats,
    muscles: Floats,
    pulls: Floats,
    words: Ints,
) -> None:
    """Write one moved muscle into the list of pulls, at rest and without its offset."""
    for j in range(7):
        pulls[place, j] = muscles[muscle, j]
    pulls[place, OFFSET] = 0.0
    pulls[place, EFFORT_LEVEL] = 0.0
    pulls[place, KNEE_MOMENT_ARM] = 0.0
    words[place, COUNTING], words[place, PATHS] = WHOLE, count
    for s in range(count):
        pulls[place, SHARE + s] = shares[s]
        words[place, ENDS + 2 * s], words[place, ENDS + 2 * s + 1] = ends[s, 0], ends[s, 1]


@compiled
def capstan_share(
    muscle: int,
    count: int,
    ends: Ints,
    shares: Floats,
    native: Ints,
    friction: float,
    body: Body,
    pose: Floats,
) -> float:
    """Share of tension that passes the bends of the new path, against the muscle's own path (capstan
    equation); a straighter path counts as the own one."""
    before = bend(body.elements, native[muscle, 0], native[muscle, 1], body.points, body.cylinders, pose)
    after = 0.0
    for s in range(count):
        after += shares[s] * bend(body.elements, ends[s, 0], ends[s, 1], body.points, body.cylinders, pose)
    return math.exp(-friction * max(after - before, 0.0))


@compiled
def reach_margin(
    muscle: int,
    reach: Ints,
    cut: Ints,
    overlap: float,
    stretch: float,
    native: Ints,
    body: Body,
    rest_pose: Floats,
    fixing_pose: Floats,
) -> tuple[float, float]:
    """Tendon to spare, and how far the lowest fibres lie past the junction (negative: before it) [m].

    To spare: free tendon from the belly to the cut, less the way left from there to the junction, less the overlap.

    The belly end lies ``stretch`` beyond its start point. It is found on the native path by the free tendon
    beyond it, measured in the rest pose like everything the set stretch counts from.
    """
    free = _length(cut[0], cut[1], body, rest_pose)
    belly = _until(native[muscle], body.elements[cut[1] - 1, 1], body, rest_pose) - free
    way = _length(reach[0], reach[1], body, fixing_pose)
    past = belly + stretch - way
    return free + past - overlap, past


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


@compiled
def ask(
    question: int, capacity: Floats, effort: Floats, offset: Floats, toe: Floats, pulls: Floats, moved: int
) -> None:
    """Set efforts and offsets for rest (0), lift (1) or push-down (2); in lift the toes first take up their part."""
    for i in range(NATIVE):
        works = (question == 1 and i < LAST_LIFTER) or (question == 2 and i >= FIRST_CALF)
        pulls[i, EFFORT_LEVEL] = capacity[i] if works else 0.0
    for p in range(moved):
        pulls[NATIVE + p, EFFORT_LEVEL] = effort[p] if question == 1 else 0.0
        pulls[NATIVE + p, OFFSET] = offset[p] - (toe[p] if question == 1 else 0.0)


@compiled
def lifting_moment(pulls: Floats, words: Ints, body: Body, pose: Floats) -> float:
    """Moment about the ankle [N.m, + lifts] that effort adds in a pose, knee straight: what a dynamometer reads."""
    total = 0.0
    for i in range(len(pulls)):
        if words[i, COUNTING] == TAKEN or pulls[i, EFFORT_LEVEL] == 0.0:
            continue
        length, arm, _ = path_of(pulls[i], words[i], 0.0, body, pose)
        working, _ = one_tension(pulls[i], pulls[i, EFFORT_LEVEL], length, body.elastic)
        idle, _ = one_tension(pulls[i], 0.0, length, body.elastic)
        total += (working - idle) * arm
    return total


@compiled
def donor_pull(
    ankle: float, subtalar: float, knee: float, pulls: Floats, words: Ints, body: Body, pose: Floats
) -> float:
    """Largest tension of a moved tendon [N] at joint angles [rad]: what its junction carries."""
    set_pose(body.joint, ankle, subtalar, pose)
    most = 0.0
    for i in range(NATIVE, len(pulls)):
        length, _, _ = path_of(pulls[i], words[i], knee, body, pose)
        force, _ = one_tension(pulls[i], pulls[i, EFFORT_LEVEL], length, body.elastic)
        most = max(most, force)
    return most
