"""A tendon path as the points that a pen follows, round every pulley, exactly as the model measures it.

Frame, segments and layouts as in ``anatomy.path``; metres in the shank frame (x forward, y up, z outward).
"""

from dataclasses import dataclass
from functools import cached_property
from math import atan2, ceil

import numpy as np

from sinewright.anatomy.path import CYLINDER, POSE_SIZE, place, placed_cylinder, set_pose, wrap
from sinewright.anatomy.skeleton import Skeleton
from sinewright.arrays import Floats, Ints

ARC_STEP = 0.06  # rad between two points of a drawn wrap


@dataclass(frozen=True)
class PosedPath:
    """A strand in one pose: points (n, 3) [m] and, for each point, the landmark it is or -1 on a pulley."""

    points: Floats
    marks: tuple[int, ...]

    @cached_property
    def along(self) -> Floats:
        """Length from the start to every point [m], (n,)."""
        return np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(self.points, axis=0), axis=1))])

    @property
    def length(self) -> float:
        """Whole length [m]."""
        return float(self.along[-1])

    def at(self, length: float | Floats) -> Floats:
        """The point (3,), or points (k, 3), that lie `length` [m] from the start, held between both ends."""
        along = self.along
        return np.stack([np.interp(length, along, self.points[:, i]) for i in range(3)], axis=-1)

    def part(self, first: float, last: float) -> "PosedPath":
        """The piece between two lengths [m], with points at both ends."""
        along = self.along
        first, last = max(first, 0.0), min(last, float(along[-1]))
        inside = (along > first) & (along < last)
        points = np.vstack([self.at(first), self.points[inside], self.at(last)])
        marks = [mark for mark, keep in zip(self.marks, inside, strict=True) if keep]
        return PosedPath(points, (-1, *marks, -1))

    def until(self, landmark: int) -> float:
        """Length [m] from the start to a landmark on the strand. Raises ValueError when it is not on it."""
        return float(self.along[self.marks.index(landmark)])


def pose_at(skeleton: Skeleton, ankle: float, subtalar: float, person: int = 0) -> Floats:
    """Pose (27) of one person at joint angles [rad]."""
    pose = np.empty(POSE_SIZE)
    set_pose(skeleton.joint[person], ankle, subtalar, pose)
    return pose


def spot(skeleton: Skeleton, landmark: int, segment: int, pose: Floats, person: int = 0) -> Floats:
    """One landmark in a pose [m], (3,)."""
    x, y, z = skeleton.points[person, landmark]
    return np.array(place(x, y, z, segment, pose))


def lay_line(skeleton: Skeleton, elements: Ints, pose: Floats, person: int = 0) -> PosedPath:
    """The points of one strand in a pose; wraps are drawn as arcs."""
    points, marks = [spot(skeleton, elements[0, 1], elements[0, 2], pose, person)], [int(elements[0, 1])]
    cylinder = -1
    for k in range(1, len(elements)):
        if elements[k, 0] == CYLINDER:
            cylinder = k
            continue
        there = spot(skeleton, elements[k, 1], elements[k, 2], pose, person)
        if cylinder >= 0:
            arc = _arc(
                skeleton.cylinders[person, elements[cylinder, 1]], int(elements[cylinder, 2]), points[-1], there, pose
            )
            points += arc
            marks += [-1] * len(arc)
        points.append(there)
        marks.append(int(elements[k, 1]))
        cylinder = -1
    return PosedPath(np.array(points), tuple(marks))


def _arc(cylinder: Floats, segment: int, here: Floats, there: Floats, pose: Floats) -> list[Floats]:
    """Points [m] of the wrap between two ends; none where the strand passes free."""
    placed = placed_cylinder(cylinder, segment, pose)
    arc, t0, t1 = wrap(tuple(here), tuple(there), placed)
    if arc < 0.0:
        return []
    c, k = np.array(placed.centre), np.array(placed.axis)
    first, last = np.array(t0) - c, np.array(t1) - c
    low, high = float(first @ k), float(last @ k)
    u = (first - low * k) / cylinder[6]
    v = np.cross(k, u)
    flat = last - high * k
    angle = float(cylinder[7]) * atan2(float(flat @ v), float(flat @ u))
    angle = angle if angle >= 0.0 else angle + 2.0 * np.pi
    parts = max(2, ceil(angle / ARC_STEP))
    share = (np.arange(parts + 1) / parts)[:, None]
    turned = float(cylinder[7]) * angle * share
    return list(c + (low + share * (high - low)) * k + cylinder[6] * (np.cos(turned) * u + np.sin(turned) * v))


def wavy(line: PosedPath, extra: float, across: Floats) -> PosedPath:
    """The strand with a wave in the direction `across` (3,), so that it is longer by `extra` [m]: a slack tendon."""
    length = line.length
    if extra <= 0.0 or length <= 0.0:
        return line
    wanted = length + min(extra, 0.25 * length)
    waves = max(2, round(length / 0.022))
    share = np.linspace(0.0, 1.0, 16 * waves + 1)
    straight = line.at(share * length)
    swing = np.sin(2.0 * np.pi * waves * share) * np.minimum(1.0, 6.0 * share * (1.0 - share))
    low, high = 0.0, 0.25 * length
    for _ in range(40):
        middle = 0.5 * (low + high)
        long = PosedPath(straight + np.outer(middle * swing, across), (-1,) * len(share)).length
        low, high = (middle, high) if long < wanted else (low, middle)
    return PosedPath(straight + np.outer(high * swing, across), (-1,) * len(share))
