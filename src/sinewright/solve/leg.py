"""The legs as plain arrays: what the kernels read. No arithmetic here.

``Legs`` holds N virtual legs, ``Body`` is one leg inside a kernel. They are named tuples because a compiled function
takes those whole. Lengths [m], forces [N], angles [rad].
"""

from typing import NamedTuple

from sinewright.arrays import Floats, Ints

# losses of one leg: shares kept by scar and drive, settling of a weave and of a bony fixation [m], friction per
# radian of bend, length that the toes take up [m], share kept by a scarred common extensor mass, tension that the
# first of two limbs carries beyond its share
SCAR, DRIVE, SETTLING_WEAVE, SETTLING_BONE, RUBBING, TOE_TAKE_UP, SCARRED_MASS, UNEVEN = range(8)
LOSSES = 8
# surgical execution of one leg: stretch [m], ankle, subtalar, knee [rad]
EXECUTION = 4


class Body(NamedTuple):
    """One leg as the kernels see it: ``anatomy.path`` for the first four, ``solve.resist`` for the fifth."""

    steps: Ints
    points: Floats
    pulleys: Floats
    joint: Floats
    resist: Floats
    elastic: bool


class Legs(NamedTuple):
    """N virtual legs.

    points (N, P, 3), pulleys (N, C, 8), joint (N, 9): ``anatomy.skeleton``; resist (N, 16): ``solve.resist``;
    muscles (N, 12, 7): F0, optimum fibre, tendon slack, pennation, series strain, passive rate, passive strain;
    ceiling (N, 12): share of its own normal strength that each muscle has now; knee_arm (N,) of gastrocnemius;
    losses (N, 8) and execution (N, 4): see the names above; normal_lift (N,): normal lifting moment at neutral [N.m].
    """

    points: Floats
    pulleys: Floats
    joint: Floats
    resist: Floats
    muscles: Floats
    ceiling: Floats
    knee_arm: Floats
    losses: Floats
    execution: Floats
    normal_lift: Floats
