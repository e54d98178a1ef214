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

from sinewright.anatomy.path import place
from sinewright.arrays import Floats
from sinewright.compiled import compiled

REFERENCE_TORQUE = 10.0  # N.m; only a scale: the limits are given at this torque
STOP_TORQUE = 4.0  # N.m held by a subtalar stop alone at its limit
MAX_EXPONENT = 30.0

# layout of one person's resistance
UPPER_RATE, UPPER, UPPER_KNEE, LOWER_RATE, LOWER, LOWER_KNEE, OFFSET = range(7)
TILT_STIFFNESS, TILT_NEUTRAL, INWARD, OUTWARD, STOP_RATE = range(7, 12)
WEIGHT, MASS_X, MASS_Y, MASS_Z = range(12, 16)
CALF_TILT = 16  # how far a turn of the hindfoot slackens the calf, as a share of the same turn of the ankle
RESIST_SIZE = 17


@compiled
def _grow(x: float) -> tuple[float, float]:
    """exp(x) and its slope; beyond MAX_EXPONENT it goes on as a straight line, so that nothing overflows."""
    if x <= MAX_EXPONENT:
        e = math.exp(x)
        return e, e
    e = math.exp(MAX_EXPONENT)
    return e * (1.0 + x - MAX_EXPONENT), e


@compiled
def _upper(resist: Floats, angle: float, knee: float) -> tuple[float, float]:
    """Moment with which the upper branch resists lifting [N.m, positive] and its slope [N.m/rad]."""
    up, slope = _grow(resist[UPPER_RATE] * (angle - resist[UPPER] - resist[UPPER_KNEE] * knee))
    return REFERENCE_TORQUE * up, REFERENCE_TORQUE * resist[UPPER_RATE] * slope


@compiled
def _lower(resist: Floats, ankle: float, knee: float) -> tuple[float, float]:
    """Moment with which the lower branch lifts [N.m, positive] and its slope [N.m/rad, negative]."""
    low, slope = _grow(-resist[LOWER_RATE] * (ankle - resist[LOWER] - resist[LOWER_KNEE] * knee))
    return REFERENCE_TORQUE * low, -REFERENCE_TORQUE * resist[LOWER_RATE] * slope


@compiled
def ankle_resistance(resist: Floats, ankle: float, knee: float) -> tuple[float, float]:
    """Moment of the passive ankle with the hindfoot straight [N.m, + lifts] and its slope [N.m/rad]."""
    up, up_slope = _upper(resist, ankle, knee)
    low, low_slope = _lower(resist, ankle, knee)
    return low - up - resist[OFFSET], low_slope - up_slope


@compiled
def passive_joints(resist: Floats, ankle: float, tilt: float, knee: float) -> tuple[float, float, float, float, float]:
    """Passive moments about ankle and subtalar axis [N.m] and their slopes (ankle, mixed, subtalar) [N.m/rad]."""
    c = resist[CALF_TILT]
    up, up_slope = _upper(resist, ankle - c * tilt, knee)
    low, low_slope = _lower(resist, ankle, knee)
    turned, turned_slope = subtalar_resistance(resist, tilt)
    about_ankle, about_subtalar = low - up - resist[OFFSET], turned + c * up
    return about_ankle, about_subtalar, low_slope - up_slope, c * up_slope, turned_slope - c * c * up_slope


@compiled
def subtalar_resistance(resist: Floats, subtalar: float) -> tuple[float, float]:
    """Moment of the passive subtalar joint [N.m, + inverts] and its slope [N.m/rad]."""
    rate, k = resist[STOP_RATE], resist[TILT_STIFFNESS]
    inward, inward_slope = _grow(rate * (subtalar - resist[INWARD]))
    outward, outward_slope = _grow(-rate * (subtalar - resist[OUTWARD]))
    moment = -k * (subtalar - resist[TILT_NEUTRAL]) - STOP_TORQUE * (inward - outward)
    return moment, -k - STOP_TORQUE * rate * (inward_slope + outward_slope)


@compiled
def weight_moment(resist: Floats, down: Floats, joint: Floats, pose: Floats) -> tuple[float, float]:
    """Moments of the foot's weight about both axes [N.m]; ``down`` (3) is the unit vector of gravity."""
    x, y, z = place(resist[MASS_X], resist[MASS_Y], resist[MASS_Z], 2, pose)
    fx, fy, fz = resist[WEIGHT] * down[0], resist[WEIGHT] * down[1], resist[WEIGHT] * down[2]
    ankle = joint[0] * (y * fz - z * fy) + joint[1] * (z * fx - x * fz) + joint[2] * (x * fy - y * fx)
    x, y, z = x - pose[24], y - pose[25], z - pose[26]
    tilt = pose[21] * (y * fz - z * fy) + pose[22] * (z * fx - x * fz) + pose[23] * (x * fy - y * fx)
    return ankle, tilt
