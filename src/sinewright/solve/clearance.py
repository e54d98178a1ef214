"""How high the sole passes over the floor, and how much more hip and knee flexion would lift it.

Points of the sole: tip of the toes, inner and outer ball. Height of a point at (x, y) in the shank frame:

    h = height of the ankle axis + x sin f + y cos f        (f angle of the shank to the vertical)

Steppage: the hip flexes e more, the knee ``knee_per_hip`` e more, the foot keeps its angles to the shank; both follow
from the leg's own lengths, nothing is linearised.
"""

import math

from sinewright.anatomy.path import place, set_pose
from sinewright.arrays import Floats
from sinewright.compiled import compiled
from sinewright.solve.walk import COSINE, MARKS, SINE

MOST_EXTRA = math.radians(90.0)  # at the hip
TOLERANCE = 1e-7  # rad


@compiled
def lowest(
    ankle: float, subtalar: float, base: Floats, rise: float, marks: Floats, joint: Floats, pose: Floats, out: Floats
) -> float:
    """Least height [m] of the points of the sole; ``out`` (3, 2) gets where they lie in the shank frame."""
    set_pose(joint, ankle, subtalar, pose)
    least = 1e9
    for i in range(MARKS):
        x, y, _ = place(marks[i, 0], marks[i, 1], marks[i, 2], 2, pose)
        out[i, 0], out[i, 1] = x, y
        least = min(least, rise + x * base[SINE] + y * base[COSINE])
    return least


@compiled
def lifted(
    extra: float, knee_per_hip: float, first: int, last: int, base: Floats, rise: Floats, thigh: Floats,
    limb: Floats, where: Floats,
) -> float:  # fmt: skip
    """Least height [m] over steps ``first`` to ``last`` with ``extra`` hip flexion [rad]; ``where`` (T+1, 3, 2)."""
    least = 1e9
    for n in range(first, last + 1):
        shank = math.atan2(base[n, SINE], base[n, COSINE])
        bent = shank + (1.0 - knee_per_hip) * extra
        up = rise[n] + limb[0] * (math.cos(thigh[n]) - math.cos(thigh[n] + extra))
        up += limb[1] * (math.cos(shank) - math.cos(bent))
        s, c = math.sin(bent), math.cos(bent)
        for i in range(MARKS):
            least = min(least, up + where[n, i, 0] * s + where[n, i, 1] * c)
    return least


@compiled
def steppage(
    margin: float, knee_per_hip: float, first: int, last: int, base: Floats, rise: Floats, thigh: Floats,
    limb: Floats, where: Floats,
) -> tuple[float, bool]:  # fmt: skip
    """Least extra hip flexion [rad] with which the sole passes ``margin`` [m] above the floor; False if 90 deg do not
    help."""
    if lifted(0.0, knee_per_hip, first, last, base, rise, thigh, limb, where) >= margin:
        return 0.0, True
    low, high = 0.0, math.radians(2.0)
    while lifted(high, knee_per_hip, first, last, base, rise, thigh, limb, where) < margin:
        low, high = high, 1.5 * high
        if high > MOST_EXTRA:
            return MOST_EXTRA, False
    while high - low > TOLERANCE:
        middle = 0.5 * (low + high)
        if lifted(middle, knee_per_hip, first, last, base, rise, thigh, limb, where) < margin:
            low = middle
        else:
            high = middle
    return high, True
