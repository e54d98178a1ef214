"""Arms are the derivative of length, and neither jumps nor depends on where the observer stands."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sinewright.anatomy.path import CYLINDER, FOOT, SHANK, TALUS
from sinewright.anatomy.skeleton import Skeleton, native_paths
from sinewright.units import rad

from .anatomy_people import (
    Floats,
    Ints,
    all_paths,
    contacts,
    grid,
    measure,
    measure_all,
    pose_of,
    random_people,
    random_poses,
    reference_man,
    turn_matrix,
)

STEP_rad = 1e-6
DERIVATIVE_m = 1e-8  # a length of 0.5 m is exact to 1e-16 m, so a difference over 2e-6 rad is exact to about 1e-10 m
ROUNDING_m = 1e-12
SEEDS = st.integers(0, 2**32 - 1)
PULLED = [name for name, elements in native_paths().items() if (elements[:, 0] == CYLINDER).any()]
MIRROR = np.array([1.0, 1.0, -1.0])

quick = settings(max_examples=150, deadline=None)


@dataclass(frozen=True)
class Case:
    """An invented path: point, point, cylinder, point, point on random segments, and a pose."""

    body: Skeleton
    elements: Ints
    ankle: float
    subtalar: float

    @property
    def pose(self) -> Floats:
        return pose_of(self.body.joint[0], self.ankle, self.subtalar)

    def measure(self) -> Floats:
        return measure(self.body, self.elements, self.pose)

    def touches(self) -> bool:
        return any(contact.arc > 0.0 for contact in contacts(self.body, self.elements, self.pose))


def unit(rng: np.random.Generator) -> Floats:
    v = rng.standard_normal(3)
    out: Floats = v / np.linalg.norm(v)
    return out


def invented(seed: int) -> Case:
    """Points up to 0.2 m off the ankle, a cylinder of 5 to 20 mm about where the path passes."""
    rng = np.random.default_rng(seed)
    points = 0.2 * rng.uniform(-1.0, 1.0, (4, 3))
    middle = points[1:3].mean(axis=0) + 0.01 * rng.standard_normal(3)
    cylinder = [*middle, *unit(rng), rng.uniform(0.005, 0.02), rng.choice([-1.0, 1.0]), 1.5 * np.pi]
    joint = [*unit(rng), *unit(rng), *0.03 * rng.standard_normal(3)]
    segments = rng.choice([SHANK, TALUS, FOOT], 5)
    elements = np.array([[0, 0, 0], [0, 1, 0], [1, 0, 0], [0, 2, 0], [0, 3, 0]], dtype=np.int32)
    elements[:, 2] = segments
    body = Skeleton(points[None], np.array([[cylinder]]), np.array([joint]))
    ankle, subtalar = random_poses(rng, 1)[0]
    return Case(body, elements, ankle, subtalar)


def with_cylinders(body: Skeleton, factors: list[float]) -> Skeleton:
    return replace(body, cylinders=body.cylinders * np.array(factors))


def test_the_invented_paths_meet_their_cylinder_often_and_miss_it_often() -> None:
    touched = [invented(seed).touches() for seed in range(300)]
    assert 60 < sum(touched) < 240


# ---- derivative of length ----


def central_difference(body: Skeleton, ankle: float, subtalar: float, person: int) -> Floats:
    """-dL/dq of every path, (paths, 2)."""
    paths, h = all_paths(), STEP_rad
    columns = []
    for da, ds in ((h, 0.0), (0.0, h)):
        ahead = measure_all(body, paths, ankle + da, subtalar + ds, person)[:, 0]
        behind = measure_all(body, paths, ankle - da, subtalar - ds, person)[:, 0]
        columns.append((behind - ahead) / (2.0 * h))
    return np.column_stack(columns)


@pytest.mark.parametrize("person", range(8))
def test_arms_of_every_path_are_minus_the_slope_of_length(person: int) -> None:
    rng = np.random.default_rng(30 + person)
    body = random_people(np.random.default_rng(31), 8)
    for ankle, subtalar in random_poses(rng, 25):
        moment_arms = measure_all(body, all_paths(), ankle, subtalar, person)[:, 1:]
        assert np.allclose(moment_arms, central_difference(body, ankle, subtalar, person), rtol=0.0, atol=DERIVATIVE_m)


@quick
@given(SEEDS)
def test_arms_of_invented_paths_are_minus_the_slope_of_length(seed: int) -> None:
    """Segments and cylinders in any order, also a cylinder that rides on the talus or the foot."""
    case, h = invented(seed), STEP_rad
    near = [replace(case, ankle=case.ankle + h), replace(case, ankle=case.ankle - h)]
    near += [replace(case, subtalar=case.subtalar + h), replace(case, subtalar=case.subtalar - h)]
    if len({one.touches() for one in near}) == 1:  # first contact inside the step: the slope has a bend there
        lengths = [float(one.measure()[0]) for one in near]
        slopes = [(lengths[1] - lengths[0]) / (2.0 * h), (lengths[3] - lengths[2]) / (2.0 * h)]
        assert np.allclose(case.measure()[1:], slopes, rtol=0.0, atol=DERIVATIVE_m)


def test_an_ankle_arm_by_hand() -> None:
    """A cord from 0.3 m above the ankle axis (z) to 0.1 m in front: arm = distance of line and axis."""
    points = np.array([[[0.0, 0.3, 0.0], [0.1, 0.0, 0.0]]])
    joint = np.array([[0.0, 0.0, 1.0, 1.0, 0.0, 0.0, 0.0, 0.0, 0.0]])
    elements = np.array([[0, 0, SHANK], [0, 1, FOOT]], dtype=np.int32)
    length, ankle, subtalar = measure(
        Skeleton(points, np.empty((1, 0, 8)), joint), elements, pose_of(joint[0], 0.0, 0.0)
    )
    assert length == pytest.approx(math.hypot(0.3, 0.1), abs=ROUNDING_m)
    assert ankle == pytest.approx(0.3 * 0.1 / math.hypot(0.3, 0.1), abs=ROUNDING_m)
    assert subtalar == pytest.approx(0.0, abs=ROUNDING_m)


# ---- first contact ----


def first_contacts(body: Skeleton, name: str, subtalar: float, person: int) -> list[tuple[float, float]]:
    """Pairs of ankle angles at most 1e-9 rad apart: free at one, on the cylinder at the other."""
    elements = native_paths()[name]

    def touched(ankle: float) -> bool:
        pose = pose_of(body.joint[person], ankle, subtalar)
        return next(contacts(body, elements, pose, person)).arc >= 0.0

    out = []
    ankles = [rad(float(a)) for a in np.linspace(-55.0, 30.0, 18)]
    for low, high in pairwise(ankles):
        if touched(low) != touched(high):
            while high - low > 1e-9:
                middle = 0.5 * (low + high)
                low, high = (middle, high) if touched(middle) == touched(low) else (low, middle)
            out.append((low, high))
    return out


def jumps(body: Skeleton, name: str, person: int) -> list[float]:
    """Largest change [m] of length and arms across each first contact of a path."""
    out = []
    for subtalar in (rad(-25.0), rad(5.0), rad(35.0)):
        for pair in first_contacts(body, name, subtalar, person):
            sides = [
                measure(body, native_paths()[name], pose_of(body.joint[person], ankle, subtalar), person)
                for ankle in pair
            ]
            out.append(float(np.abs(sides[1] - sides[0]).max()))
    return out


def test_length_and_arms_pass_first_contact_without_a_jump() -> None:
    """Over 1e-9 rad a length changes by at most its arm times that, an arm by its slope (under 1 m/rad)."""
    body = reference_man()
    found = {name: jumps(body, name, 0) for name in PULLED}
    assert sum(len(each) for each in found.values()) >= 6, "too few first contacts to say anything"
    assert {name: max(each) for name, each in found.items() if each and max(each) > DERIVATIVE_m} == {}


# ---- what must not matter ----


@quick
@given(SEEDS, st.floats(-math.pi, math.pi))
def test_turning_everything_about_the_ankle_centre_changes_nothing(seed: int, angle: float) -> None:
    case = invented(seed)
    turn = turn_matrix(unit(np.random.default_rng(seed + 1)), angle)
    cylinders, joint = case.body.cylinders.copy(), case.body.joint.copy()
    for block in (cylinders[..., 0:3], cylinders[..., 3:6], joint[:, 0:3], joint[:, 3:6], joint[:, 6:9]):
        block[...] = block @ turn.T
    turned = replace(case, body=Skeleton(case.body.points @ turn.T, cylinders, joint))
    assert np.allclose(turned.measure(), case.measure(), rtol=0.0, atol=ROUNDING_m)


@quick
@given(SEEDS)
def test_a_path_read_backwards_has_the_same_length_and_arms(seed: int) -> None:
    """Backwards the path goes round its cylinder the other way."""
    case = invented(seed)
    back = replace(
        case, elements=case.elements[::-1].copy(), body=with_cylinders(case.body, [1, 1, 1, 1, 1, 1, 1, -1, 1])
    )
    assert np.allclose(back.measure(), case.measure(), rtol=0.0, atol=ROUNDING_m)


@quick
@given(SEEDS, st.floats(0.1, 10.0))
def test_a_leg_k_times_as_large_has_k_times_the_lengths_and_arms(seed: int, k: float) -> None:
    case = invented(seed)
    body = with_cylinders(case.body, [k, k, k, 1, 1, 1, k, 1, 1])
    body = replace(body, points=k * body.points, joint=body.joint * np.array([1, 1, 1, 1, 1, 1, k, k, k]))
    assert np.allclose(replace(case, body=body).measure(), k * case.measure(), rtol=1e-12, atol=k * ROUNDING_m)


@quick
@given(SEEDS)
def test_a_mirrored_leg_with_mirrored_axes_has_the_same_lengths_and_arms(seed: int) -> None:
    """A left leg: z changes sign. A turn axis becomes minus the mirrored vector, so that the same angle means
    the same movement (dorsiflexion, inversion); a cylinder keeps its axis line and goes round the other way."""
    case = invented(seed)
    body = Skeleton(
        case.body.points * MIRROR,
        case.body.cylinders * np.array([*MIRROR, *MIRROR, 1.0, -1.0, 1.0]),
        case.body.joint * np.array([*-MIRROR, *-MIRROR, *MIRROR]),
    )
    assert np.allclose(replace(case, body=body).measure(), case.measure(), rtol=0.0, atol=ROUNDING_m)


def test_mirrored_landmarks_under_the_axes_of_the_other_side_are_wrong() -> None:
    """Why a left foot is mirrored as a whole at the border: landmarks alone give another subtalar arm."""
    right = reference_man()
    mixed = Skeleton(right.points * MIRROR, right.cylinders * np.array([*MIRROR, *MIRROR, 1.0, -1.0, 1.0]), right.joint)
    elements = native_paths()["tibialis_posterior"]
    pose = pose_of(right.joint[0], 0.0, 0.0)
    assert abs(measure(right, elements, pose)[2] - measure(mixed, elements, pose)[2]) > 0.005


def at_rest(point: Floats, segment: int, joint: Floats, ankle: float, subtalar: float) -> Floats:
    """Where a point seen in a pose stands at neutral, if it is fixed to ``segment``."""
    if segment == SHANK:
        return point
    back: Floats = turn_matrix(joint[0:3], -ankle) @ point
    if segment == FOOT:
        back = joint[6:9] + turn_matrix(joint[3:6], -subtalar) @ (back - joint[6:9])
    return back


@quick
@given(SEEDS, st.floats(0.05, 0.95), st.sampled_from([SHANK, TALUS, FOOT]))
def test_a_further_point_on_a_straight_piece_changes_nothing(seed: int, share: float, segment: int) -> None:
    """Whichever segment holds it: the pulls on both sides of it cancel."""
    case = invented(seed)
    joint, straight = case.body.joint[0], np.array([[0, 0, SHANK], [0, 1, FOOT]], dtype=np.int32)
    two = replace(case, elements=straight)
    ends = [case.body.points[0, 0], place_foot(case.body.points[0, 1], joint, case.ankle, case.subtalar)]
    between = at_rest((1.0 - share) * ends[0] + share * ends[1], segment, joint, case.ankle, case.subtalar)
    points = np.concatenate([case.body.points[0], between[None]])[None]
    three = np.array([[0, 0, SHANK], [0, 4, segment], [0, 1, FOOT]], dtype=np.int32)
    more = replace(case, elements=three, body=replace(case.body, points=points))
    assert np.allclose(more.measure(), two.measure(), rtol=0.0, atol=ROUNDING_m)


def place_foot(point: Floats, joint: Floats, ankle: float, subtalar: float) -> Floats:
    """A foot point in the shank frame, written anew with matrices: subtalar turn first, then the ankle."""
    turned = joint[6:9] + turn_matrix(joint[3:6], subtalar) @ (point - joint[6:9])
    out: Floats = turn_matrix(joint[0:3], ankle) @ turned
    return out


# ---- the whole range ----


def test_no_path_of_a_thousand_invented_people_returns_nan_anywhere() -> None:
    """A grid over the range and poses of their own, landmarks moved by their spread."""
    rng = np.random.default_rng(40)
    body, paths = random_people(rng, 1000, jitter=True), all_paths()
    for person in range(1000):
        for ankle, subtalar in [*grid(6, 4), *random_poses(rng, 6)]:
            found = measure_all(body, paths, ankle, subtalar, person)
            assert np.isfinite(found).all(), (person, ankle, subtalar)
            assert (found[:, 0] > 0.0).all()
