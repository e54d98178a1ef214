"""The legs as plain arrays: what the kernels read. No arithmetic here.

``Legs`` holds N virtual legs, ``Body`` is one leg inside a kernel. They are named tuples because a compiled function
takes those whole. Lengths [m], forces [N], angles [rad].
"""

from typing import NamedTuple

from sinewright.anatomy.path import CYLINDER_SIZE, JOINT_SIZE
from sinewright.arrays import Floats, Ints, Shapes
from sinewright.compiled import compiled
from sinewright.muscle.equilibrium import CONSTANTS
from sinewright.solve.passive_torque import PASSIVE_SIZE
from sinewright.transfer.plans import NATIVE

# losses of one leg: shares kept by scar and of the activation that is learned, settling of a weave and of a bony
# fixation [m], friction per radian of bend, length that the toes take up [m], share kept by a scarred common extensor
# mass, tension that the first of two limbs carries beyond its share
SCAR, LEARNED, SETTLING_WEAVE, SETTLING_BONE, FRICTION, TOE_TAKE_UP, SCARRED_MASS, UNEVEN = range(8)
LOSSES = 8
# surgical execution of one leg: errors of set stretch [m], ankle, subtalar, knee [rad]
STRETCH_ERROR, ANKLE_ERROR, SUBTALAR_ERROR, KNEE_ERROR = range(4)
EXECUTION = 4


class Body(NamedTuple):
    """One leg as the kernels see it: ``anatomy.path`` for the first four, ``solve.passive_torque`` for the fifth."""

    elements: Ints
    points: Floats
    cylinders: Floats
    joint: Floats
    passive: Floats
    elastic: bool


class Legs(NamedTuple):
    """N virtual legs; shapes in ``LEG_SHAPES``.

    points, cylinders, joint: ``anatomy.path``; passive: ``solve.passive_torque``; muscles: see
    ``muscle.equilibrium.MuscleTendon``; capacity: share of its own normal strength that each muscle has now, the most
    it can be activated; knee_moment_arm of gastrocnemius [m]; losses and execution: see the names above; normal_lift:
    normal lifting moment at neutral [N.m].
    """

    points: Floats
    cylinders: Floats
    joint: Floats
    passive: Floats
    muscles: Floats
    capacity: Floats
    knee_moment_arm: Floats
    losses: Floats
    execution: Floats
    normal_lift: Floats


LEG_SHAPES: Shapes = {
    "points": ("N", "P", 3),
    "cylinders": ("N", "C", CYLINDER_SIZE),
    "joint": ("N", JOINT_SIZE),
    "passive": ("N", PASSIVE_SIZE),
    "muscles": ("N", NATIVE, CONSTANTS),
    "capacity": ("N", NATIVE),
    "knee_moment_arm": ("N",),
    "losses": ("N", LOSSES),
    "execution": ("N", EXECUTION),
    "normal_lift": ("N",),
}


@compiled
def body_of(leg: int, legs: Legs, elements: Ints, elastic: bool) -> Body:
    """One of the legs, with the table of path elements."""
    return Body(elements, legs.points[leg], legs.cylinders[leg], legs.joint[leg], legs.passive[leg], elastic)
