"""How each virtual leg walks, as plain arrays: what the swing kernels read. No arithmetic here.

``Walk`` belongs to ``Legs`` of the same length N. T steps of equal time run from toe-off to heel strike of one leg.
Lengths [m], times [s], angles [rad], masses [kg].
"""

from typing import NamedTuple

from sinewright.arrays import Floats, Ints, Shapes
from sinewright.compiled import compiled

# one row of ``base``: sine and cosine of the angle of the shank to the vertical (forward leaning foot end +), its
# rate and acceleration, felt acceleration of the ankle along x and y of the shank (acceleration less gravity), knee
SINE, COSINE, SPIN, SPIN_UP, FELT_X, FELT_Y, KNEE = range(7)
BASE = 7
# foot with shoe: mass, centre of mass in the foot at neutral, inertia about it (xx yy zz xy xz yz)
MASS, CENTRE, INERTIA = 0, 1, 4
FOOT = 10
# fastest shortening [optimum fibres/s], fibre damping [F0 at that speed], time constants of activation [s]
FASTEST, FIBRE_DAMPING, T_ACT, T_DEACT = range(4)
FIBRE = 4
# onset of the lifters and of a donor after toe-off [s], rise of excitation [s], share of effort a donor has learned
ON_LIFTERS, ON_DONOR, RISE, LEARNED = range(4)
TIMING = 4
# points of the sole: tip of the toes, inner and outer ball
MARKS = 3
STEPS = 64
NODES = 5  # moments of swing, evenly spaced, at which the effort is set


class Walk(NamedTuple):
    """N ways of walking; shapes in ``WALK_SHAPES``, columns named above.

    step: time of one step [s]; base: motion of the shank; ankle_rise: height of the ankle axis above the floor; thigh:
    angle of the thigh to the vertical; window: first and last step searched for the least clearance; foot: mass, centre
    and inertia; marks: points of the sole in the foot at neutral; limb: thigh and shank length; fibre, timing; damping
    of ankle and subtalar axis [N.m.s/rad]; toe_off: ankle at toe-off; wanted: ankle angle that the effort aims at;
    pace: how fast it rises then [rad/s]; mass of the body; heel: lever of the heel contact behind the ankle [m] and
    vertical load over body weight; brace: ankle angle held by a brace; knee_per_hip: extra knee flexion for each degree
    at the hip.
    """

    step: Floats
    base: Floats
    ankle_rise: Floats
    thigh: Floats
    window: Ints
    foot: Floats
    marks: Floats
    limb: Floats
    fibre: Floats
    timing: Floats
    damping: Floats
    toe_off: Floats
    wanted: Floats
    pace: Floats
    mass: Floats
    heel: Floats
    brace: Floats
    knee_per_hip: Floats


WALK_SHAPES: Shapes = {
    "step": ("N",),
    "base": ("N", "T", BASE),
    "ankle_rise": ("N", "T"),
    "thigh": ("N", "T"),
    "window": ("N", 2),
    "foot": ("N", FOOT),
    "marks": ("N", MARKS, 3),
    "limb": ("N", 2),
    "fibre": ("N", FIBRE),
    "timing": ("N", TIMING),
    "damping": ("N", 2),
    "toe_off": ("N",),
    "wanted": ("N",),
    "pace": ("N", NODES),
    "mass": ("N",),
    "heel": ("N", 2),
    "brace": ("N",),
    "knee_per_hip": ("N",),
}


class Shank(NamedTuple):
    """Motion of the shank at one moment: the columns of ``base``."""

    sine: float
    cosine: float
    spin: float
    spin_up: float
    felt_x: float
    felt_y: float
    knee: float


@compiled
def shank_of(row: Floats) -> Shank:
    """The motion in one row (7,) of ``base``."""
    return Shank(row[0], row[1], row[2], row[3], row[4], row[5], row[6])
