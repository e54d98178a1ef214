"""A foot held at one angle all through swing, as by a brace, and what each degree of a joint is worth in clearance."""

import numpy as np

from sinewright.anatomy.path import POSE_SIZE
from sinewright.arrays import Floats, Ints, checked
from sinewright.compiled import compiled
from sinewright.solve.clearance import Sole, lifted, lowest, passing_of
from sinewright.solve.leg import LEG_SHAPES, Legs
from sinewright.solve.swing import ANSWERS, PEAK, SwingSpace, new_swing_space, read_track
from sinewright.solve.walk import MARKS, WALK_SHAPES, Walk

LITTLE = 1e-3  # rad
BY_ANKLE, BY_KNEE, BY_HIP = range(3)


@compiled
def _held_some(
    legs: Legs, walk: Walk, angles: Floats, margin: float, space: SwingSpace, out: Floats, failed: Ints
) -> None:
    for leg in range(len(angles)):
        for n in range(len(space.track)):
            space.track[n, 0], space.track[n, 1], space.track[n, 2] = angles[leg, 0], angles[leg, 1], 0.0
        failed[leg] = read_track(leg, walk, margin, legs.joint[leg], space, out[leg])
        out[leg, PEAK] = angles[leg, 0]


def held(legs: Legs, walk: Walk, ankle: Floats, subtalar: Floats, margin: float) -> tuple[Floats, Ints]:
    """Answers (N, 11) as in ``solve.swing`` and what failed (N,) of a foot held at (N,) joint angles [rad].

    Moments and effort stay NaN: whatever holds the foot gives them.
    """
    legs, walk = checked(legs, LEG_SHAPES), checked(walk, WALK_SHAPES)
    n = len(legs.points)
    out, failed = np.full((n, ANSWERS), np.nan), np.zeros(n, dtype=np.int32)
    space = new_swing_space(walk.base.shape[1])
    _held_some(legs, walk, np.stack([ankle, subtalar], axis=1), margin, space, out, failed)
    return out, failed


@compiled
def _clearance_rates(
    legs: Legs, walk: Walk, ankle: Floats, pose: Floats, where: Floats, more: Floats, out: Floats
) -> None:
    """Fill ``out`` (N, 3); ``where`` and ``more`` (T, 3, 2) are working space."""
    for leg in range(len(ankle)):
        sole = Sole(walk.marks[leg], legs.joint[leg], walk.base[leg], walk.ankle_rise[leg], pose)
        passing, raised = passing_of(leg, walk, where), passing_of(leg, walk, more)
        for n in range(passing.first, passing.last + 1):
            lowest(ankle[leg], 0.0, n, sole, where[n])
            lowest(ankle[leg] + LITTLE, 0.0, n, sole, more[n])
        still = lifted(0.0, 0.0, passing)
        by_hip, by_both = lifted(LITTLE, 0.0, passing), lifted(LITTLE, 1.0, passing)
        out[leg, BY_ANKLE] = (lifted(0.0, 0.0, raised) - still) / LITTLE
        out[leg, BY_KNEE], out[leg, BY_HIP] = (by_both - by_hip) / LITTLE, (by_hip - still) / LITTLE


def clearance_rates(legs: Legs, walk: Walk, ankle: Floats) -> Floats:
    """Least clearance gained by ankle, knee and hip flexion (N, 3) [m/rad] with the ankle held at (N,) angles [rad]."""
    legs, walk = checked(legs, LEG_SHAPES), checked(walk, WALK_SHAPES)
    out, where = np.empty((len(ankle), 3)), np.zeros((2, walk.base.shape[1], MARKS, 2))
    _clearance_rates(legs, walk, np.ascontiguousarray(ankle), np.empty(POSE_SIZE), where[0], where[1], out)
    return out
