"""People, poses and paths that the tests of this folder share. The people are random and invented."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from math import hypot

import numpy as np

from sinewright.anatomy.fit import reference_joint_axes
from sinewright.anatomy.joints import ankle_axis, subtalar_axis
from sinewright.anatomy.path import (
    CYLINDER,
    POSE_SIZE,
    PlacedCylinder,
    length_and_moment_arms,
    place,
    rotation,
    set_pose,
    turn,
    wrap,
)
from sinewright.anatomy.skeleton import (
    Skeleton,
    build,
    clear_cylinders,
    landmarks,
    native_paths,
    reference_sizes,
)
from sinewright.arrays import Floats, Ints
from sinewright.reference import load
from sinewright.transfer.catalogue import moved_paths, pulling_paths
from sinewright.units import rad

Triple = tuple[float, float, float]

ANKLE_DEG = (-55.0, 30.0)
SUBTALAR_DEG = (-25.0, 35.0)
SIZE_SD = 0.08  # share of each size; wider than the army survey (at most 0.08, malleolar height)
AXIS_ROWS = (
    "ax-talocrural-frontal-inman1976",
    "ax-talocrural-transverse-ismaninman1969",
    "ax-subtalar-inclination-krahenbuhl2017",
    "ax-subtalar-deviation-krahenbuhl2017",
)


def grid(ankles: int, subtalars: int) -> list[tuple[float, float]]:
    """Joint angles [rad] over the whole range of both joints, ends included."""
    first, second = np.linspace(*ANKLE_DEG, ankles), np.linspace(*SUBTALAR_DEG, subtalars)
    return [(rad(float(a)), rad(float(s))) for a in first for s in second]


def random_poses(rng: np.random.Generator, n: int) -> list[tuple[float, float]]:
    """Joint angles [rad] drawn evenly from the range."""
    ankles, subtalars = rng.uniform(*ANKLE_DEG, n), rng.uniform(*SUBTALAR_DEG, n)
    return [(rad(float(a)), rad(float(s))) for a, s in zip(ankles, subtalars, strict=True)]


@cache
def reference_man() -> Skeleton:
    """The leg that the tables describe."""
    return build(reference_sizes()[None], reference_joint_axes(load()))


def random_people(rng: np.random.Generator, n: int, jitter: bool = False) -> Skeleton:
    """N people of other sizes and axes (rows AXIS_ROWS); ``jitter`` moves landmarks by their spread."""
    sizes = reference_sizes() * np.exp(SIZE_SD * rng.standard_normal((n, len(reference_sizes()))))
    rows = [load().row(name) for name in AXIS_ROWS]
    frontal, transverse, up, inward = (
        rad(row.value + float(row.sd or np.nan) * rng.standard_normal(n)) for row in rows
    )
    axes = np.concatenate([ankle_axis(frontal, transverse), subtalar_axis(up, inward)], axis=1)
    spread = np.array([mark.spread for mark in landmarks()])
    shifts = spread[:, None] * rng.standard_normal((n, len(spread), 3)) if jitter else None
    return clear_cylinders(build(sizes, axes, shifts), pulling_paths())


def all_paths() -> dict[str, Ints]:
    """Every path the package knows, by name: native and moved."""
    return {**native_paths(), **moved_paths()}


def turn_matrix(axis: Floats, angle: float) -> Floats:
    """The package's rotation by ``angle`` [rad] about a unit axis, (3, 3)."""
    out: Floats = np.reshape(np.array(rotation(axis[0], axis[1], axis[2], angle)), (3, 3))
    return out


def pose_of(joint: Floats, ankle: float, subtalar: float) -> Floats:
    """The filled pose of one person."""
    pose = np.empty(POSE_SIZE)
    set_pose(joint, ankle, subtalar, pose)
    return pose


def measure(skeleton: Skeleton, elements: Ints, pose: Floats, person: int = 0) -> Floats:
    """Length and both arms [m] of one path, (3,)."""
    body = (skeleton.points[person], skeleton.cylinders[person], skeleton.joint[person])
    return np.array(length_and_moment_arms(elements, 0, len(elements), *body, pose))


def measure_all(skeleton: Skeleton, paths: dict[str, Ints], ankle: float, subtalar: float, person: int) -> Floats:
    """Length and both arms [m] of every path, (paths, 3)."""
    pose = pose_of(skeleton.joint[person], ankle, subtalar)
    return np.array([measure(skeleton, elements, pose, person) for elements in paths.values()])


@dataclass(frozen=True)
class Contact:
    """A cylinder of a path in one pose: arc [m] (-1 without contact), both neighbours' distance in radii."""

    arc: float
    before: float
    after: float


def contacts(skeleton: Skeleton, elements: Ints, pose: Floats, person: int = 0) -> Iterator[Contact]:
    """Each cylinder that a path passes."""
    for k in np.flatnonzero(elements[:, 0] == CYLINDER):
        cylinder, segment = skeleton.cylinders[person, elements[k, 1]], elements[k, 2]
        centre = place(cylinder[0], cylinder[1], cylinder[2], segment, pose)
        axis = turn(cylinder[3], cylinder[4], cylinder[5], segment, pose)
        points = [(skeleton.points[person, i], s) for _, i, s in elements[[k - 1, k + 1]]]
        ends = [place(point[0], point[1], point[2], s, pose) for point, s in points]
        away = [_off_axis(end, centre, axis) / float(cylinder[6]) for end in ends]
        arc, _, _ = wrap(ends[0], ends[1], PlacedCylinder(centre, axis, *cylinder[6:9]))
        yield Contact(float(arc), away[0], away[1])


def _off_axis(point: Triple, centre: Triple, axis: Triple) -> float:
    """Distance [m] of a point from the line through ``centre`` along the unit vector ``axis``."""
    x, y, z = point[0] - centre[0], point[1] - centre[1], point[2] - centre[2]
    cross = (y * axis[2] - z * axis[1], z * axis[0] - x * axis[2], x * axis[1] - y * axis[0])
    return hypot(*cross)
