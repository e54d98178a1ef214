"""Operations as arrays for the kernels: paths, shares, overlaps, fixing posture and set stretch.

Set stretch: how far the donor's muscle-tendon junction lies beyond its start point in the leg (muscle relaxed,
ankle neutral, knee 30 deg, before detachment) once sewn with the foot in the fixing posture; tighter is positive.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from sinewright.arrays import Floats, Ints, Shapes
from sinewright.muscle.names import LEG_MUSCLES
from sinewright.reference import load
from sinewright.transfer.catalogue import Operation, RoutedDonor, path_table
from sinewright.units import m

NATIVE, PARTS, MOST_PATHS = len(LEG_MUSCLES), 2, 3  # muscles in place, donors of an operation, paths of a donor
WEAVE, TUNNEL = "own-weave-overlap", "own-tunnel-length"


@dataclass(frozen=True)
class SewnOperation:
    """An operation as it is to be sewn: posture of fixing [rad], set stretch [m], overlap or none for the usual [m]."""

    moved: Operation | None
    ankle: float
    subtalar: float
    knee: float
    stretch: float
    overlap: float | None = None
    scarred_mass: bool = False


class Operations(NamedTuple):
    """C operations, each of up to two donors with up to three paths; shapes in ``PLAN_SHAPES``.

    elements: all paths, one after the other; native: first and last element of every muscle in place.
    donor: muscle of each part, -1 for none; path_count: how many paths it has; ends: first and last element of each;
    shares of its tension on each; reach, cut: path to the junction, path from the muscle's end to the cut;
    overlap [m]; toes: 1 where the tendon first takes up the toes; bone: 1 for a bony fixation; scarred: 1 where the
    tension runs through a scarred common extensor mass; taken: 1 where a muscle leaves its place; fixing: ankle,
    subtalar and knee angle while it is sewn [rad]; stretch: set stretch [m].
    """

    elements: Ints
    native: Ints
    donor: Ints
    path_count: Ints
    ends: Ints
    shares: Floats
    reach: Ints
    cut: Ints
    overlap: Floats
    toes: Ints
    bone: Ints
    scarred: Ints
    taken: Ints
    fixing: Floats
    stretch: Floats


PLAN_SHAPES: Shapes = {
    "elements": ("E", 3),
    "native": (NATIVE, 2),
    "donor": ("C", PARTS),
    "path_count": ("C", PARTS),
    "ends": ("C", PARTS, MOST_PATHS, 2),
    "shares": ("C", PARTS, MOST_PATHS),
    "reach": ("C", PARTS, 2),
    "cut": ("C", PARTS, 2),
    "overlap": ("C", PARTS),
    "toes": ("C", PARTS),
    "bone": ("C", PARTS),
    "scarred": ("C", PARTS),
    "taken": ("C", NATIVE),
    "fixing": ("C", 3),
    "stretch": ("C",),
}


def native_ends() -> Ints:
    """First and last element of the twelve native paths, (12, 2)."""
    ends = path_table().ends
    return np.array([ends[name] for name in LEG_MUSCLES], dtype=np.int32)


def build_plans(operations: Sequence[SewnOperation]) -> Operations:
    """Arrays for a list of operations; one without a moved muscle is the leg as it is."""
    c = len(operations)
    plans = Operations(
        elements=path_table().elements,
        native=native_ends(),
        donor=np.full((c, PARTS), -1, dtype=np.int32),
        path_count=_zeros(c, PARTS),
        ends=_zeros(c, PARTS, MOST_PATHS, 2),
        shares=np.zeros((c, PARTS, MOST_PATHS)),
        reach=_zeros(c, PARTS, 2),
        cut=_zeros(c, PARTS, 2),
        overlap=np.zeros((c, PARTS)),
        toes=_zeros(c, PARTS),
        bone=_zeros(c, PARTS),
        scarred=_zeros(c, PARTS),
        taken=_zeros(c, NATIVE),
        fixing=np.array([(o.ankle, o.subtalar, o.knee) for o in operations]).reshape(c, 3),
        stretch=np.array([o.stretch for o in operations]),
    )
    for i, operation in enumerate(operations):
        if operation.moved is None:
            continue
        for name in operation.moved.taken:
            plans.taken[i, LEG_MUSCLES.index(name)] = 1
        for p, part in enumerate(operation.moved.parts):
            _set_part(plans, i, p, part, operation)
    return plans


def _zeros(*shape: int) -> Ints:
    return np.zeros(shape, dtype=np.int32)


def _set_part(plans: Operations, i: int, p: int, part: RoutedDonor, operation: SewnOperation) -> None:
    ends, to = path_table().ends, part.recipient
    plans.donor[i, p] = LEG_MUSCLES.index(part.donor.muscle)
    plans.path_count[i, p] = len(part.paths)
    for s, (text, share) in enumerate(zip(part.paths, to.shares, strict=True)):
        plans.ends[i, p, s] = ends[text]
        plans.shares[i, p, s] = share
    plans.reach[i, p], plans.cut[i, p] = ends[part.reach], ends[part.to_cut]
    usual = m(load().fit_value(TUNNEL if to.bone else WEAVE))
    plans.overlap[i, p] = usual if operation.overlap is None else operation.overlap
    plans.toes[i, p] = int(to.tendons == ("extensor_digitorum_longus",))
    plans.bone[i, p] = int(to.bone)
    plans.scarred[i, p] = int(operation.scarred_mass and to.name.startswith("extensor_mass"))
