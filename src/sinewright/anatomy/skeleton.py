"""Landmarks, cylinders and native paths of a leg, scaled to one or many people.

The geometry tables hold coordinates of a reference man (mean of the American army survey of 2012, men). A patient
is that man stretched by six sizes, each landmark along x, y, z by the size named in its row. What no paper prints
is an own placement: it carries a spread, and the ones marked free are shifted once by ``anatomy.fit``.
"""

import csv
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from itertools import pairwise

import numpy as np

from sinewright.anatomy.path import (
    CYLINDER_SIZE,
    POSE_SIZE,
    PlacedCylinder,
    Triple,
    place,
    placed_cylinder,
    set_pose,
)
from sinewright.arrays import Floats, Ints
from sinewright.compiled import compiled
from sinewright.units import m, rad

SEGMENTS = {"shank": 0, "talus": 1, "foot": 2}
SIZE_NAMES = (
    "foot_length",
    "ankle_height",
    "dorsum_height",
    "foot_breadth",
    "malleolar_breadth",
    "shank_length",
)
AXES = "xyz"


@dataclass(frozen=True)
class Landmark:
    """One named point of the reference man: position and spread [m], the size that scales each axis."""

    name: str
    segment: int
    position: tuple[float, float, float]
    spread: float
    scales: tuple[int, int, int]
    from_floor: bool
    free: str
    note: str


@dataclass(frozen=True)
class Cylinder:
    """A wrapping cylinder of the reference man: radius [m], axis, way (+1 anticlockwise about it), most turn [rad]."""

    name: str
    segment: int
    centre: int
    axis: tuple[float, float, float]
    radius: float
    way: float
    most_turn: float
    scale: int


@dataclass(frozen=True)
class Skeleton:
    """Landmarks (N, P, 3) and cylinders (N, C, 9) [m], joint (N, 9): see ``anatomy.path`` for the layouts."""

    points: Floats
    cylinders: Floats
    joint: Floats


def geometry_rows(name: str) -> list[dict[str, str]]:
    """Rows of one table of ``reference/geometry``."""
    text = (files("sinewright.reference") / "geometry" / f"{name}.csv").read_text("utf-8")
    return list(csv.DictReader(text.splitlines()))


@cache
def landmarks() -> tuple[Landmark, ...]:
    """Every landmark with its fitted offset added, in file order."""
    shifts = {row["id"]: row for row in geometry_rows("fitted_offsets")}
    return tuple(_landmark(row, shifts.get(row["id"])) for row in geometry_rows("landmarks"))


def _landmark(row: dict[str, str], shift: dict[str, str] | None) -> Landmark:
    raw = [float(row[f"{a}_mm"]) + (float(shift[f"{a}_mm"]) if shift else 0.0) for a in AXES]
    scales = tuple(SIZE_NAMES.index(row[f"scale_{a}"]) for a in AXES)
    return Landmark(
        row["id"],
        SEGMENTS[row["segment"]],
        (m(raw[0]), m(raw[1]), m(raw[2])),
        spread=m(float(row["spread_mm"])),
        scales=(scales[0], scales[1], scales[2]),
        from_floor=row["scale_y"] == "dorsum_height",
        free=row["free"],
        note=row["note"],
    )


@cache
def landmark_index() -> dict[str, int]:
    """Place of each landmark in ``landmarks()``."""
    return {mark.name: i for i, mark in enumerate(landmarks())}


@cache
def cylinders() -> tuple[Cylinder, ...]:
    """Every cylinder, in file order."""
    at = landmark_index()
    return tuple(
        Cylinder(
            r["id"],
            SEGMENTS[r["segment"]],
            at[r["centre"]],
            axis=_unit(float(r["axis_x"]), float(r["axis_y"]), float(r["axis_z"])),
            radius=m(float(r["radius_mm"])),
            way=float(r["way"]),
            most_turn=rad(float(r["most_turn_deg"])),
            scale=SIZE_NAMES.index(r["scale"]),
        )
        for r in geometry_rows("pulleys")
    )


def _unit(x: float, y: float, z: float) -> tuple[float, float, float]:
    n = (x * x + y * y + z * z) ** 0.5
    return x / n, y / n, z / n


def parse_path(text: str) -> Ints:
    """Elements (E, 3) of one path written as ``landmark > (cylinder) > landmark``."""
    at, round_ = landmark_index(), {p.name: i for i, p in enumerate(cylinders())}
    rows = []
    for word in (w.strip() for w in text.split(">")):
        if word.startswith("("):
            i = round_[word[1:-1]]
            rows.append((1, i, cylinders()[i].segment))
        else:
            rows.append((0, at[word], landmarks()[at[word]].segment))
    if rows[0][0] or rows[-1][0] or any(a[0] and b[0] for a, b in pairwise(rows)):
        raise ValueError(f"a path begins and ends with a point and has a point between two cylinders: {text}")
    return np.array(rows, dtype=np.int32)


@cache
def native_paths() -> dict[str, Ints]:
    """Elements of every native muscle."""
    return {row["muscle"]: parse_path(row["steps"]) for row in geometry_rows("native_paths")}


def build(sizes: Floats, joint_axes: Floats, shifts: Floats | None = None) -> Skeleton:
    """Stretch the reference man to N people.

    Args:
        sizes: (N, 6) in the order of ``SIZE_NAMES`` [m]; ankle height is the height of the ankle axis.
        joint_axes: (N, 6) unit vectors of ankle and subtalar axis.
        shifts: (N, P, 3) own displacement of each landmark [m], or none.
    """
    reference = reference_sizes()
    ratio = sizes / reference
    marks = landmarks()
    base = np.array([mark.position for mark in marks])
    points = base[None] * np.stack([ratio[:, [mark.scales[a] for mark in marks]] for a in range(3)], axis=-1)
    floor = np.array([mark.from_floor for mark in marks])
    height = (base[floor, 1] + reference[1])[None] * ratio[:, [2]]
    points[:, floor, 1] = height - sizes[:, [1]]
    if shifts is not None:
        points = points + shifts
    n = len(sizes)
    rounds = np.empty((n, len(cylinders()), CYLINDER_SIZE))
    for i, p in enumerate(cylinders()):
        rounds[:, i, 0:3] = points[:, p.centre]
        rounds[:, i, 3:6] = p.axis
        rounds[:, i, 6] = p.radius * ratio[:, p.scale]
        rounds[:, i, 7] = p.way
        rounds[:, i, 8] = p.most_turn
    joint = np.concatenate([joint_axes, points[:, landmark_index()["subtalar_axis_point"]]], axis=1)
    return Skeleton(points, rounds, joint)


@cache
def _reference_sizes() -> tuple[float, ...]:
    row = {r["size"]: float(r["value_mm"]) for r in geometry_rows("reference_man")}
    return tuple(m(row[name]) for name in SIZE_NAMES)


def reference_sizes() -> Floats:
    """The six sizes of the reference man [m]."""
    return np.array(_reference_sizes())


CLEARANCE = 0.97  # of the distance of the nearest path end
LEAST_RADIUS = m(3.0)
CLEAR_RANGE = tuple((rad(a), rad(s)) for a in (-55.0, -30.0, -10.0, 10.0, 30.0) for s in (-25.0, 0.0, 35.0))


@compiled
def _clear(points: Floats, cylinders: Floats, joint: Floats, elements: Ints, poses: Floats, pose: Floats) -> None:
    """Draw the cylinders (N, C, 9) smaller where the next point of a path lies inside; ``pose`` (27) is work space."""
    for n in range(len(points)):
        for r in range(len(poses)):
            set_pose(joint[n], poses[r, 0], poses[r, 1], pose)
            for k in range(1, len(elements) - 1):
                if elements[k, 0] != 1:
                    continue
                p, segment = elements[k, 1], elements[k, 2]
                for side in (-1, 1):
                    i = elements[k + side, 1]
                    end = place(points[n, i, 0], points[n, i, 1], points[n, i, 2], elements[k + side, 2], pose)
                    away = _off_axis(end, placed_cylinder(cylinders[n, p], segment, pose))
                    cylinders[n, p, 6] = min(cylinders[n, p, 6], max(CLEARANCE * away, LEAST_RADIUS))


@compiled
def _off_axis(point: Triple, cylinder: PlacedCylinder) -> float:
    """Distance of a point from the axis of a cylinder [m]."""
    u, c = cylinder.axis, cylinder.centre
    x, y, z = point[0] - c[0], point[1] - c[1], point[2] - c[2]
    along = x * u[0] + y * u[1] + z * u[2]
    away: float = (x * x + y * y + z * z - along * along) ** 0.5
    return away


def clear_cylinders(skeleton: Skeleton, paths: Iterable[Ints]) -> Skeleton:
    """The skeleton with cylinders small enough that no end of a path lies inside one, over the whole range.

    A landmark drawn into the bone would let its path run straight through; the bone is then drawn smaller instead,
    down to 3 mm.
    """
    rounds = skeleton.cylinders.copy()
    poses, pose = np.array(CLEAR_RANGE), np.empty(POSE_SIZE)
    for elements in paths:
        _clear(skeleton.points, rounds, skeleton.joint, elements, poses, pose)
    return Skeleton(skeleton.points, rounds, skeleton.joint)
