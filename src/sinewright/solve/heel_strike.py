"""Heel strike: what lets the foot down against what pushes it down. Slap is kept apart from clearance.

Demand: the floor pushes up under the heel, behind the ankle axis; moment = load x lever (own mechanics, no curve of
moments is used). Available: what effort adds about the ankle in the posture of heel strike, knee as in the cycle, held
still. A lengthening muscle gives up to four tenths more, which is not counted.
"""

from sinewright.anatomy.path import set_pose
from sinewright.arrays import Floats, Ints
from sinewright.compiled import compiled
from sinewright.solve.field import one_tension, path_of
from sinewright.solve.leg import Body
from sinewright.units import GRAVITY


@compiled
def available(
    ankle: float, subtalar: float, knee: float, level: Floats, live: Ints, pulls: Floats, words: Ints, body: Body,
    pose: Floats,
) -> float:  # fmt: skip
    """Lifting moment [N.m] that effort ``level`` (muscles,) adds at joint angles [rad]."""
    set_pose(body.joint, ankle, subtalar, pose)
    total = 0.0
    for j in range(len(live)):
        i = live[j]
        length, arm, _ = path_of(pulls[i], words[i], knee, body, pose)
        working, _ = one_tension(pulls[i], level[j], length, True)
        idle, _ = one_tension(pulls[i], 0.0, length, True)
        total += (working - idle) * arm
    return total


@compiled
def demand(mass: float, lever: float, load: float) -> float:
    """Moment [N.m] with which the floor pushes the foot down: load over body weight x body weight x lever [m]."""
    return mass * GRAVITY * load * lever
