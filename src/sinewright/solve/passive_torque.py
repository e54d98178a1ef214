"""What moves the foot besides tendons: passive joints with knee coupling, end stops, the weight of the foot.

Ankle: two-sided exponential after Riener (rows pa-riener-*), written so that its two limits can be set to a patient:

    M = -(T exp(b (q - u - s k)) - T exp(-g (q - d - t k)) + c)        [N.m], + lifts the foot

q ankle angle, k knee flexion, T the reference torque; u + s k is the angle where the upper branch alone holds
T, d + t k the same for the lower branch. Subtalar: a linear spring and an exponential stop on either side.

The upper branch is mostly the calf, and the heel tendon crosses both joints: turning the heel in slackens it. So the
branch is a function of q - c t (t subtalar angle, c the ratio of the heel tendon's two arms), and what resists lifting
also turns the hindfoot in: M_subtalar = c T exp(...). With c = 0 or t = 0 the ankle alone remains.
All angles in radians, rates in 1/rad.
"""

import math

from sinewright.anatomy.path import Triple, place
from sinewright.arrays import Floats
from sinewright.compiled import compiled

REFERENCE_TORQUE = 10.0  # N.m; only a scale: the limits are given at this torque
STOP_TORQUE = 4.0  # N.m held by a subtalar stop alone at its limit
MAX_EXPONENT = 30.0

# layout of one person's passive joint
UPPER_RATE, UPPER, UPPER_KNEE, LOWER_RATE, LOWER, LOWER_KNEE, OFFSET = range(7)
SUBTALAR_STIFFNESS, SUBTALAR_NEUTRAL, INWARD, OUTWARD, STOP_RATE = range(7, 12)
WEIGHT, MASS_X, MASS_Y, MASS_Z = range(12, 16)
CALF_SUBTALAR = 16  # how far a turn of the hindfoot slackens the calf, as a share of the same turn of the ankle
PASSIVE_SIZE = 17


@compiled
def _grow(x: float) -> tuple[float, float]:
    """exp(x) and its slope; beyond MAX_EXPONENT it goes on as a straight line, so that nothing overflows."""
    if x <= MAX_EXPONENT:
        e = math.exp(x)
        return e, e
    e = math.exp(MAX_EXPONENT)
    return e * (1.0 + x - MAX_EXPONENT), e


@compiled
def _upper(passive: Floats, angle: float, knee: float) -> tuple[float, float]:
    """Moment with which the upper branch resists lifting [N.m, positive] and its slope [N.m/rad]."""
    up, slope = _grow(passive[UPPER_RATE] * (angle - passive[UPPER] - passive[UPPER_KNEE] * knee))
    return REFERENCE_TORQUE * up, REFERENCE_TORQUE * passive[UPPER_RATE] * slope


@compiled
def _lower(passive: Floats, ankle: float, knee: float) -> tuple[float, float]:
    """Moment with which the lower branch lifts [N.m, positive] and its slope [N.m/rad, negative]."""
    low, slope = _grow(-passive[LOWER_RATE] * (ankle - passive[LOWER] - passive[LOWER_KNEE] * knee))
    return REFERENCE_TORQUE * low, -REFERENCE_TORQUE * passive[LOWER_RATE] * slope


@compiled
def ankle_passive_torque(passive: Floats, ankle: float, knee: float) -> tuple[float, float]:
    """Moment of the passive ankle with the hindfoot straight [N.m, + lifts] and its slope [N.m/rad]."""
    up, up_slope = _upper(passive, ankle, knee)
    low, low_slope = _lower(passive, ankle, knee)
    return low - up - passive[OFFSET], low_slope - up_slope


@compiled
def passive_joints(
    passive: Floats, ankle: float, subtalar: float, knee: float
) -> tuple[float, float, float, float, float]:
    """Passive moments about ankle and subtalar axis [N.m] and their slopes (ankle, mixed, subtalar) [N.m/rad]."""
    c = passive[CALF_SUBTALAR]
    up, up_slope = _upper(passive, ankle - c * subtalar, knee)
    low, low_slope = _lower(passive, ankle, knee)
    turned, turned_slope = subtalar_passive_torque(passive, subtalar)
    about_ankle, about_subtalar = low - up - passive[OFFSET], turned + c * up
    return about_ankle, about_subtalar, low_slope - up_slope, c * up_slope, turned_slope - c * c * up_slope


@compiled
def subtalar_passive_torque(passive: Floats, subtalar: float) -> tuple[float, float]:
    """Moment of the passive subtalar joint [N.m, + inverts] and its slope [N.m/rad]."""
    rate, k = passive[STOP_RATE], passive[SUBTALAR_STIFFNESS]
    inward, inward_slope = _grow(rate * (subtalar - passive[INWARD]))
    outward, outward_slope = _grow(-rate * (subtalar - passive[OUTWARD]))
    moment = -k * (subtalar - passive[SUBTALAR_NEUTRAL]) - STOP_TORQUE * (inward - outward)
    return moment, -k - STOP_TORQUE * rate * (inward_slope + outward_slope)


@compiled
def weight_moment(passive: Floats, down: Triple, joint: Floats, pose: Floats) -> tuple[float, float]:
    """Moments of the foot's weight about both axes [N.m]; ``down`` is the unit vector of gravity."""
    x, y, z = place(passive[MASS_X], passive[MASS_Y], passive[MASS_Z], 2, pose)
    fx, fy, fz = passive[WEIGHT] * down[0], passive[WEIGHT] * down[1], passive[WEIGHT] * down[2]
    ankle = joint[0] * (y * fz - z * fy) + joint[1] * (z * fx - x * fz) + joint[2] * (x * fy - y * fx)
    x, y, z = x - pose[24], y - pose[25], z - pose[26]
    subtalar = pose[21] * (y * fz - z * fy) + pose[22] * (z * fx - x * fz) + pose[23] * (x * fy - y * fx)
    return ankle, subtalar
