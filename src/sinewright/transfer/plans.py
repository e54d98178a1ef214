"""Operations as arrays for the kernels: paths, shares, overlaps, fixing posture and set stretch.

Set stretch: how far the donor's muscle-tendon junction lies beyond its start point in the leg (muscle relaxed,
ankle neutral, knee 30 deg, before detachment) once sewn with the foot in the fixing posture; tighter is positive.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from sinewright.arrays import Floats, Ints
from sinewright.muscle.names import LEG_MUSCLES
from sinewright.reference import load
from sinewright.transfer.catalogue import Operation, RoutedDonor, path_table
from sinewright.units import m

PARTS, MOST_PATHS = 2, 3
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
    """C operations, each of up to two donors with up to three paths.

    elements (E, 3): all paths; native (12, 2): first and last element of every muscle in place.
    donor (C, 2): muscle of each part, -1 for none; path_count (C, 2); ends (C, 2, 3, 2): first and last element;
    shares (C, 2, 3); reach (C, 2, 2) and cut (C, 2, 2): path to the junction, path from the belly to the cut;
    overlap (C, 2) [m]; toes (C, 2): 1 where a pull first takes up the toes; bone (C, 2): 1 for a bony fixation;
    scarred (C, 2): 1 where the pull runs through a scarred common extensor mass;
    taken (C, 12): 1 where a muscle leaves its place; fixing (C, 3) [rad]; stretch (C,) [m].
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


def native_ends() -> Ints:
    """First and last element of the twelve native paths, (12, 2)."""
    ends = path_table().ends
    return np.array([ends[name] for name in LEG_MUSCLES], dtype=np.int32)


def build_plans(operations: Sequence[SewnOperation]) -> Operations:
    """Arrays for a list of operations; one without a moved muscle is the leg as it is."""
    c = len(operations)
    plans = Operations(
        path_table().elements,
        native_ends(),
        np.full((c, PARTS), -1, dtype=np.int32),
        path_count=np.zeros((c, PARTS), dtype=np.int32),
        ends=np.zeros((c, PARTS, MOST_PATHS, 2), dtype=np.int32),
        shares=np.zeros((c, PARTS, MOST_PATHS)),
        reach=np.zeros((c, PARTS, 2), dtype=np.int32),
        cut=np.zeros((c, PARTS, 2), dtype=np.int32),
        overlap=np.zeros((c, PARTS)),
        toes=np.zeros((c, PARTS), dtype=np.int32),
        bone=np.zeros((c, PARTS), dtype=np.int32),
        scarred=np.zeros((c, PARTS), dtype=np.int32),
        taken=np.zeros((c, len(LEG_MUSCLES)), dtype=np.int32),
        fixing=np.array([(o.ankle, o.subtalar, o.knee) for o in operations]).reshape(c, 3),
        stretch=np.array([o.stretch for o in operations]),
    )
    for i, operation in enumerate(operations):
        if operation.moved is None:
            continue
        for name in operation.moved.taken:
            plans.taken[i, LEG_MUSCLES.index(name)] = 1
        for p, part in enumerate(operation.moved.parts):
            _lay_part(plans, i, p, part, operation)
    return plans


def _lay_part(plans: Operations, i: int, p: int, part: RoutedDonor, operation: SewnOperation) -> None:
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
