"""How high the sole passes over the floor, and how much more hip and knee flexion would lift it.

Points of the sole: tip of the toes, inner and outer ball. Height of a point at (x, y) in the shank frame:

    h = height of the ankle axis + x sin f + y cos f        (f angle of the shank to the vertical)

Steppage: the hip flexes e more, the knee ``knee_per_hip`` e more, the foot keeps its angles to the shank; both follow
from the leg's own lengths, nothing is linearised.
"""

import math
from typing import NamedTuple

from sinewright.anatomy.path import place, set_pose
from sinewright.arrays import Floats
from sinewright.compiled import compiled
from sinewright.solve.walk import COSINE, MARKS, SINE, Walk

MOST_EXTRA = math.radians(90.0)  # at the hip
TOLERANCE = 1e-7  # rad


class Sole(NamedTuple):
    """The sole of one swinging foot.

    marks (3, 3): its points in the foot at neutral [m]; joint (9,): see ``anatomy.path``; base (T, 7) and rise (T,):
    motion of the shank and height of the ankle axis [m] at every step; pose (27,): working space.
    """

    marks: Floats
    joint: Floats
    base: Floats
    rise: Floats
    pose: Floats


class Passing(NamedTuple):
    """A foot on its way past the floor, from step ``first`` to step ``last``.

    base (T, 7), rise (T,) [m], thigh (T,) [rad]: see ``solve.walk``; limb (2,): thigh and shank length [m]; where
    (T, 3, 2): the points of the sole in the shank frame at every step [m].
    """

    first: int
    last: int
    base: Floats
    rise: Floats
    thigh: Floats
    limb: Floats
    where: Floats


@compiled
def passing_of(leg: int, walk: Walk, where: Floats) -> Passing:
    """How one leg passes the floor; ``where`` (T, 3, 2) is filled by ``lowest``."""
    return Passing(
        walk.window[leg, 0], walk.window[leg, 1], walk.base[leg], walk.ankle_rise[leg], walk.thigh[leg],
        walk.limb[leg], where,
    )  # fmt: skip


@compiled
def lowest(ankle: float, subtalar: float, n: int, sole: Sole, where: Floats) -> float:
    """Least height of the points of the sole at one step.

    Parameters
    ----------
    ankle, subtalar : float
        Joint angles [rad].
    n : int
        Step of swing.
    sole : Sole
    where : array, (3, 2)
        Gets where the points lie in the shank frame [m].

    Returns
    -------
    float
        Height above the floor [m].
    """
    set_pose(sole.joint, ankle, subtalar, sole.pose)
    least = 1e9
    for i in range(MARKS):
        x, y, _ = place(sole.marks[i, 0], sole.marks[i, 1], sole.marks[i, 2], 2, sole.pose)
        where[i, 0], where[i, 1] = x, y
        least = min(least, sole.rise[n] + x * sole.base[n, SINE] + y * sole.base[n, COSINE])
    return least


@compiled
def lifted(extra: float, knee_per_hip: float, passing: Passing) -> float:
    """Least height of the sole [m] with ``extra`` hip flexion [rad], the knee ``knee_per_hip`` times as much."""
    limb, thigh, least = passing.limb, passing.thigh, 1e9
    for n in range(passing.first, passing.last + 1):
        shank = math.atan2(passing.base[n, SINE], passing.base[n, COSINE])
        bent = shank + (1.0 - knee_per_hip) * extra
        up = passing.rise[n] + limb[0] * (math.cos(thigh[n]) - math.cos(thigh[n] + extra))
        up += limb[1] * (math.cos(shank) - math.cos(bent))
        s, c = math.sin(bent), math.cos(bent)
        for i in range(MARKS):
            least = min(least, up + passing.where[n, i, 0] * s + passing.where[n, i, 1] * c)
    return least


@compiled
def steppage(margin: float, knee_per_hip: float, passing: Passing) -> tuple[float, bool]:
    """Least extra hip flexion [rad] with which the sole passes ``margin`` [m] above the floor; False if 90 deg do not
    help."""
    if lifted(0.0, knee_per_hip, passing) >= margin:
        return 0.0, True
    low, high = 0.0, math.radians(2.0)
    while lifted(high, knee_per_hip, passing) < margin:
        low, high = high, 1.5 * high
        if high > MOST_EXTRA:
            return MOST_EXTRA, False
    while high - low > TOLERANCE:
        middle = 0.5 * (low + high)
        if lifted(middle, knee_per_hip, passing) < margin:
            low = middle
        else:
            high = middle
    return high, True
