"""Outlines of bones and skin at a patient's own size and in any pose, as flat polygons of a view.

The outlines of ``outlines.toml`` are stretched by the same six sizes as the landmarks, moved with their segment as the
model moves it, and projected. A polygon is a list of points in millimetres, x to the right and y down, plus its depth.
"""

from __future__ import annotations

import tomllib
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache
from importlib.resources import files
from math import cos, sin
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from sinewright.anatomy.path import place
from sinewright.anatomy.skeleton import SEGMENTS, SIZE_NAMES, reference_sizes
from sinewright.export.svg import Point
from sinewright.results import Side
from sinewright.units import m, mm, rad

Floats = NDArray[np.float64]
View = Literal["side", "front"]

LOOK_DOWN = rad(25.0)  # of the front view, so that the back of the foot shows


@dataclass(frozen=True)
class Shape:
    """One outline on paper: name, points [mm], depth [mm] (larger is nearer to the viewer), edges inside it."""

    name: str
    points: tuple[Point, ...]
    depth: float
    lines: tuple[tuple[Point, ...], ...] = ()


@cache
def outlines() -> dict[str, Any]:
    """The table of outlines."""
    return tomllib.loads((files("sinewright.export") / "outlines.toml").read_text("utf-8"))


@dataclass(frozen=True)
class Eye:
    """One view of one foot: from which side it is seen and whether it is a left one, which is mirrored here.

    Side view: from the outer side, a right foot points to the right of the paper; lengths across the line of sight are
    true. Front view: from in front and `LOOK_DOWN` from above, so that the back of the foot is seen; the outer border
    of a right foot is to the left of the paper.
    """

    view: View
    side: Side

    def flat(self, point: Sequence[float] | Floats) -> Point:
        """A point of the model [m] on paper [mm]."""
        x, y, z = (float(v) for v in point)
        across, up = (x, y) if self.view == "side" else (-z, y * cos(LOOK_DOWN) - x * sin(LOOK_DOWN))
        return float(mm(across if self.side == "right" else -across)), float(mm(-up))

    def depth(self, point: Sequence[float] | Floats) -> float:
        """How near to the viewer a point of the model [m] lies [mm]."""
        x, y, z = (float(v) for v in point)
        return float(mm(z if self.view == "side" else x * cos(LOOK_DOWN) + y * sin(LOOK_DOWN)))


@dataclass(frozen=True)
class Body:
    """Sizes (6,) [m] and pose (27) that outlines are drawn at."""

    sizes: Floats
    pose: Floats

    def stretched(self, at: Sequence[float], segment: str) -> tuple[float, float, float]:
        """A point of the reference man [mm] at this patient's sizes [m], before it is moved."""
        x, y, z = (float(v) for v in at)
        ratio = dict(zip(SIZE_NAMES, self.sizes / reference_sizes(), strict=True))
        if segment == "shank":
            up = ratio["shank_length"] if y > 0.0 else ratio["ankle_height"]
            breadth = ratio["malleolar_breadth"]
            return m(x * breadth), m(y * up), m(z * breadth)
        floor = -mm(float(reference_sizes()[SIZE_NAMES.index("ankle_height")]))
        high = m((y - floor) * ratio["dorsum_height"]) - float(self.sizes[SIZE_NAMES.index("ankle_height")])
        share = min(max((x - 18.0) / 36.0, 0.0), 1.0)
        return (
            m(x * ratio["foot_length"]),
            share * high + (1.0 - share) * m(y * ratio["ankle_height"]),
            m(z * ratio["foot_breadth"]),
        )

    def placed(self, at: Sequence[float], segment: str) -> Floats:
        """A point of the reference man [mm] at this patient's sizes and pose [m]."""
        return np.array(place(*self.stretched(at, segment), SEGMENTS[segment], self.pose))


def block_bones(body: Body, eye: Eye) -> list[Shape]:
    """All bones that are drawn as outlines."""
    out = []
    for bone in outlines()["bone"]:
        if eye.view == "side" and "side" in bone:
            out.append(_from_side(bone, body, eye))
        elif eye.view == "front":
            out.append(_from_front(bone, body, eye))
    return out


def _from_side(bone: dict[str, Any], body: Body, eye: Eye) -> Shape:
    """A bone from the outer side: its outline and the edges inside it."""

    def placed(rows: Sequence[Sequence[float]]) -> list[Floats]:
        return [body.placed((x, y, bone["side_depth"]), bone["segment"]) for x, y in rows]

    lines = tuple(tuple(eye.flat(p) for p in placed(row)) for row in bone.get("side_lines", ()))
    return replace(_shape(bone["name"], placed(bone["side"]), eye), lines=lines)


def _from_front(bone: dict[str, Any], body: Body, eye: Eye) -> Shape:
    """A bone from in front: its outline, or what the outlines of its back and its front span."""
    faces = [[body.placed((x, y, z), bone["segment"]) for z, y in bone["front"]] for x in bone["front_depth"]]
    one = _shape(bone["name"], [p for face in faces for p in face], eye)
    near = bone["front_depth"][-1]
    lines = tuple(
        tuple(eye.flat(body.placed((near, y, z), bone["segment"])) for z, y in row)
        for row in bone.get("front_lines", ())
    )
    return replace(one, points=one.points if len(faces) == 1 else hull(one.points), lines=lines)


def _shape(name: str, points: Sequence[Floats], eye: Eye) -> Shape:
    depth = float(np.mean([eye.depth(p) for p in points]))
    return Shape(name, tuple(eye.flat(p) for p in points), depth)


def long_bones(body: Body, eye: Eye) -> list[Shape]:
    """Metatarsals and toes: a waisted shape along the line from base to head, foreshortened as that line is."""
    out = []
    for ray in outlines()["ray"]:
        base, head = (body.placed(ray[end], "foot") for end in ("base", "head"))
        ratio = float(body.sizes[0] / reference_sizes()[0])
        radii = [r * ratio for r in ray["radii"]]
        depth = 0.5 * (eye.depth(base) + eye.depth(head))
        out.append(Shape(ray["name"], waisted(eye.flat(base), eye.flat(head), radii), depth))
    return out


def waisted(base: Point, head: Point, radii: Sequence[float]) -> tuple[Point, ...]:
    """A long bone on paper: flat base, slim waist, round head; all [mm]."""
    a, b = np.array(base), np.array(head)
    length = float(np.linalg.norm(b - a))
    u = (b - a) / length if length > 1e-6 else np.array([1.0, 0.0])
    v = np.array([-u[1], u[0]])
    big, waist, end = radii
    plan = (
        (-0.55 * big, 0.62 * big), (-0.1 * big, 0.98 * big), (0.12 * length + 0.3 * big, 0.9 * big),
        (0.36 * length, 0.5 * (waist + big) * 0.86), (0.6 * length, waist), (0.82 * length, 0.5 * (waist + end)),
        (length - 0.1 * end, end), (length + 0.62 * end, 0.72 * end),
    )  # fmt: skip
    upper = [a + along * u + across * v for along, across in plan]
    lower = [a + along * u - across * v for along, across in reversed(plan)]
    tip = [b + 0.98 * end * u]
    return tuple((float(p[0]), float(p[1])) for p in (*upper, *tip, *lower))


def skin(body: Body, eye: Eye) -> list[Shape]:
    """Skin as one outline from the side; from in front as shank, foot and toes that overlap."""
    table = outlines()["skin"]
    rows = table[eye.view]
    if eye.view == "side":
        points = [_stretchy(body, (x, y, 0.0), share) for x, y, share in rows]
        return [_shape("skin", points, eye)]
    shank = [_stretchy(body, (0.0, y, z), share) for z, y, share in rows]
    foot = [body.placed(row, "foot") for row in table["foot"]]
    out = [_shape("skin", shank, eye), Shape("foot", hull([eye.flat(p) for p in foot]), 40.0)]
    for near, far in table["toes"]:
        ends = [(eye.flat(body.placed(row[:3], "foot")), float(row[3])) for row in (near, far)]
        ring = [
            (at[0] + r * float(np.cos(t)), at[1] + r * float(np.sin(t)))
            for at, r in ends
            for t in np.linspace(0.0, 2.0 * np.pi, 25)[:-1]
        ]
        out.append(Shape("toe", hull(ring), eye.depth(body.placed(far[:3], "foot"))))
    return out


def _stretchy(body: Body, at: tuple[float, float, float], share: float) -> Floats:
    """A point of the skin [m] that follows the foot by `share`."""
    out: Floats = (1.0 - share) * body.placed(at, "shank") + share * body.placed(at, "foot")
    return out


def hull(points: Sequence[Point]) -> tuple[Point, ...]:
    """The convex outline of points, anticlockwise."""

    def half(ordered: Sequence[Point]) -> list[Point]:
        out: list[Point] = []
        for p in ordered:
            while len(out) > 1 and _turn(out[-2], out[-1], p) <= 0.0:
                out.pop()
            out.append(p)
        return out[:-1]

    ordered = sorted(set(points))
    return tuple(half(ordered) + half(ordered[::-1]))


def _turn(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def within(at: Floats, ring: Floats) -> NDArray[np.bool_]:
    """Which of many points (n, 2) lie inside a closed outline (m, 2)."""
    after = np.roll(ring, -1, axis=0)
    x, y = at[:, :1], at[:, 1:]
    spans = (ring[:, 1] > y) != (after[:, 1] > y)
    rise = np.where(spans, after[:, 1] - ring[:, 1], 1.0)
    meets = (after[:, 0] - ring[:, 0]) * (y - ring[:, 1]) / rise + ring[:, 0]
    out: NDArray[np.bool_] = (np.sum(spans & (x < meets), axis=1) % 2).astype(bool)
    return out
