"""A foot held at one angle all through swing, as by a brace, and what each degree of a joint is worth in clearance."""

import numpy as np

from sinewright.anatomy.path import POSE_SIZE
from sinewright.arrays import Floats, Ints
from sinewright.compiled import compiled_making_arrays
from sinewright.solve.clearance import lifted, lowest
from sinewright.solve.leg import Body, Legs
from sinewright.solve.swing import ANSWERS, PEAK, read_track
from sinewright.solve.walk import MARKS, Walk
from sinewright.transfer.plans import Operations

LITTLE = 1e-3  # rad
BY_ANKLE, BY_KNEE, BY_HIP = range(3)


@compiled_making_arrays
def _held_some(
    elements: Ints, legs: Legs, walk: Walk, ankle: Floats, subtalar: Floats, margin: float, out: Floats, failed: Ints
) -> None:
    track, pose = np.zeros((walk.base.shape[1], 3)), np.empty(POSE_SIZE)
    for leg in range(len(ankle)):
        body = Body(elements, legs.points[leg], legs.cylinders[leg], legs.joint[leg], legs.passive[leg], True)
        track[:, 0], track[:, 1] = ankle[leg], subtalar[leg]
        failed[leg] = read_track(leg, track, walk, margin, body, pose, out[leg])
        out[leg, PEAK] = ankle[leg]


def held(
    legs: Legs, plans: Operations, walk: Walk, ankle: Floats, subtalar: Floats, margin: float
) -> tuple[Floats, Ints]:
    """Answers (N, 11) as in ``solve.swing`` and what failed (N,) of a foot held at (N,) joint angles [rad].

    Moments and effort stay NaN: whatever holds the foot gives them.
    """
    n = len(legs.points)
    out, failed = np.full((n, ANSWERS), np.nan), np.zeros(n, dtype=np.int32)
    _held_some(plans.elements, legs, walk, ankle, subtalar, margin, out, failed)
    return out, failed


@compiled_making_arrays
def _rates_some(legs: Legs, walk: Walk, ankle: Floats, out: Floats) -> None:
    pose, where = np.empty(POSE_SIZE), np.zeros((walk.base.shape[1], MARKS, 2))
    more = np.zeros((walk.base.shape[1], MARKS, 2))
    for leg in range(len(ankle)):
        first, last = walk.window[leg, 0], walk.window[leg, 1]
        base, rise = walk.base[leg], walk.ankle_rise[leg]
        for n in range(first, last + 1):
            lowest(ankle[leg], 0.0, base[n], rise[n], walk.marks[leg], legs.joint[leg], pose, where[n])
            lowest(ankle[leg] + LITTLE, 0.0, base[n], rise[n], walk.marks[leg], legs.joint[leg], pose, more[n])
        thigh, limb = walk.thigh[leg], walk.limb[leg]
        still = lifted(0.0, 0.0, first, last, base, rise, thigh, limb, where)
        by_hip = lifted(LITTLE, 0.0, first, last, base, rise, thigh, limb, where)
        by_both = lifted(LITTLE, 1.0, first, last, base, rise, thigh, limb, where)
        out[leg, BY_ANKLE] = (lifted(0.0, 0.0, first, last, base, rise, thigh, limb, more) - still) / LITTLE
        out[leg, BY_KNEE], out[leg, BY_HIP] = (by_both - by_hip) / LITTLE, (by_hip - still) / LITTLE


def clearance_rates(legs: Legs, walk: Walk, ankle: Floats) -> Floats:
    """Least clearance gained by ankle, knee and hip flexion (N, 3) [m/rad] with the ankle held at (N,) angles [rad]."""
    out = np.empty((len(ankle), 3))
    _rates_some(legs, walk, ankle, out)
    return out
