"""Force curves of fibre and tendon, normalised: force by F0, fibre by optimum, tendon by slack length.

Scalar, allocation-free functions: the one source for the CPU and for GPU kernels. The constants are
copied from the reference rows named beside them; a test proves they are equal. Source of the forms:
degroote2016 (rows ``curve-degroote2016-*-form``).

The published passive and tendon forms dip below zero at short lengths and would need a clamp with a kink.
Here the clamp is `floor_smooth`: exactly zero, then a parabola, then the published form. It is C1 and
differs from the hard clamp by at most FLOOR / 4 = 0.0005 F0. Above LINEAR_ABOVE = 5 F0, where no evidence
exists, passive and tendon go on along their tangent, so nothing overflows.
"""

import math

from sinewright.compiled import compiled

# curve-degroote2016-active-force-length-b1-1 .. b4-1
B11, B21, B31, B41 = 0.814, 1.06, 0.162, 0.0633
# curve-degroote2016-active-force-length-b1-2 .. b4-2
B12, B22, B32, B42 = 0.433, 0.717, -0.0299, 0.2
# curve-degroote2016-active-force-length-b1-3 .. b4-3
B13, B23, B33, B43 = 0.1, 1.0, 0.354, 0.0

# curve-degroote2016-passive-force-length-k and -e
PASSIVE_STIFF_K, PASSIVE_STIFF_E = 4.0, 0.6
# same k; passive strain at F0 from curve-millard2013-limits-passive-strain-at-f0
PASSIVE_SOFT_K, PASSIVE_SOFT_E = 4.0, 0.70

# curve-degroote2016-force-velocity-d1 .. d4
D1, D2, D3, D4 = -0.318, -8.149, -0.374, 0.886

# curve-degroote2016-tendon-c1 .. c3; TENDON_TOE = 1 - c2 as in kT = ln(6.25)/(e0 + 0.005)
C1, C2, C3 = 0.2, 0.995, 0.25
TENDON_TOE = 0.005
LN_FORCE_SPAN = math.log((1.0 + C3) / C1)  # ln(6.25)

FLOOR = 0.002  # half width of the parabola of floor_smooth [F0]
LINEAR_ABOVE = 5.0  # passive and tendon continue along their tangent above this force [F0]


@compiled
def floor_smooth(raw: float) -> tuple[float, float]:
    """Return (max(raw, 0) with a rounded corner, its slope): 0 below -FLOOR, raw above FLOOR."""
    if raw >= FLOOR:
        return raw, 1.0
    if raw <= -FLOOR:
        return 0.0, 0.0
    return (raw + FLOOR) ** 2 / (4.0 * FLOOR), (raw + FLOOR) / (2.0 * FLOOR)


@compiled
def floor_inverse(force: float) -> float:
    """Return the raw value whose smooth floor is `force` [F0]; -FLOOR for a force of zero or less."""
    if force >= FLOOR:
        return force
    if force <= 0.0:
        return -FLOOR
    return 2.0 * math.sqrt(FLOOR * force) - FLOOR


@compiled
def _bell(lf: float, height: float, centre: float, width: float, widening: float) -> tuple[float, float]:
    """Return one term b1 exp(-((lf - b2)/(b3 + b4 lf))^2 / 2) and its slope."""
    w = width + widening * lf
    if abs(w) < 1e-3:  # only near lf = 0.15, where the term is below 1e-300 anyway
        return 0.0, 0.0
    x = (lf - centre) / w
    f = height * math.exp(-0.5 * x * x)
    return f, -f * x * (1.0 - x * widening) / w


@compiled
def active_force_and_slope(lf: float) -> tuple[float, float]:
    """Return active force [F0] and d(force)/d(lf) at fibre length / optimum `lf` (0..3)."""
    f1, s1 = _bell(lf, B11, B21, B31, B41)
    f2, s2 = _bell(lf, B12, B22, B32, B42)
    f3, s3 = _bell(lf, B13, B23, B33, B43)
    return f1 + f2 + f3, s1 + s2 + s3


@compiled
def active_force(lf: float) -> float:
    """Return full-activation isometric force [F0] at fibre length / optimum `lf`.

    f = sum of three b1 exp(-((lf - b2)/(b3 + b4 lf))^2 / 2); degroote2016, row
    curve-degroote2016-active-force-length-form. Range 0..3; peak 0.996 at lf = 1.02; 0.002 left at lf = 0.
    """
    return active_force_and_slope(lf)[0]


@compiled
def active_force_slope(lf: float) -> float:
    """Return d(active_force)/d(lf) [F0 per optimum length]."""
    return active_force_and_slope(lf)[1]


@compiled
def passive_force_and_slope(lf: float, k: float, e: float) -> tuple[float, float]:
    """Return passive force and d(force)/d(lf) [F0, F0 per optimum length]; see `passive_force`."""
    span, x = math.expm1(k), lf - 1.0
    if k * x < -e and FLOOR * span < 0.63:  # exp(-1) - 1 = -0.632: far below the floor
        return 0.0, 0.0
    raw = math.expm1(k * x / e) / span
    over = 0.0
    if raw > LINEAR_ABOVE:  # go on along the tangent
        top = e / k * math.log1p(LINEAR_ABOVE * span)
        raw, over = LINEAR_ABOVE, x - top
    slope = k / e * (raw + 1.0 / span)
    f, s = floor_smooth(raw)
    return f + slope * over, s * slope


@compiled
def passive_force(lf: float, k: float, e: float) -> float:
    """Return passive fibre force [F0] at fibre length / optimum `lf`; force is F0 at stretch `e`, shape `k`.

    f = (exp(k (lf - 1)/e) - 1)/(exp(k) - 1), floored smoothly at zero, straight above 5 F0; degroote2016, row
    curve-degroote2016-passive-force-length-form. k > 0, e > 0; options PASSIVE_STIFF_* and PASSIVE_SOFT_*.
    """
    return passive_force_and_slope(lf, k, e)[0]


@compiled
def passive_force_slope(lf: float, k: float, e: float) -> float:
    """Return d(passive_force)/d(lf) [F0 per optimum length]."""
    return passive_force_and_slope(lf, k, e)[1]


@compiled
def passive_slack(k: float, e: float) -> float:
    """Return the longest fibre length / optimum with a passive force of exactly 0 (0.98 for k 4, e 0.6)."""
    below = 1.0 - FLOOR * math.expm1(k)
    return 1.0 + e / k * math.log(below) if below > 0.0 else 0.0


@compiled
def tendon_rate(e0: float) -> float:
    """Return kT = ln(6.25)/(e0 + 0.005), the exponent that puts a force of F0 at strain e0 (e0 > -0.005)."""
    return LN_FORCE_SPAN / (e0 + TENDON_TOE)


@compiled
def tendon_force_and_slope(ratio: float, e0: float) -> tuple[float, float]:
    """Return tendon force and d(force)/d(ratio) [F0, F0 per slack length]; see `tendon_force`."""
    rate = tendon_rate(e0)
    top = C2 + math.log((LINEAR_ABOVE + C3) / C1) / rate
    x = min(ratio, top)
    raw = C1 * math.exp(rate * (x - C2)) - C3
    slope = rate * (raw + C3)
    f, s = floor_smooth(raw)
    return f + slope * (ratio - x), s * slope


@compiled
def tendon_force(ratio: float, e0: float) -> float:
    """Return tendon force [F0] at tendon length / slack length `ratio`; F0 is reached at strain `e0` > 0.

    f = c1 exp(kT (ratio - c2)) - c3, floored smoothly at zero, straight above 5 F0; degroote2016, row
    curve-degroote2016-tendon-form. Only with e0 = 0.036 does the force start at slack length: a stiffer
    tendon starts up to 0.4 % before it, a softer one after it (0.2 % at e0 = 0.049); see `tendon_start`.
    """
    return tendon_force_and_slope(ratio, e0)[0]


@compiled
def tendon_force_slope(ratio: float, e0: float) -> float:
    """Return d(tendon_force)/d(ratio) [F0 per slack length]."""
    return tendon_force_and_slope(ratio, e0)[1]


@compiled
def tendon_ratio_and_slope(force: float, e0: float) -> tuple[float, float]:
    """Return tendon length / slack length that carries `force` [F0], and d(force)/d(ratio) there."""
    rate = tendon_rate(e0)
    raw = floor_inverse(force)
    x = min(raw, LINEAR_ABOVE)
    slope = rate * (x + C3)
    ratio = C2 + math.log((x + C3) / C1) / rate + (raw - x) / slope
    return ratio, slope * floor_smooth(raw)[1]


@compiled
def tendon_ratio(force: float, e0: float) -> float:
    """Return tendon length / slack length that carries `force` [F0]; for zero, the longest force-free length.

    ratio = ln((f + 0.25)/0.2)/kT + 0.995: the inverse of `tendon_force` (row curve-degroote2016-tendon-form).
    """
    return tendon_ratio_and_slope(force, e0)[0]


@compiled
def tendon_start(e0: float) -> float:
    """Return tendon length / slack length where the published (unfloored) curve crosses zero."""
    return C2 + math.log(C3 / C1) / tendon_rate(e0)


@compiled
def force_velocity(v: float) -> float:
    """Return the velocity factor at fibre velocity / maximum velocity `v` (shortening negative).

    f = d1 asinh(d2 v + d3) + d4, floored smoothly at zero (a fibre never pushes); degroote2016, row
    curve-degroote2016-force-velocity-form.
    """
    return floor_smooth(D1 * math.asinh(D2 * v + D3) + D4)[0]


@compiled
def velocity_at(factor: float) -> float:
    """Return fibre velocity / maximum velocity at `factor` >= 0: the inverse of `force_velocity`."""
    return (math.sinh((floor_inverse(factor) - D4) / D1) - D3) / D2
