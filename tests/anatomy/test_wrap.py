"""The wrap on a round cylinder: closed forms, shortest of all, and where it lets go."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from sinewright.anatomy.path import PlacedCylinder, wrap
from sinewright.arrays import Floats

EXACT_m = 1e-12
CENTRE, LATERAL = (0.0, 0.0, 0.0), (0.0, 0.0, 1.0)
RADIUS = 0.01
MOST = math.radians(330.0)
quick = settings(max_examples=200, deadline=None)


def around(angle_deg: float, distance: float, along: float = 0.0) -> tuple[float, float, float]:
    """A point at ``distance`` [radii] from the axis z, ``along`` [m] it."""
    angle = math.radians(angle_deg)
    return distance * RADIUS * math.cos(angle), distance * RADIUS * math.sin(angle), along


def total(a: tuple[float, float, float], b: tuple[float, float, float], way: float) -> float:
    """Length [m] of the path from ``a`` to ``b``, on the cylinder or straight."""
    arc, first, last = wrap(a, b, PlacedCylinder(CENTRE, LATERAL, RADIUS, way, MOST))
    return math.dist(a, b) if arc < 0.0 else math.dist(a, first) + arc + math.dist(last, b)


@pytest.mark.parametrize("wrapped_deg", [1.0, 45.0, 90.0, 135.0, 180.0])
@pytest.mark.parametrize("way", [1.0, -1.0])
@pytest.mark.parametrize("rise", [0.0, 0.03])
def test_wrap_over_a_known_angle_is_the_unrolled_triangle(wrapped_deg: float, way: float, rise: float) -> None:
    """Tangents of 40 and 25 mm leave the cylinder at 0 and ``wrapped_deg``; with a rise the path is a helix,
    unrolled a straight line: length = sqrt((40 mm + R angle + 25 mm)^2 + rise^2)."""
    first, last, angle = 0.04, 0.025, math.radians(wrapped_deg)
    end = (math.cos(way * angle), math.sin(way * angle))
    a = (RADIUS, -way * first, 0.0)
    b = (RADIUS * end[0] - way * last * end[1], RADIUS * end[1] + way * last * end[0], rise)
    arc, one, two = wrap(a, b, PlacedCylinder(CENTRE, LATERAL, RADIUS, way, MOST))
    plane = first + RADIUS * angle + last
    assert arc == pytest.approx(math.hypot(RADIUS * angle, rise * RADIUS * angle / plane), abs=EXACT_m)
    assert one == pytest.approx((RADIUS, 0.0, rise * first / plane), abs=EXACT_m)
    assert two == pytest.approx((RADIUS * end[0], RADIUS * end[1], rise * (1.0 - last / plane)), abs=EXACT_m)
    assert total(a, b, way) == pytest.approx(math.hypot(plane, rise), abs=EXACT_m)


def test_a_quarter_turn_by_hand() -> None:
    """Down in front at x = 10 mm, away backwards under the cylinder at y = -10 mm: 40 + 10 pi/2 + 30 mm."""
    assert total((0.01, 0.04, 0.0), (-0.03, -0.01, 0.0), -1.0) == pytest.approx(0.07 + 0.005 * math.pi, abs=EXACT_m)


def test_a_line_that_just_misses_is_straight_and_one_that_just_touches_is_hardly_longer() -> None:
    for shift, touches in ((1e-6, False), (-1e-6, True)):
        a, b = (RADIUS + shift, 0.04, 0.0), (RADIUS + shift, -0.04, 0.0)
        assert (wrap(a, b, PlacedCylinder(CENTRE, LATERAL, RADIUS, -1.0, MOST))[0] >= 0.0) == touches
        assert total(a, b, -1.0) == pytest.approx(0.08, abs=1e-9)


@quick
@given(st.integers(0, 2**32 - 1))
def test_no_other_touch_points_give_a_shorter_path(seed: int) -> None:
    """The wrap is the shortest path on its side: no move of a touch point shortens it."""
    rng = np.random.default_rng(seed)
    a = around(0.0, rng.uniform(1.1, 8.0))
    b = around(rng.uniform(30.0, 260.0), rng.uniform(1.1, 8.0), rng.uniform(-0.05, 0.05))
    arc, first, last = wrap(a, b, PlacedCylinder(CENTRE, LATERAL, RADIUS, 1.0, MOST))
    assume(arc > 0.0)
    start, end = (math.atan2(point[1], point[0]) % (2.0 * math.pi) for point in (first, last))
    for turn_a, turn_b, rise_a, rise_b in 0.05 * rng.standard_normal((30, 4)) * [1, 1, RADIUS, RADIUS]:
        turn_a, turn_b = (
            -abs(turn_a),
            abs(turn_b),
        )  # the other way the straight piece would cut into the cylinder
        helix = math.hypot(RADIUS * (end + turn_b - start - turn_a), last[2] + rise_b - first[2] - rise_a)
        one = around(math.degrees(start + turn_a), 1.0, first[2] + rise_a)
        two = around(math.degrees(end + turn_b), 1.0, last[2] + rise_b)
        moved = math.dist(a, one) + abs(helix) + math.dist(two, b)
        assert moved >= total(a, b, 1.0) - EXACT_m


@quick
@given(st.integers(0, 2**32 - 1), st.floats(0.05, 0.95))
def test_a_further_point_on_a_free_piece_leaves_the_wrap_as_it_was(seed: int, share: float) -> None:
    rng = np.random.default_rng(seed)
    a, b = around(0.0, rng.uniform(1.5, 8.0)), around(rng.uniform(30.0, 260.0), rng.uniform(1.5, 8.0), 0.02)
    arc, first, last = wrap(a, b, PlacedCylinder(CENTRE, LATERAL, RADIUS, 1.0, MOST))
    assume(arc > 0.0)
    between = tuple(float(x) for x in (1.0 - share) * np.array(a) + share * np.array(first))
    again = wrap((between[0], between[1], between[2]), b, PlacedCylinder(CENTRE, LATERAL, RADIUS, 1.0, MOST))
    assert again[0] == pytest.approx(arc, abs=1e-10)
    assert np.allclose(again[1:], (first, last), rtol=0.0, atol=1e-10)


def crosses(a: tuple[float, float, float], b: tuple[float, float, float]) -> bool:
    """True when the straight line between two different points runs through the cylinder."""
    start: Floats = np.array(a[:2])
    way: Floats = np.array(b[:2]) - start
    nearest = start + np.clip(-(start @ way) / (way @ way), 0.0, 1.0) * way
    return bool(np.linalg.norm(nearest) < RADIUS * (1.0 - 1e-9))


@quick
@given(st.floats(0.0, 250.0), st.floats(1.5, 8.0), st.floats(1.5, 8.0))
def test_a_path_with_its_ends_off_the_cylinder_never_runs_through_it(angle_deg: float, one: float, two: float) -> None:
    a, b = around(0.0, one), around(angle_deg, two)
    assume(math.dist(a, b) > 1e-6)
    assert wrap(a, b, PlacedCylinder(CENTRE, LATERAL, RADIUS, 1.0, MOST))[0] >= 0.0 or not crosses(a, b)


def test_an_end_inside_the_cylinder_is_read_as_no_contact() -> None:
    """Stated in the docstring; such a path runs straight through, so no landmark may come that close."""
    a, inside = around(0.0, 4.0), around(120.0, 0.9)
    assert wrap(a, inside, PlacedCylinder(CENTRE, LATERAL, RADIUS, 1.0, MOST)) == (-1.0, a, inside)


def test_a_path_close_to_its_cylinder_does_not_run_through_it() -> None:
    a, b = around(0.0, 1.1), around(-80.0, 1.1)
    assert crosses(a, b)
    assert wrap(a, b, PlacedCylinder(CENTRE, LATERAL, RADIUS, 1.0, MOST))[0] >= 0.0
