"""Tension of an idle muscle over its length, laid out once for a run through swing.

A muscle that left its place, or one whose passive part lies inside the measured joint, enters the sum with its tension
at rest. That depends on length alone, so it is solved at a few lengths and read between them by cubics that keep force
and slope at each; outside them it is solved directly.
"""

from sinewright.anatomy.path import set_pose
from sinewright.arrays import Floats, Ints
from sinewright.compiled import compiled
from sinewright.solve.field import COUNTING, EFFORT, TAKEN, one_tension, path_of
from sinewright.solve.leg import Body

PLACES = 25
FIRST, SPACING, FORCES = 0, 1, 2
IDLE = FORCES + 2 * PLACES
WIDE = 0.002  # m beyond the corners of the range
CORNERS = ((-0.9, -0.4), (-0.9, 0.5), (0.4, -0.4), (0.4, 0.5))  # ankle and subtalar angle [rad]


@compiled
def lay_idle(live: Ints, pulls: Floats, words: Ints, body: Body, pose: Floats, out: Floats) -> None:
    """Fill ``out`` (pulls, IDLE) for every muscle that counts its tension at rest; the knee does not matter to them."""
    for i in range(len(pulls)):
        needed = words[i, COUNTING] == TAKEN
        for j in range(len(live)):
            needed = needed or (live[j] == i and words[i, COUNTING] == EFFORT)
        if not needed:
            continue
        low, high = 1e9, -1e9
        for ankle, subtalar in CORNERS:
            set_pose(body.joint, ankle, subtalar, pose)
            length, _, _ = path_of(pulls[i], words[i], 0.0, body, pose)
            low, high = min(low, length), max(high, length)
        out[i, FIRST] = low - WIDE
        out[i, SPACING] = (high - low + 2.0 * WIDE) / (PLACES - 1)
        for k in range(PLACES):
            force, slope = one_tension(pulls[i], 0.0, out[i, FIRST] + k * out[i, SPACING], True)
            out[i, FORCES + 2 * k], out[i, FORCES + 2 * k + 1] = force, slope * out[i, SPACING]


@compiled
def idle_tension(laid: Floats, pull: Floats, length: float) -> float:
    """Tension at rest [N] at a length [m]."""
    along = (length - laid[FIRST]) / laid[SPACING]
    if not 0.0 <= along < PLACES - 1.0:
        force, _ = one_tension(pull, 0.0, length, True)
        return force
    k = int(along)
    t, at = along - k, FORCES + 2 * k
    a, b, u, v = laid[at], laid[at + 2], laid[at + 1], laid[at + 3]
    between: float = a + t * (u + t * (3.0 * (b - a) - 2.0 * u - v + t * (2.0 * (a - b) + u + v)))
    return max(between, 0.0)
