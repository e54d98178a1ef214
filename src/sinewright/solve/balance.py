"""Where both moments vanish: a safeguarded Newton search for the minimum of the energy.

The slopes come symmetric from an energy; they are shifted until the foot is pushed back in every direction, the step
is cut to 0.25 rad, and when the moment along the last step has turned round by more than half the search goes back
to the secant point. A point that has not converged says so in its status.
"""

import math

from sinewright.arrays import Floats, Ints
from sinewright.compiled import compiled
from sinewright.solve.field import moments
from sinewright.solve.leg import Body

BALANCED, NOT_BALANCED = 0, 1
TOLERANCE = 1e-8  # N.m
MAX_STEPS = 250  # most legs need 5 to 10; a narrow bent valley between a tight tether and a soft hindfoot up to 120
LONGEST_STEP = 0.25  # rad
LEAST_STIFFNESS = 0.2  # N.m/rad

STATUS_SENTENCE = {
    BALANCED: "All moments on the foot are in balance.",
    NOT_BALANCED: "No position was found in which the moments on the foot balance; this draw is left out and counted.",
}


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
def balance(
    ankle: float,
    subtalar: float,
    knee: float,
    down: Floats,
    pulls: Floats,
    words: Ints,
    body: Body,
    poses: Floats,
) -> tuple[float, float, float, int, int]:
    """Angles of balance [rad], residual moment [N.m], steps taken, status; the first two arguments are the start."""
    m_a, m_s, k_aa, k_as, k_ss = moments(ankle, subtalar, knee, down, pulls, words, body, poses)
    taken = 0
    while taken < MAX_STEPS and math.hypot(m_a, m_s) > TOLERANCE:
        da, ds = newton_step(m_a, m_s, k_aa, k_as, k_ss)
        along = m_a * da + m_s * ds
        for _ in range(12):
            n_a, n_s, n_aa, n_as, n_ss = moments(ankle + da, subtalar + ds, knee, down, pulls, words, body, poses)
            taken += 1
            turned = n_a * da + n_s * ds
            if turned >= -0.5 * along:
                break
            part = along / (along - turned)
            da, ds, along = da * part, ds * part, along * part
        ankle, subtalar = ankle + da, subtalar + ds
        m_a, m_s, k_aa, k_as, k_ss = n_a, n_s, n_aa, n_as, n_ss
    residual = math.hypot(m_a, m_s)
    return ankle, subtalar, residual, taken, BALANCED if residual <= TOLERANCE else NOT_BALANCED
