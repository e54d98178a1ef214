"""The muscles in place: lengths, arms and the moment each gives at full effort, for many legs at once."""

import numpy as np

from sinewright.anatomy.path import POSE_SIZE, length_and_moment_arms, set_pose
from sinewright.anatomy.skeleton import Skeleton
from sinewright.arrays import Floats, Ints
from sinewright.compiled import compiled_making_arrays
from sinewright.solve.field import one_tension


@compiled_making_arrays
def _lengths(
    points: Floats,
    cylinders: Floats,
    joint: Floats,
    elements: Ints,
    native: Ints,
    ankle: Floats,
    subtalar: Floats,
    out: Floats,
) -> None:
    pose = np.empty(POSE_SIZE)
    for n in range(len(points)):
        set_pose(joint[n], ankle[n], subtalar[n], pose)
        for i in range(len(native)):
            out[n, i] = length_and_moment_arms(
                elements, native[i, 0], native[i, 1], points[n], cylinders[n], joint[n], pose
            )


def native_lengths(skeleton: Skeleton, elements: Ints, native: Ints, ankle: Floats, subtalar: Floats) -> Floats:
    """Length and both arms [m] of every muscle in place: (N, M, 3), at the joint angles (N,) [rad], knee straight."""
    out = np.empty((len(skeleton.points), len(native), 3))
    _lengths(skeleton.points, skeleton.cylinders, skeleton.joint, elements, native, ankle, subtalar, out)
    return out


@compiled_making_arrays
def _efforts(muscles: Floats, lengths: Floats, knee_shift: Floats, elastic: bool, out: Floats) -> None:
    pull = np.zeros(16)
    for n in range(len(muscles)):
        for i in range(muscles.shape[1]):
            pull[:7] = muscles[n, i]
            length = lengths[n, i, 0] - knee_shift[n, i]
            working, _ = one_tension(pull, 1.0, length, elastic)
            idle, _ = one_tension(pull, 0.0, length, elastic)
            out[n, i, 0] = (working - idle) * lengths[n, i, 1]
            out[n, i, 1] = (working - idle) * lengths[n, i, 2]


def effort_moments(muscles: Floats, lengths: Floats, knee_shift: Floats, elastic: bool = True) -> Floats:
    """Moments [N.m] about ankle and subtalar axis that full effort adds, muscle by muscle: (N, M, 2).

    Args:
        muscles: (N, M, 7), see ``solve.leg``.
        lengths: (N, M, 3) from ``native_lengths``.
        knee_shift: (N, M) length that knee flexion takes off [m].
    """
    out = np.empty((len(muscles), muscles.shape[1], 2))
    _efforts(muscles, lengths, knee_shift, elastic, out)
    return out
