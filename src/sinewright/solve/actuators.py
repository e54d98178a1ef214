"""The muscles that act on the foot: what each is, which paths it takes, and what its tension adds.

An actuator is a muscle acting through one to three paths with fixed shares of its tension:

    L = sum share_i L_i(q) + offset - knee arm * knee,   r = sum share_i r_i(q),   M = F(L) r

Fixed shares and virtual work give exactly this L. Three ways of counting: a moved muscle counts ``WHOLE``; a muscle
left in place counts only what its ``ACTIVATION`` adds, since its passive part is inside the measured passive joint; a
muscle ``TAKEN`` away loses its passive part there.
"""

from typing import Any, NamedTuple, Protocol

import numpy as np
from numpy.typing import NDArray

from sinewright.anatomy.path import length_and_moment_arms
from sinewright.arrays import Floats, Ints
from sinewright.compiled import compiled
from sinewright.muscle.equilibrium import (
    CONSTANTS,
    MuscleTendon,
    elastic_force_and_stiffness,
    muscle_of,
    rigid_force_and_stiffness,
)
from sinewright.solve.leg import UNEVEN, Body, Legs
from sinewright.transfer.plans import MOST_PATHS, NATIVE, PARTS, Operations

DONORS = PARTS
WHOLE, ACTIVATION, TAKEN = 0, 1, 2
FIRST_GASTROCNEMIUS = 10  # the muscles from here on cross the knee

ACTUATOR = np.dtype(
    [
        ("muscle", np.float64, (CONSTANTS,)),
        ("offset", np.float64),
        ("activation", np.float64),
        ("knee_moment_arm", np.float64),
        ("shares", np.float64, (MOST_PATHS,)),
        ("counting", np.int32),
        ("path_count", np.int32),
        ("ends", np.int32, (MOST_PATHS, 2)),
    ],
    align=True,
)
Actuators = NDArray[Any]  # (A,) of ``ACTUATOR``: the muscles in place, then the donors in their new paths


class Actuator(Protocol):
    """One row of ``ACTUATOR``.

    muscle: constants, see ``MuscleTendon``; offset: added to the length of the paths [m]; activation: 0 to 1;
    knee_moment_arm [m]; shares of the tension on each path; counting: one of the names above; path_count: paths in use;
    ends: first and last element of each path.
    """

    muscle: Floats
    offset: float
    activation: float
    knee_moment_arm: float
    shares: Floats
    counting: int
    path_count: int
    ends: Ints


class Operated(NamedTuple):
    """One leg with one operation."""

    leg: int
    plan: int
    legs: Legs
    plans: Operations


def actuator_rows() -> Actuators:
    """Working space for the actuators of one leg and operation."""
    return np.zeros(NATIVE + DONORS, dtype=ACTUATOR)


@compiled
def set_native(muscles: Floats, knee_moment_arm: float, native: Ints, taken: Ints, actuators: Actuators) -> None:
    """Fill the first twelve rows with the muscles in place, at rest."""
    for i in range(NATIVE):
        row = actuators[i]
        for j in range(CONSTANTS):
            row.muscle[j] = muscles[i, j]
        row.offset = 0.0
        row.activation = 0.0
        row.knee_moment_arm = knee_moment_arm if i >= FIRST_GASTROCNEMIUS else 0.0
        row.shares[0] = 1.0
        row.counting = TAKEN if taken[i] == 1 else ACTIVATION
        row.path_count = 1
        row.ends[0, 0], row.ends[0, 1] = native[i, 0], native[i, 1]


@compiled
def set_donor(muscle: Floats, path_count: int, ends: Ints, shares: Floats, row: Actuator) -> None:
    """Fill one row with a moved muscle, at rest and without its offset."""
    for j in range(CONSTANTS):
        row.muscle[j] = muscle[j]
    row.offset = 0.0
    row.activation = 0.0
    row.knee_moment_arm = 0.0
    row.counting = WHOLE
    row.path_count = path_count
    for s in range(path_count):
        row.shares[s] = shares[s]
        row.ends[s, 0], row.ends[s, 1] = ends[s, 0], ends[s, 1]


@compiled
def set_actuators(operated: Operated, actuators: Actuators) -> int:
    """Fill the actuators of one leg and operation; gives the number of moved muscles."""
    leg, plan, legs, plans = operated
    set_native(legs.muscles[leg], legs.knee_moment_arm[leg], plans.native, plans.taken[plan], actuators)
    moved = 0
    for p in range(DONORS):
        muscle = plans.donor[plan, p]
        if muscle >= 0:
            row, shares = actuators[NATIVE + moved], plans.shares[plan, p]
            set_donor(legs.muscles[leg, muscle], plans.path_count[plan, p], plans.ends[plan, p], shares, row)
            if plans.path_count[plan, p] == 2:  # two limbs are never tensioned quite alike
                first = min(max(shares[0] + legs.losses[leg, UNEVEN], 0.1), 0.9)
                row.shares[0], row.shares[1] = first, 1.0 - first
            moved += 1
    return moved


@compiled
def muscle_tension(muscle: MuscleTendon, activation: float, length: float, elastic: bool) -> tuple[float, float]:
    """Tension [N] of a muscle at a length [m] and its slope [N/m]; NaN where it finds no equilibrium.

    A NaN cannot be taken for an answer: no balance is found with it, and what is read off it is marked as failed.
    """
    if elastic:
        force, _, _, _, slope = elastic_force_and_stiffness(muscle, length, activation)
        return force, slope
    force, _, slope = rigid_force_and_stiffness(muscle, length, activation)
    return force, slope


@compiled
def added_tension(actuator: Actuator, length: float, elastic: bool) -> tuple[float, float]:
    """Tension that an actuator adds at a length [m]: force [N] and slope [N/m], counted as it says."""
    muscle = muscle_of(actuator.muscle)
    force = slope = 0.0
    if actuator.counting != TAKEN:
        f, k = muscle_tension(muscle, actuator.activation, length, elastic)
        force, slope = f, k
    if actuator.counting != WHOLE:
        f, k = muscle_tension(muscle, 0.0, length, elastic)
        force, slope = force - f, slope - k
    return force, slope


@compiled
def effort_tension(actuator: Actuator, activation: float, length: float, elastic: bool) -> float:
    """What an activation adds to the tension at rest [N], at a length [m]."""
    muscle = muscle_of(actuator.muscle)
    working, _ = muscle_tension(muscle, activation, length, elastic)
    idle, _ = muscle_tension(muscle, 0.0, length, elastic)
    return working - idle


@compiled
def path_of(actuator: Actuator, knee: float, body: Body, pose: Floats) -> tuple[float, float, float]:
    """Muscle-tendon length and both moment arms [m] of an actuator in a pose, at a knee angle [rad]."""
    length, ankle, subtalar = actuator.offset - actuator.knee_moment_arm * knee, 0.0, 0.0
    for i in range(actuator.path_count):
        share = actuator.shares[i]
        first, last = actuator.ends[i, 0], actuator.ends[i, 1]
        part, a, s = length_and_moment_arms(body.elements, first, last, body.points, body.cylinders, body.joint, pose)
        length += share * part
        ankle += share * a
        subtalar += share * s
    return length, ankle, subtalar
