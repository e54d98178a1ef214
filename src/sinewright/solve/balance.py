"""Moments about both axes, and where they vanish: a safeguarded Newton search for the minimum of the energy.

The slopes come symmetric from an energy; they are shifted until the foot is pushed back in every direction, the step
is cut to 0.25 rad, and when the moment along the last step has turned round by more than half the search goes back
to the secant point. A point that has not converged says so in its status.
"""

import math
from typing import NamedTuple

from sinewright.anatomy.path import Triple, set_pose
from sinewright.arrays import Floats
from sinewright.compiled import compiled
from sinewright.solve.actuators import ACTIVATION, Actuators, added_tension, path_of
from sinewright.solve.leg import Body
from sinewright.solve.passive_torque import passive_joints, weight_moment

BALANCED, NOT_BALANCED = 0, 1
TOLERANCE = 1e-8  # N.m
STEP = 1e-6  # rad, for the change of moment arms only
MAX_STEPS = 250  # most legs need 5 to 10; a narrow bent valley between a tight tether and a soft hindfoot up to 120
LONGEST_STEP = 0.25  # rad
LEAST_STIFFNESS = 0.2  # N.m/rad
LEAST_PART = 0.1  # of a step that went too far: behind a steep stop the secant alone hardly moves

STATUS_SENTENCE = {
    BALANCED: "All moments on the foot are in balance.",
    NOT_BALANCED: "No position was found in which the moments on the foot balance; this draw is left out and counted.",
}


HANGING, LYING = (0.0, -1.0, 0.0), (-1.0, 0.0, 0.0)  # gravity in the shank frame


class Limb(NamedTuple):
    """How the limb is held: knee angle [rad], unit vector of gravity in the shank frame (``HANGING``, ``LYING``)."""

    knee: float
    down: Triple


@compiled
def newton_step(m_a: float, m_s: float, k_aa: float, k_as: float, k_ss: float) -> tuple[float, float]:
    """The step [rad] for moments [N.m] and slopes [N.m/rad], shifted to a restoring stiffness and cut to length."""
    a, b, c = -k_aa, -k_as, -k_ss
    middle, reach = 0.5 * (a + c), math.hypot(0.5 * (a - c), b)
    lowest = middle - reach
    if lowest < LEAST_STIFFNESS:
        shift = LEAST_STIFFNESS - lowest
        a, c = a + shift, c + shift
    det = a * c - b * b
    da, ds = (c * m_a - b * m_s) / det, (a * m_s - b * m_a) / det
    size = math.hypot(da, ds)
    if size > LONGEST_STEP:
        da, ds = da * LONGEST_STEP / size, ds * LONGEST_STEP / size
    return da, ds


@compiled
def moments(
    ankle: float, subtalar: float, limb: Limb, actuators: Actuators, body: Body, poses: Floats
) -> tuple[float, float, float, float, float]:
    """Moments about both axes and their slopes.

    The statics come from an energy, so the mixed slope is one number: it is averaged over both ways of taking it.

    Parameters
    ----------
    ankle, subtalar : float
        Joint angles [rad].
    limb : Limb
    actuators : rows of ``ACTUATOR``
    body : Body
    poses : array, (3, 27)
        Working space.

    Returns
    -------
    m_a, m_s : float
        Moments about ankle and subtalar axis [N.m].
    k_aa, k_as, k_ss : float
        Their slopes [N.m/rad].
    """
    knee, down = limb
    set_pose(body.joint, ankle, subtalar, poses[0])
    set_pose(body.joint, ankle + STEP, subtalar, poses[1])
    set_pose(body.joint, ankle, subtalar + STEP, poses[2])
    m_a, m_s, k_aa, k_as, k_ss = passive_joints(body.passive, ankle, subtalar, knee)
    w_a, w_s = weight_moment(body.passive, down, body.joint, poses[0])
    wa_a, wa_s = weight_moment(body.passive, down, body.joint, poses[1])
    ws_a, ws_s = weight_moment(body.passive, down, body.joint, poses[2])
    m_a, m_s = m_a + w_a, m_s + w_s
    k_aa, k_ss = k_aa + (wa_a - w_a) / STEP, k_ss + (ws_s - w_s) / STEP
    k_as += 0.5 * ((wa_s - w_s) + (ws_a - w_a)) / STEP
    for i in range(len(actuators)):
        actuator = actuators[i]
        if actuator.counting == ACTIVATION and actuator.activation == 0.0:
            continue
        length, r_a, r_s = path_of(actuator, knee, body, poses[0])
        force, stiff = added_tension(actuator, length, body.elastic)
        if force == 0.0 and stiff == 0.0:
            continue
        _, ra_a, ra_s = path_of(actuator, knee, body, poses[1])
        _, rs_a, rs_s = path_of(actuator, knee, body, poses[2])
        m_a, m_s = m_a + force * r_a, m_s + force * r_s
        k_aa += force * (ra_a - r_a) / STEP - stiff * r_a * r_a
        k_ss += force * (rs_s - r_s) / STEP - stiff * r_s * r_s
        k_as += 0.5 * force * ((ra_s - r_s) + (rs_a - r_a)) / STEP - stiff * r_a * r_s
    return m_a, m_s, k_aa, k_as, k_ss


@compiled
def balance(
    ankle: float, subtalar: float, limb: Limb, actuators: Actuators, body: Body, poses: Floats
) -> tuple[float, float, float, int, int]:
    """Where both moments vanish.

    Parameters
    ----------
    ankle, subtalar : float
        Where the search begins [rad].
    limb, actuators, body, poses
        As for ``moments``.

    Returns
    -------
    ankle, subtalar : float
        Angles of balance [rad].
    residual : float
        Moment left [N.m].
    steps, status : int
        How many steps it took; ``BALANCED`` or ``NOT_BALANCED``.
    """
    m_a, m_s, k_aa, k_as, k_ss = moments(ankle, subtalar, limb, actuators, body, poses)
    taken = 0
    while taken < MAX_STEPS and math.hypot(m_a, m_s) > TOLERANCE:
        da, ds = newton_step(m_a, m_s, k_aa, k_as, k_ss)
        along = m_a * da + m_s * ds
        for _ in range(12):
            n_a, n_s, n_aa, n_as, n_ss = moments(ankle + da, subtalar + ds, limb, actuators, body, poses)
            taken += 1
            turned = n_a * da + n_s * ds
            if turned >= -0.5 * along:
                break
            part = max(along / (along - turned), LEAST_PART)
            da, ds, along = da * part, ds * part, along * part
        ankle, subtalar = ankle + da, subtalar + ds
        m_a, m_s, k_aa, k_as, k_ss = n_a, n_s, n_aa, n_as, n_ss
    residual = math.hypot(m_a, m_s)
    return ankle, subtalar, residual, taken, BALANCED if residual <= TOLERANCE else NOT_BALANCED
