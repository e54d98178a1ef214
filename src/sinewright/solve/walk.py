"""How each virtual leg walks, as plain arrays: what the swing kernels read. No arithmetic here.

``Walk`` belongs to ``Legs`` of the same length N. T steps of equal time run from toe-off to heel strike of one leg.
Lengths [m], times [s], angles [rad], masses [kg].
"""

from typing import NamedTuple

from sinewright.arrays import Floats, Ints

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
    """N ways of walking.

    step (N,) [s]; base (N, T+1, 7): motion of the shank; ankle_rise (N, T+1): height of the ankle axis above the floor;
    thigh (N, T+1): angle of the thigh to the vertical; window (N, 2): first and last step searched for the least
    clearance; foot (N, 10); marks (N, 3, 3): points of the sole in the foot at neutral; limb (N, 2): thigh and shank
    length; fibre (N, 4); timing (N, 4); damping (N, 2) of ankle and subtalar axis [N.m.s/rad]; toe_off (N,): ankle at
    toe-off; wanted (N,): ankle angle that the effort aims at; mass (N,) of the body; heel (N, 2): lever of the heel
    contact behind the ankle [m] and vertical load over body weight; brace (N,): ankle angle held by a brace;
    knee_per_hip: extra knee flexion for each degree at the hip.
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
