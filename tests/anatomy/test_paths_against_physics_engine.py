"""Lengths and arms of every path against a general physics engine (MuJoCo), over the range of both joints."""

from __future__ import annotations

import numpy as np
import pytest

from sinewright.anatomy.skeleton import Skeleton, native_paths
from sinewright.arrays import Floats

from .anatomy_people import (
    all_paths,
    contacts,
    grid,
    measure_all,
    pose_of,
    random_people,
    reference_man,
)
from .physics_oracle import Oracle, passing_side

# Both methods are exact in closed form and run in double precision: what is left is rounding, far below this.
TOLERANCE_m = 1e-6
POSES = grid(18, 13)


def disagreements(skeleton: Skeleton, person: int) -> list[str]:
    """One line for each path and pose where the two methods differ by more than the tolerance."""
    paths = all_paths()
    oracle = Oracle(skeleton, paths, person, guide=reference_man())
    out = []
    for ankle, subtalar in POSES:
        gap = np.abs(measure_all(skeleton, paths, ankle, subtalar, person) - oracle.measure(ankle, subtalar))
        for i in np.flatnonzero(~(gap.max(axis=1) <= TOLERANCE_m)):
            place = f"ankle {np.degrees(ankle):.1f} deg, subtalar {np.degrees(subtalar):.1f} deg"
            out.append(f"{oracle.names[i]} at {place}: length, arms differ by {gap[i]} m")
    return out


def test_every_path_of_the_reference_man_agrees_with_the_physics_engine() -> None:
    assert disagreements(reference_man(), 0) == []


@pytest.mark.parametrize("person", range(6))
def test_every_path_of_people_of_other_sizes_and_axes_agrees(person: int) -> None:
    assert disagreements(random_people(np.random.default_rng(20), 6), person) == []


@pytest.mark.parametrize("person", range(4))
def test_every_path_of_people_with_other_landmarks_agrees(person: int) -> None:
    assert disagreements(random_people(np.random.default_rng(21), 4, jitter=True), person) == []


def test_the_range_sees_every_cylinder_touched_and_most_of_them_free() -> None:
    """The comparison would be empty if no path ever met its cylinder."""
    body = reference_man()
    seen: dict[str, set[bool]] = {name: set() for name in native_paths() if (native_paths()[name][:, 0] == 1).any()}
    for ankle, subtalar in POSES:
        pose = pose_of(body.joint[0], ankle, subtalar)
        for name in seen:
            seen[name] |= {contact.arc > 0.0 for contact in contacts(body, native_paths()[name], pose)}
    assert all(True in states for states in seen.values()), seen
    assert seen["tibialis_anterior"] == {True, False}


def test_the_engine_notices_a_cylinder_passed_on_the_wrong_side() -> None:
    """Guards the oracle itself: with the way round reversed its answer must change."""
    body = reference_man()
    turned = Skeleton(body.points, body.cylinders * np.array([1, 1, 1, 1, 1, 1, 1, -1.0, 1.0]), body.joint)
    paths = {"tibialis_posterior": native_paths()["tibialis_posterior"]}
    right, wrong = (Oracle(s, paths).measure(0.0, 0.0)[0] for s in (body, turned))
    assert abs(right[1] - wrong[1]) > 1e-3


def test_passing_side_of_a_path_running_down_in_front_of_a_cylinder_is_in_front() -> None:
    lateral: Floats = np.array([0.0, 0.0, 1.0])
    above, below = np.array([0.1, 1.0, 0.0]), np.array([0.1, -1.0, 0.2])
    assert np.allclose(passing_side(lateral, -1.0, above, below), [1.0, 0.0, 0.0])
    assert np.allclose(passing_side(lateral, 1.0, above, below), [-1.0, 0.0, 0.0])
