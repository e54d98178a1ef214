"""Tension of an idle muscle over its length, laid out once for a run through swing.

A muscle that left its place, or one whose passive part lies inside the measured joint, enters the sum with its tension
at rest. That depends on length alone, so it is solved at a few lengths and read between them by cubics that keep force
and slope at each; outside them it is solved directly.
"""

from typing import Any, Protocol

import numpy as np
from numpy.typing import NDArray

from sinewright.anatomy.path import set_pose
from sinewright.arrays import Floats
from sinewright.compiled import compiled
from sinewright.muscle.equilibrium import MuscleTendon, muscle_of
from sinewright.solve.actuators import Actuators, muscle_tension, path_of
from sinewright.solve.leg import Body

PLACES = 25
WIDE = 0.002  # m beyond the corners of the range
CORNERS = ((-0.9, -0.4), (-0.9, 0.5), (0.4, -0.4), (0.4, 0.5))  # ankle and subtalar angle [rad]

IDLE = np.dtype(
    [("first", np.float64), ("spacing", np.float64), ("force", np.float64, (PLACES,)), ("rise", np.float64, (PLACES,))],
    align=True,
)
IdleTensions = NDArray[Any]  # (A,) of ``IDLE``


class IdleTension(Protocol):
    """Tension at rest of one actuator: first length and spacing [m], force and force x spacing slope at each [N]."""

    first: float
    spacing: float
    force: Floats
    rise: Floats


@compiled
def set_idle(i: int, actuators: Actuators, body: Body, pose: Floats, row: IdleTension) -> None:
    """Fill the row of actuator ``i`` over every length it can have; those concerned do not cross the knee."""
    actuator = actuators[i]
    muscle = muscle_of(actuator.muscle)
    low, high = 1e9, -1e9
    for ankle, subtalar in CORNERS:
        set_pose(body.joint, ankle, subtalar, pose)
        length, _, _ = path_of(actuator, 0.0, body, pose)
        low, high = min(low, length), max(high, length)
    row.first = low - WIDE
    row.spacing = (high - low + 2.0 * WIDE) / (PLACES - 1)
    for k in range(PLACES):
        force, slope = muscle_tension(muscle, 0.0, row.first + k * row.spacing, True)
        row.force[k], row.rise[k] = force, slope * row.spacing


@compiled
def idle_tension(row: IdleTension, muscle: MuscleTendon, length: float) -> float:
    """Tension at rest [N] at a length [m]."""
    along = (length - row.first) / row.spacing
    if not 0.0 <= along < PLACES - 1.0:
        force, _ = muscle_tension(muscle, 0.0, length, True)
        return force
    k = int(along)
    t = along - k
    a, b, u, v = row.force[k], row.force[k + 1], row.rise[k], row.rise[k + 1]
    between: float = a + t * (u + t * (3.0 * (b - a) - 2.0 * u - v + t * (2.0 * (a - b) + u + v)))
    return 0.0 if between < 0.0 else between
