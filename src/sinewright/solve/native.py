"""The muscles in place: lengths, moment arms and the moment each gives at full effort, for many legs at once."""

import numpy as np

from sinewright.anatomy.path import POSE_SIZE, length_and_moment_arms, set_pose
from sinewright.anatomy.skeleton import Skeleton
from sinewright.arrays import Floats, Ints
from sinewright.compiled import compiled
from sinewright.errors import SolveError
from sinewright.muscle.equilibrium import muscle_of
from sinewright.solve.actuators import muscle_tension


@compiled
def _lengths(
    points: Floats, cylinders: Floats, joint: Floats, elements: Ints, native: Ints, angles: Floats, pose: Floats,
    out: Floats,
) -> None:  # fmt: skip
    for n in range(len(points)):
        set_pose(joint[n], angles[n, 0], angles[n, 1], pose)
        for i in range(len(native)):
            out[n, i, 0], out[n, i, 1], out[n, i, 2] = length_and_moment_arms(
                elements, native[i, 0], native[i, 1], points[n], cylinders[n], joint[n], pose
            )


def native_lengths(skeleton: Skeleton, elements: Ints, native: Ints, ankle: Floats, subtalar: Floats) -> Floats:
    """Length and both moment arms of every muscle in place, knee straight.

    Parameters
    ----------
    skeleton : Skeleton
        N legs.
    elements : int32 array, (E, 3)
        All paths, see ``anatomy.path``.
    native : int32 array, (M, 2)
        First and last element of every muscle.
    ankle, subtalar : array, (N,)
        Joint angles [rad].

    Returns
    -------
    array, (N, M, 3)
        Length, ankle and subtalar moment arm [m].
    """
    out, angles = np.empty((len(skeleton.points), len(native), 3)), np.stack([ankle, subtalar], axis=1)
    points, cylinders, joint = (
        np.ascontiguousarray(part) for part in (skeleton.points, skeleton.cylinders, skeleton.joint)
    )
    _lengths(points, cylinders, joint, elements, native, angles, np.empty(POSE_SIZE), out)
    return out


@compiled
def _efforts(muscles: Floats, lengths: Floats, knee_shift: Floats, elastic: bool, out: Floats) -> None:
    for n in range(len(muscles)):
        for i in range(muscles.shape[1]):
            muscle, length = muscle_of(muscles[n, i]), lengths[n, i, 0] - knee_shift[n, i]
            working, _ = muscle_tension(muscle, 1.0, length, elastic)
            idle, _ = muscle_tension(muscle, 0.0, length, elastic)
            out[n, i, 0] = (working - idle) * lengths[n, i, 1]
            out[n, i, 1] = (working - idle) * lengths[n, i, 2]


def effort_moments(muscles: Floats, lengths: Floats, knee_shift: Floats, elastic: bool = True) -> Floats:
    """Moments about ankle and subtalar axis that full effort adds, muscle by muscle.

    Parameters
    ----------
    muscles : array, (N, M, 7)
        See ``muscle.equilibrium.MuscleTendon``.
    lengths : array, (N, M, 3)
        From ``native_lengths`` [m].
    knee_shift : array, (N, M)
        Length that knee flexion takes off [m].
    elastic : bool
        Whether tendons stretch.

    Returns
    -------
    array, (N, M, 2)
        Moments [N.m].

    Raises
    ------
    SolveError
        If a muscle and its tendon find no equilibrium.
    """
    out = np.empty((len(muscles), muscles.shape[1], 2))
    muscles, lengths, knee_shift = (np.ascontiguousarray(part) for part in (muscles, lengths, knee_shift))
    _efforts(muscles, lengths, knee_shift, elastic, out)
    if np.isnan(out).any():
        leg, muscle = np.argwhere(np.isnan(out))[0, :2]
        raise SolveError(f"muscle {muscle + 1} of virtual leg {leg + 1} finds no equilibrium with its tendon")
    return out
