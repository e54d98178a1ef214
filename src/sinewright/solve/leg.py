"""The legs as plain arrays: what the kernels read. No arithmetic here.

``Legs`` holds N virtual legs, ``Body`` is one leg inside a kernel. They are named tuples because a compiled function
takes those whole. Lengths [m], forces [N], angles [rad].
"""

from typing import NamedTuple

from sinewright.arrays import Floats, Ints

# losses of one leg: shares kept by scar and drive, settling of a weave and of a bony fixation [m], friction per
# radian of bend, length that the toes take up [m], share kept by a scarred common extensor mass, tension that the
# first of two limbs carries beyond its share
SCAR, LEARNED, SETTLING_WEAVE, SETTLING_BONE, FRICTION, TOE_TAKE_UP, SCARRED_MASS, UNEVEN = range(8)
LOSSES = 8
# surgical execution of one leg: stretch [m], ankle, subtalar, knee [rad]
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
    """N virtual legs.

    points (N, P, 3), cylinders (N, C, 9), joint (N, 9): ``anatomy.path``; passive (N, 17): ``solve.passive_torque``;
    muscles (N, 12, 7): F0, optimum fibre, tendon slack, pennation, series strain, passive rate, passive strain;
    capacity (N, 12): share of its own normal strength that each muscle has now; knee_moment_arm (N,) of gastrocnemius;
    losses (N, 8) and execution (N, 4): see the names above; normal_lift (N,): normal lifting moment at neutral [N.m].
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
