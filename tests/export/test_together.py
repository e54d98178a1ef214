"""What is drawn for many at once is what the plain formula gives for each: the moving picture is only faster."""

from __future__ import annotations

import re
from math import cos, hypot, sin

import numpy as np
import pytest

from sinewright.anatomy.path import place
from sinewright.anatomy.skeleton import SEGMENTS, SIZE_NAMES, reference_sizes
from sinewright.export.art import NEARER_MM, covered
from sinewright.export.bones import LOOK_DOWN, Cover, DrawnBody, Eye, Shape, alike, outlines, within
from sinewright.export.planned import Planned
from sinewright.export.profile import ProfileView, draw_profile
from sinewright.export.scene import hatching, see
from sinewright.export.strands import pose_at
from sinewright.export.svg import number, smooth, smooth_all, straight, texts
from sinewright.units import m, mm, rad

Point = tuple[float, float]
SOME = np.random.default_rng(5)
NUMBER = re.compile(r"-?\d+(?:\.\d+)?")


def numbers(data: str) -> np.ndarray:
    return np.array([float(n) for n in NUMBER.findall(data)])


def ring(size: int) -> list[Point]:
    turn = np.sort(SOME.uniform(0.0, 2.0 * np.pi, size))
    far = SOME.uniform(20.0, 60.0, size)
    return [(float(r * np.cos(t)), float(r * np.sin(t))) for r, t in zip(far, turn, strict=True)]


def softly(p0: Point, p1: Point, p2: Point, p3: Point) -> list[float]:
    """One piece of a soft curve, by the formula of centripetal tangents for a single point at a time."""
    d1, d2, d3 = (max(hypot(b[0] - a[0], b[1] - a[1]), 1e-6) ** 0.5 for a, b in ((p0, p1), (p1, p2), (p2, p3)))

    def handle(near: Point, far: Point, outer: Point, d: float, e: float) -> list[float]:
        if near == outer:
            return [n + (f - n) / 3.0 for n, f in zip(near, far, strict=True)]
        below = 3.0 * d * (d + e)
        parts = zip(near, far, outer, strict=True)
        return [(d * d * f - e * e * o + (2 * d * d + 3 * d * e + e * e) * n) / below for n, f, o in parts]

    return [*handle(p1, p2, p0, d1, d2), *handle(p2, p1, p3, d3, d2), *p2]


def test_many_numbers_are_written_as_one_is() -> None:
    values = np.concatenate([SOME.uniform(-400.0, 400.0, 2000), [0.0, -0.0, -0.004, 0.1, -0.1, 12.0, 100.0, -7.5]])
    assert list(texts(values)) == [number(float(np.rint(100.0 * v) / 100.0)) for v in values]
    assert texts(np.array([-0.001, 3.0, 3.1, -3.14])) == ("0", "3", "3.1", "-3.14")


@pytest.mark.parametrize("closed", [True, False])
def test_soft_curves_of_many_lines_are_those_of_each_point_by_itself(closed: bool) -> None:
    lines = [ring(size) for size in (3, 17, 28, 9)]
    lines[1].insert(4, lines[1][3])  # a point twice
    lines.append([(0.0, 0.0), (10.0, 5.0)])
    drawn = smooth_all(lines, closed)
    assert drawn[-1] == straight(lines[-1], closed)
    for line, data in zip(lines[:-1], drawn[:-1], strict=True):
        pts, wanted = list(dict.fromkeys(line)), []
        n = len(pts)
        for i in range(n if closed else n - 1):
            before = pts[i - 1] if closed or i > 0 else pts[i]
            after = pts[(i + 2) % n] if closed or i + 2 < n else pts[(i + 1) % n]
            wanted += softly(before, pts[i], pts[(i + 1) % n], after)
        assert numbers(data) == pytest.approx([*pts[0], *wanted], abs=0.00501)
        assert data == smooth(line, closed)
        assert data.endswith("Z") is closed


def test_shading_of_many_bones_is_that_of_each() -> None:
    rings = [np.array(ring(size)) for size in (12, 28, 17)]
    assert hatching(rings, -1.0) == [hatching([each], -1.0)[0] for each in rings]
    assert all(each.count("M") > 5 for each in hatching(rings, 1.0))
    assert hatching([], 1.0) == []


def test_outlines_of_unlike_size_hide_what_each_hides() -> None:
    rings = [np.array(ring(size)) + shift for size, shift in ((7, 0.0), (28, 25.0), (15, -30.0))]
    shapes = [Shape(str(i), tuple(map(tuple, each.tolist())), 10.0 * i) for i, each in enumerate(rings)]
    at, depth = SOME.uniform(-90.0, 90.0, (400, 2)), SOME.uniform(-20.0, 25.0, 400)
    wanted = np.zeros(400, dtype=bool)
    for each, shape in zip(rings, shapes, strict=True):
        wanted |= within(at, each) & (shape.depth > depth + NEARER_MM)
    assert 20 < wanted.sum() < 380
    assert covered(np.column_stack([at, depth]), Cover.of(shapes)) == wanted.tolist()
    own = within(at[:3], alike(rings))
    assert own.tolist() == [bool(within(at[i : i + 1], rings[i])[0]) for i in range(3)]


@pytest.mark.parametrize("side", ["right", "left"])
def test_every_bone_stands_where_the_model_places_its_points_one_by_one(right_foot: Planned, side: str) -> None:
    leg = right_foot.leg
    pose = pose_at(leg.skeleton, rad(-17.0), rad(6.0))
    ratio = dict(zip(SIZE_NAMES, leg.sizes / reference_sizes(), strict=True))
    eye = Eye("side", side)  # type: ignore[arg-type]
    drawn = {bone.name: bone for bone in see(leg, pose, eye).bones}
    checked = 0
    for bone in (each for each in outlines()["bone"] if "side" in each and each["segment"] != "shank"):
        for (x, y), found in zip(bone["side"], drawn[bone["name"]].points, strict=True):
            floor = -mm(float(reference_sizes()[SIZE_NAMES.index("ankle_height")]))
            high = (y - floor) * ratio["dorsum_height"] - mm(float(leg.sizes[SIZE_NAMES.index("ankle_height")]))
            share = min(max((x - 18.0) / 36.0, 0.0), 1.0)
            up = share * high + (1.0 - share) * y * ratio["ankle_height"]
            at = (x * ratio["foot_length"], up, bone["side_depth"] * ratio["foot_breadth"])
            ahead, above, _ = place(m(at[0]), m(at[1]), m(at[2]), SEGMENTS[bone["segment"]], pose)
            assert found == pytest.approx(((1.0 if side == "right" else -1.0) * mm(ahead), -mm(above)), abs=1e-9)
            checked += 1
    assert checked > 60


def test_the_front_is_seen_from_above_and_mirrored_for_a_left_leg() -> None:
    x, y, z = 0.03, -0.05, 0.02
    c, s = cos(LOOK_DOWN), sin(LOOK_DOWN)
    assert Eye("front", "right").flat((x, y, z)) == pytest.approx((mm(-z), mm(x * s - y * c)))
    assert Eye("front", "left").flat((x, y, z)) == pytest.approx((mm(z), mm(x * s - y * c)))
    assert Eye("front", "left").depth((x, y, z)) == pytest.approx(mm(x * c + y * s))
    body = DrawnBody(reference_sizes(), np.zeros(27))
    assert body.placed((1.0, 2.0, 3.0), "shank") == pytest.approx([0.001, 0.002, 0.003])


def test_a_drawing_does_not_depend_on_what_was_drawn_before(right_foot: Planned) -> None:
    first = draw_profile(right_foot.leg, ProfileView(-9.0))
    for angle in range(-40, 20, 3):
        draw_profile(right_foot.leg, ProfileView(float(angle), 4.0))
    assert draw_profile(right_foot.leg, ProfileView(-9.0)) == first
