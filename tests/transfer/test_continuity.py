"""A tendon moved a little changes the results a little: no step in any answer, for landmarks, cylinders and tension."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sinewright.anatomy.skeleton import cylinders, landmark_index
from sinewright.solve import answer as a
from sinewright.transfer.catalogue import catalogue
from sinewright.transfer.plans import build_plans
from sinewright.units import deg, m, rad

from ..virtual_people import Floats, flawless, one, people, plan

N = 12
LITTLE = m(0.05)
MOVED = [moved for moved in catalogue() if "+" not in moved.id][::3]
# rad, N.m, N and m per metre that something moves. A tether on an arm of 40 mm turns the foot by 25 rad/m; three times
# the largest of some thousand trials are allowed, a step shows as a hundred times more.
ANGLE_RATE, MOMENT_RATE, PULL_RATE = 60.0, 9e3, 9e4
RATES = {
    a.LIFT: ANGLE_RATE,
    a.LIFT_BENT: ANGLE_RATE,
    a.REST: ANGLE_RATE,
    a.REST_TABLE: ANGLE_RATE,
    a.PUSH: 3 * ANGLE_RATE,
    a.SUBTALAR_IN_LIFT: 3 * ANGLE_RATE,  # the hindfoot is the softer of the two
    a.MOMENT: MOMENT_RATE,
    a.PULL: PULL_RATE,
    a.REACH: 1.5,
}
directions = st.tuples(*(st.floats(-1.0, 1.0) for _ in "xyz")).filter(lambda d: sum(x * x for x in d) > 0.1)
legs_ = st.integers(0, N - 1)
operations = st.sampled_from(MOVED)
stretches = st.floats(-8.0, 18.0)
quick = settings(max_examples=60, deadline=None, derandomize=True)


@cache
def legs() -> a.Legs:
    return flawless(people("knee_dislocation_common_peroneal", N))


def ask(leg: a.Legs, *plans: object) -> Floats:
    out, failed = a.answer(leg, build_plans(list(plans)))  # type: ignore[arg-type]
    assert not failed.any()
    return out[0, 0]


def shifted(leg: a.Legs, landmark: str, by: Floats) -> a.Legs:
    """One leg with a landmark, and a cylinder centred on it, moved [m]."""
    at, points, rounds = landmark_index()[landmark], leg.points.copy(), leg.cylinders.copy()
    points[0, at] += by
    for k, cylinder in enumerate(cylinders()):
        if cylinder.centre == at:
            rounds[0, k, 0:3] += by
    return leg._replace(points=points, cylinders=rounds)


def change_is_small(before: Floats, after: Floats, size: float) -> None:
    change = np.abs(after - before)
    for column, rate in RATES.items():
        assert change[column] <= rate * size, f"answer {column} moved {change[column]:.2e} for {size:.1e} m"


@quick
@given(i=legs_, moved=operations, stretch=stretches, direction=directions)
def test_moving_where_the_tendon_is_sewn(
    i: int, moved: object, stretch: float, direction: tuple[float, float, float]
) -> None:
    leg, sewn = one(legs(), i), plan(moved, stretch)  # type: ignore[arg-type]
    words = moved.parts[0].paths[0].replace("(", "").replace(")", "").split(" > ")  # type: ignore[attr-defined]
    by = LITTLE * np.array(direction)
    change_is_small(ask(leg, sewn), ask(shifted(leg, words[-1], by), sewn), float(np.linalg.norm(by)))


@quick
@given(i=legs_, moved=operations, stretch=stretches, direction=directions, at=st.integers(0, 10))
def test_moving_a_point_or_a_cylinder_on_the_way(
    i: int, moved: object, stretch: float, direction: tuple[float, float, float], at: int
) -> None:
    leg, sewn = one(legs(), i), plan(moved, stretch)  # type: ignore[arg-type]
    words = moved.parts[0].paths[0].split(" > ")  # type: ignore[attr-defined]
    word = words[at % len(words)].strip("()")
    name = next(f for f in (word, f"{word}_centre", "front_ankle_centre") if f in landmark_index())
    by = LITTLE * np.array(direction)
    change_is_small(ask(leg, sewn), ask(shifted(leg, name, by), sewn), float(np.linalg.norm(by)))


@quick
@given(i=legs_, moved=operations, stretch=stretches)
def test_sewing_a_little_tighter(i: int, moved: object, stretch: float) -> None:
    leg = one(legs(), i)
    little, more = plan(moved, stretch), plan(moved, stretch + 1e3 * LITTLE)  # type: ignore[arg-type]
    change_is_small(ask(leg, little), ask(leg, more), LITTLE)


@quick
@given(i=legs_, moved=operations, stretch=stretches)
def test_holding_the_foot_a_little_higher(i: int, moved: object, stretch: float) -> None:
    leg, by = one(legs(), i), rad(0.05)
    low, high = plan(moved, stretch, 8.0), plan(moved, stretch, 8.0 + deg(by))  # type: ignore[arg-type]
    change_is_small(ask(leg, low), ask(leg, high), 0.06 * by)  # no path changes by more than 60 mm per radian


@pytest.mark.parametrize("moved", MOVED, ids=lambda moved: moved.id)
def test_answers_follow_the_stretch_without_a_step(moved: object) -> None:
    stretches_mm = np.linspace(-10.0, 20.0, 121)
    out, failed = a.answer(one(legs(), 3), build_plans([plan(moved, s) for s in stretches_mm]))  # type: ignore[arg-type]
    assert not failed.any()
    for column, rate in RATES.items():
        assert np.abs(np.diff(out[0, :, column])).max() <= rate * m(0.25), column
