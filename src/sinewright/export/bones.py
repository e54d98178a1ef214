"""Outlines of bones and skin at a patient's own size and in any pose, as flat polygons of a view.

The outlines of ``outlines.toml`` are stretched by the same six sizes as the landmarks, moved with their segment as the
model moves it, and projected. A polygon is a list of points in millimetres, x to the right and y down, plus its depth.
"""

from __future__ import annotations

import tomllib
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache, cached_property, lru_cache
from importlib.resources import files
from math import cos, sin
from typing import Any, Literal

import numpy as np
from numpy.typing import ArrayLike

from sinewright.anatomy.path import FOOT, SHANK
from sinewright.anatomy.skeleton import SEGMENTS, SIZE_NAMES, reference_sizes
from sinewright.arrays import Bools, Floats
from sinewright.export.svg import Point
from sinewright.results import Side
from sinewright.units import m, mm, rad

View = Literal["side", "front"]

LOOK_DOWN = rad(25.0)  # of the front view, so that the back of the foot shows


@dataclass(frozen=True)
class Shape:
    """One outline on paper: name, points [mm], depth [mm] (larger is nearer to the viewer), edges inside it."""

    name: str
    points: tuple[Point, ...]
    depth: float
    lines: tuple[tuple[Point, ...], ...] = ()

    @cached_property
    def ring(self) -> Floats:
        """Its points as an array (n, 2) [mm]."""
        return np.array(self.points)


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

    @cached_property
    def axes(self) -> Floats:
        """What x, y and z of the model add to the place on paper and to the nearness, (3, 3)."""
        c, s = cos(LOOK_DOWN), sin(LOOK_DOWN)
        seen = {"side": ((1, 0, 0), (0, -1, 0), (0, 0, 1)), "front": ((0, s, c), (0, -c, s), (-1, 0, 0))}[self.view]
        out = np.array(seen, dtype=np.float64)
        out[:, 0] *= 1.0 if self.side == "right" else -1.0
        return out

    def seen(self, points: Floats) -> Floats:
        """Points of the model (..., 3) [m] as this eye sees them: x to the right, y down, nearness (..., 3) [mm]."""
        return mm(points @ self.axes)

    def flat(self, point: Sequence[float] | Floats) -> Point:
        """A point of the model [m] on paper [mm]."""
        x, y, _ = self.seen(np.asarray(point)).tolist()
        return x, y

    def depth(self, point: Sequence[float] | Floats) -> float:
        """How near to the viewer a point of the model [m] lies [mm]."""
        return float(self.seen(np.asarray(point))[2])


def on_paper(seen: Floats) -> tuple[Point, ...]:
    """Points (n, 2 or 3) [mm] as pairs."""
    return tuple(zip(*seen[:, :2].T.tolist(), strict=True))


def moved(points: Floats, segment: str, pose: Floats) -> Floats:
    """Points (..., 3) [m] fixed to a segment, as the model moves it (``anatomy.path.place`` for many at once)."""
    number = SEGMENTS[segment]
    if number == SHANK:
        return points
    turned: Floats = points @ pose[9 * (number - 1) : 9 * number].reshape(3, 3).T
    return turned + pose[18:21] if number == FOOT else turned


@dataclass(frozen=True)
class DrawnBody:
    """Sizes (6,) [m] and pose (27) that outlines are drawn at."""

    sizes: Floats
    pose: Floats

    @cached_property
    def ratio(self) -> dict[str, float]:
        """Each size against that of the reference man."""
        return dict(zip(SIZE_NAMES, (self.sizes / reference_sizes()).tolist(), strict=True))

    def stretched(self, at: ArrayLike, segment: str) -> Floats:
        """Points (..., 3) of the reference man [mm] at this patient's sizes [m], before they are moved."""
        x, y, z = np.moveaxis(np.asarray(at, dtype=np.float64), -1, 0)
        ratio = self.ratio
        if segment == "shank":
            up = np.where(y > 0.0, ratio["shank_length"], ratio["ankle_height"])
            breadth = ratio["malleolar_breadth"]
            return m(np.stack([x * breadth, y * up, z * breadth], axis=-1))
        floor = -mm(float(reference_sizes()[SIZE_NAMES.index("ankle_height")]))
        high = m((y - floor) * ratio["dorsum_height"]) - float(self.sizes[SIZE_NAMES.index("ankle_height")])
        share = np.clip((x - 18.0) / 36.0, 0.0, 1.0)
        up = share * high + (1.0 - share) * m(y * ratio["ankle_height"])
        return np.stack([m(x * ratio["foot_length"]), up, m(z * ratio["foot_breadth"])], axis=-1)

    def placed(self, at: ArrayLike, segment: str) -> Floats:
        """Points (..., 3) of the reference man [mm] at this patient's sizes and pose [m]."""
        return moved(self.stretched(at, segment), segment, self.pose)


@dataclass(frozen=True)
class Still:
    """A bone of one view at a patient's sizes before it is moved [m]: its outline (n, 3), the edges inside it (k, 3)
    each, and whether the outline is what its points span."""

    name: str
    segment: str
    points: Floats
    lines: tuple[Floats, ...]
    spanned: bool = False

    def shape(self, pose: Floats, eye: Eye) -> Shape:
        """The bone in a pose, on paper."""
        seen = eye.seen(moved(self.points, self.segment, pose))
        lines = tuple(on_paper(eye.seen(moved(line, self.segment, pose))) for line in self.lines)
        points = on_paper(seen)
        return Shape(self.name, hull(points) if self.spanned else points, float(np.mean(seen[:, 2])), lines)


def block_bones(body: DrawnBody, eye: Eye) -> list[Shape]:
    """All bones that are drawn as outlines."""
    return [bone.shape(body.pose, eye) for bone in _still(tuple(body.sizes.tolist()), eye.view)]


@lru_cache(maxsize=32)
def _still(sizes: tuple[float, ...], view: View) -> tuple[Still, ...]:
    """The outlined bones of a view at some sizes [m], as long as nothing moves."""
    body = DrawnBody(np.array(sizes), np.zeros(0))
    shown = [bone for bone in outlines()["bone"] if view == "front" or "side" in bone]
    return tuple((_from_side if view == "side" else _from_front)(bone, body) for bone in shown)


def _from_side(bone: dict[str, Any], body: DrawnBody) -> Still:
    """A bone from the outer side: its outline and the edges inside it."""

    def laid(rows: Sequence[Sequence[float]]) -> Floats:
        return body.stretched([(x, y, bone["side_depth"]) for x, y in rows], bone["segment"])

    return Still(bone["name"], bone["segment"], laid(bone["side"]), tuple(map(laid, bone.get("side_lines", ()))))


def _from_front(bone: dict[str, Any], body: DrawnBody) -> Still:
    """A bone from in front: its outline, or what the outlines of its back and its front span."""

    def laid(depth: float, rows: Sequence[Sequence[float]]) -> Floats:
        return body.stretched([(depth, y, z) for z, y in rows], bone["segment"])

    faces, near = [laid(x, bone["front"]) for x in bone["front_depth"]], bone["front_depth"][-1]
    lines = tuple(laid(near, row) for row in bone.get("front_lines", ()))
    return Still(bone["name"], bone["segment"], np.concatenate(faces), lines, len(faces) > 1)


def long_bones(body: DrawnBody, eye: Eye) -> list[Shape]:
    """Metatarsals and toes: a waisted shape along the line from base to head, foreshortened as that line is."""
    rays = outlines()["ray"]
    seen = eye.seen(body.placed([[ray["base"], ray["head"]] for ray in rays], "foot"))
    radii = np.array([ray["radii"] for ray in rays]) * body.ratio["foot_length"]
    found = zip(rays, waisted(seen[:, 0, :2], seen[:, 1, :2], radii), seen[..., 2].mean(axis=1), strict=True)
    return [Shape(ray["name"], on_paper(ring), float(depth)) for ray, ring, depth in found]


def waisted(base: Floats, head: Floats, radii: Floats) -> Floats:
    """Long bones (n, 17, 2) on paper, from base to head (n, 2): flat base, slim waist, round head; all [mm].

    `radii` (n, 3) are those of base, waist and head.
    """
    step = head - base
    length = np.linalg.norm(step, axis=1)
    u = np.where(length[:, None] > 1e-6, step / np.maximum(length, 1e-6)[:, None], (1.0, 0.0))
    v = np.stack([-u[:, 1], u[:, 0]], axis=1)
    big, waist, end = radii.T
    plan = (
        (-0.55 * big, 0.62 * big), (-0.1 * big, 0.98 * big), (0.12 * length + 0.3 * big, 0.9 * big),
        (0.36 * length, 0.5 * (waist + big) * 0.86), (0.6 * length, waist), (0.82 * length, 0.5 * (waist + end)),
        (length - 0.1 * end, end), (length + 0.62 * end, 0.72 * end),
    )  # fmt: skip
    along, across = np.array(plan).transpose(1, 2, 0)[..., None] * np.stack([u, v])[:, :, None]
    tip = (head + 0.98 * end[:, None] * u)[:, None]
    middle = base[:, None] + along
    return np.concatenate([middle + across, tip, (middle - across)[:, ::-1]], axis=1)


def skin(body: DrawnBody, eye: Eye) -> list[Shape]:
    """Skin as one outline from the side; from in front as shank, foot and toes that overlap."""
    table = outlines()["skin"]
    across, up, share = np.array(table[eye.view]).T
    level = np.zeros_like(up)
    if eye.view == "side":
        return [_shape("skin", _stretchy(body, np.stack([across, up, level], axis=1), share), eye)]
    shank = _stretchy(body, np.stack([level, up, across], axis=1), share)
    foot = on_paper(eye.seen(body.placed(table["foot"], "foot")))
    out = [_shape("skin", shank, eye), Shape("foot", hull(foot), 40.0)]
    toes = np.array(table["toes"], dtype=np.float64)  # (toes, near and far end, place and radius)
    turn = np.linspace(0.0, 2.0 * np.pi, 25)[:-1]
    circle = np.stack([np.cos(turn), np.sin(turn)], axis=1)
    for ends, radii in zip(eye.seen(body.placed(toes[..., :3], "foot")), toes[..., 3], strict=True):
        ring = np.vstack([end[:2] + radius * circle for end, radius in zip(ends, radii, strict=True)])
        out.append(Shape("toe", hull(on_paper(ring)), float(ends[1, 2])))
    return out


def _shape(name: str, points: Floats, eye: Eye) -> Shape:
    seen = eye.seen(points)
    return Shape(name, on_paper(seen), float(np.mean(seen[:, 2])))


def _stretchy(body: DrawnBody, at: Floats, share: Floats) -> Floats:
    """Points of the skin (n, 3) [m] that follow the foot by their share (n,)."""
    by = share[:, None]
    return (1.0 - by) * body.placed(at, "shank") + by * body.placed(at, "foot")


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


def within(at: Floats, ring: Floats) -> Bools:
    """Which of many points (n, 2) lie inside a closed outline (m, 2), or each inside its own (n, m, 2)."""
    after = np.roll(ring, -1, axis=-2)
    x, y = at[:, :1], at[:, 1:]
    spans = (ring[..., 1] > y) != (after[..., 1] > y)
    rise = np.where(spans, after[..., 1] - ring[..., 1], 1.0)
    meets = (after[..., 0] - ring[..., 0]) * (y - ring[..., 1]) / rise + ring[..., 0]
    out: Bools = (np.sum(spans & (x < meets), axis=1) % 2).astype(bool)
    return out


def alike(rings: Sequence[Floats]) -> Floats:
    """Closed outlines (m, 2) each as one array (n, most, 2): the last point of the shorter ones is repeated."""
    most = max(map(len, rings))
    return np.stack([ring[np.minimum(np.arange(most), len(ring) - 1)] for ring in rings])


@dataclass(frozen=True)
class Cover:
    """What hides what runs behind it: outlines (n, most, 2), the boxes about them (n, 2) [mm] and depths (n,) [mm]."""

    rings: Floats
    low: Floats
    high: Floats
    depth: Floats

    @staticmethod
    def of(shapes: Sequence[Shape]) -> Cover:
        """The cover that some outlines make."""
        rings = alike([shape.ring for shape in shapes])
        return Cover(rings, rings.min(axis=1), rings.max(axis=1), np.array([shape.depth for shape in shapes]))

    def hides(self, at: Floats, depth: Floats) -> Bools:
        """Which points on paper (k, 2) of some depths (k,) lie behind it."""
        x, y = at[:, :1], at[:, 1:]
        near = (self.low[:, 0] <= x) & (x <= self.high[:, 0]) & (self.low[:, 1] <= y) & (y <= self.high[:, 1])
        point, shape = np.nonzero(near & (self.depth > depth[:, None]))
        out = np.zeros(len(at), dtype=bool)
        out[point[within(at[point], self.rings[shape])]] = True
        return out
