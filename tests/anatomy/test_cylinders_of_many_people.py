"""Cylinders of many invented people: no landmark inside a cylinder, no tendon that lets go where it is held."""

from __future__ import annotations

from collections import Counter

import numpy as np

from sinewright.anatomy.path import CYLINDER
from sinewright.anatomy.skeleton import Skeleton, cylinders, landmarks, native_paths
from sinewright.transfer.catalogue import pulling_paths

from .anatomy_people import (
    Ints,
    contacts,
    grid,
    measure_all,
    pose_of,
    random_people,
    reference_man,
)
from .physics_oracle import Oracle

TOLERANCE_m = 1e-6
CORNERS = grid(2, 3)


def passages() -> dict[tuple[int, int, int], Ints]:
    """Each different passage (landmark, cylinder, landmark) of every path that may carry a pull, as three steps."""
    out = {}
    for elements in pulling_paths():
        for k in np.flatnonzero(elements[:, 0] == CYLINDER):
            three = elements[k - 1 : k + 2]
            out[int(three[0, 1]), int(three[1, 1]), int(three[2, 1])] = three.copy()
    return out


def landmarks_inside_a_cylinder(body: Skeleton) -> Counter[str]:
    """How many people have each landmark inside the cylinder it leads to, in any corner of the range."""
    names, rounds, count = (
        [mark.name for mark in landmarks()],
        [cylinder.name for cylinder in cylinders()],
        Counter[str](),
    )
    for person in range(len(body.points)):
        inside = set()
        for pose in (pose_of(body.joint[person], *angles) for angles in CORNERS):
            for (before, cylinder, after), elements in passages().items():
                contact = next(contacts(body, elements, pose, person))
                ends = ((before, contact.before), (after, contact.after))
                inside |= {f"{names[i]} in {rounds[cylinder]}" for i, radii in ends if radii <= 1.0}
        count.update(inside)
    return count


def test_no_landmark_of_the_reference_man_lies_inside_a_cylinder() -> None:
    assert landmarks_inside_a_cylinder(reference_man()) == {}


def test_no_landmark_of_people_of_other_sizes_lies_inside_a_cylinder() -> None:
    assert landmarks_inside_a_cylinder(random_people(np.random.default_rng(50), 300)) == {}


def test_no_landmark_moved_by_its_spread_lies_inside_a_cylinder() -> None:
    assert landmarks_inside_a_cylinder(random_people(np.random.default_rng(51), 300, jitter=True)) == {}


def test_a_tendon_behind_a_malleolus_stays_there_in_every_person() -> None:
    """Against the physics engine, at the ends of the range. Letting go makes tibialis posterior a lifter."""
    body, paths = random_people(np.random.default_rng(52), 200, jitter=True), native_paths()
    let_go: Counter[str] = Counter()
    for person in range(200):
        oracle = Oracle(body, paths, person, guide=reference_man())
        for angles in CORNERS:
            gap = measure_all(body, paths, *angles, person) - oracle.measure(*angles)
            let_go.update(oracle.names[i] for i in np.flatnonzero(np.abs(gap).max(axis=1) > TOLERANCE_m))
    assert let_go == {}
