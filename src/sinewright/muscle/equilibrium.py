"""Isometric equilibrium of one muscle and its tendon at a given activation.

Force balance along the tendon and length balance (model: degroote2016 curves, constant muscle thickness):

    F0 (a fL(l/l0) + fP(l/l0)) cos(pen) = F0 fT(lT/l_slack)
    l cos(pen) + lT = l_mt,   l sin(pen) = l0 sin(pen0)

The unknown is p = l cos(pen), the length of the fibre seen along the tendon. Then
l = sqrt(p^2 + (l0 sin(pen0))^2) and cos(pen) = p/l, so no angle is ever computed. The equation solved is a
length balance,

    gap(p) = p + l_slack ratio(m(p)) - l_mt = 0,   m = (a fL + fP) p/l,

because the tendon's inverse is mild where its force is steep: Newton needs 3 to 5 steps. The root is
always inside [0, l_mt - force-free tendon length], so bisection backs up every step. A root is stable
where gap rises. Several stable roots are possible only when the tendon is so soft and long that kT
l0/l_slack < SINGLE_ROOT_ABOVE; then the smallest stable one is taken: the branch reached by lengthening
slowly from the short side.

All lengths [m], forces [N], angles [rad]; activation a in 0..1. Strength lost (paresis) belongs into `a`:
scaling F0 down would soften the tendon and the passive fibre as well.
"""

import math

from sinewright.compiled import compiled
from sinewright.muscle.curves import (
    active_force_and_slope,
    passive_force_and_slope,
    passive_slack,
    tendon_force_and_slope,
    tendon_rate,
    tendon_ratio,
    tendon_ratio_and_slope,
)

BALANCED = 0  # equilibrium found
SLACK = 1  # force 0; a relaxed fibre lies at its own passive slack, an active one at its shortest
SHORTEST = 2  # fibre fully shortened, the tendon takes all the length; force below 0.002 a F0
NOT_CONVERGED = 3  # never seen; kept so that a failure cannot pass for a result
BAD_INPUT = 4  # an argument outside its stated range; force and fibre length are NaN

STATUS_SENTENCE = {
    BALANCED: "Muscle and tendon are in balance.",
    SLACK: "The tendon hangs slack and carries nothing.",
    SHORTEST: "The fibres have shortened as far as they can and pull almost nothing.",
    NOT_CONVERGED: "No balance between muscle and tendon was found; do not use this force.",
    BAD_INPUT: "A length, force, angle or tendon strain given to the muscle model is outside its range.",
}

TOLERANCE = 1e-10  # force balance [F0]
MAX_STEPS = 100
SCAN = 64
# above the largest |fL'|/(fL + c3) of the falling limb, 2.87, a second root cannot exist (shown in the tests)
SINGLE_ROOT_ABOVE = 2.9
SHORT_FADE = 0.01  # a rigid tendon longer than the whole: what force is left fades within 1 % of l0


@compiled
def fibre_pull(p: float, a: float, l0: float, thickness: float, kp: float, ep: float) -> tuple[float, float, float]:
    """Return (pull along the tendon [F0], d(pull)/dp [F0/m], fibre length [m]) at projected length p >= 0."""
    fibre = math.sqrt(p * p + thickness * thickness)
    cos = p / fibre if fibre > 0.0 else 1.0
    fa, sa = active_force_and_slope(fibre / l0)
    fp, sp = passive_force_and_slope(fibre / l0, kp, ep)
    force = a * fa + fp
    sin2_over_l = (1.0 - cos * cos) / fibre if fibre > 0.0 else 0.0
    return force * cos, (a * sa + sp) / l0 * cos * cos + force * sin2_over_l, fibre


@compiled
def rigid_force_and_stiffness(
    l_mt: float, l_slack: float, a: float, F0: float, l0: float, pen0: float, kp: float, ep: float
) -> tuple[float, float, float]:
    """Return (force along the tendon [N], fibre length [m], d(force)/d(l_mt) [N/m]), tendon of fixed length.

    Where the whole is shorter than the tendon the force is 0, reached within 1 % of l0 to stay continuous.
    """
    thickness = l0 * math.sin(pen0)
    p = l_mt - l_slack
    pull, slope, fibre = fibre_pull(max(p, 0.0), a, l0, thickness, kp, ep)
    if p < 0.0:
        slope = pull / (SHORT_FADE * l0) if p > -SHORT_FADE * l0 else 0.0
        pull = max(0.0, pull * (1.0 + p / (SHORT_FADE * l0)))
    return F0 * pull, fibre, F0 * slope


@compiled
def rigid_force(
    l_mt: float, l_slack: float, a: float, F0: float, l0: float, pen0: float, kp: float, ep: float
) -> tuple[float, float]:
    """Return (force along the tendon [N], fibre length [m]) with a tendon that never stretches."""
    force, fibre, _ = rigid_force_and_stiffness(l_mt, l_slack, a, F0, l0, pen0, kp, ep)
    return force, fibre


@compiled
def _gap(
    p: float, l_mt: float, l_slack: float, a: float, l0: float, thickness: float, e0: float,
    kp: float, ep: float,
) -> tuple[float, float, float]:  # fmt: skip
    """Return (gap [m], d(gap)/dp, tendon stiffness [F0/m]) at projected fibre length p."""
    pull, slope, _ = fibre_pull(p, a, l0, thickness, kp, ep)
    ratio, stiff = tendon_ratio_and_slope(pull, e0)
    stiff /= l_slack
    rise = 1.0 + slope / stiff if stiff > 0.0 else 1.0
    return p + l_slack * ratio - l_mt, rise, stiff


@compiled
def _first_bracket(
    high: float, l_mt: float, l_slack: float, a: float, l0: float, thickness: float, e0: float,
    kp: float, ep: float,
) -> tuple[float, float]:  # fmt: skip
    """Return the first of SCAN equal pieces of [0, high] at whose end the gap is no longer negative."""
    low = 0.0
    for i in range(1, SCAN):
        p = high * i / SCAN
        if _gap(p, l_mt, l_slack, a, l0, thickness, e0, kp, ep)[0] >= 0.0:
            return low, p
        low = p
    return low, high


@compiled
def _balance(
    low: float, high: float, l_mt: float, l_slack: float, a: float, l0: float, thickness: float, e0: float,
    kp: float, ep: float,
) -> tuple[float, int, int]:  # fmt: skip
    """Return (projected fibre length [m], status, steps) by Newton steps kept inside a shrinking bracket."""
    p = min(max(l_mt - l_slack, low), high)
    rounding = 4e-16 * (abs(l_mt) + l_slack)
    for step in range(1, MAX_STEPS + 1):
        gap, rise, stiff = _gap(p, l_mt, l_slack, a, l0, thickness, e0, kp, ep)
        met = abs(gap) * stiff <= TOLERANCE or abs(gap) <= rounding
        if met and gap < -rounding:  # the tendon is longer than the pull says: there it may be far stiffer
            pull, _, _ = fibre_pull(p, a, l0, thickness, kp, ep)
            met = abs(tendon_force_and_slope((l_mt - p) / l_slack, e0)[0] - pull) <= TOLERANCE
        if (met and rise > 0.0) or high - low <= rounding:
            return p, BALANCED, step
        if gap > 0.0 or met:  # a met balance that does not rise is unstable: the stable one lies below
            high = p
        else:
            low = p
        p -= gap / rise if rise > 0.0 else 0.0
        if not low < p < high:
            p = 0.5 * (low + high)
    return p, NOT_CONVERGED, MAX_STEPS


@compiled
def _in_range(l_mt: float, l_slack: float, a: float, F0: float, l0: float, pen0: float, e0: float) -> bool:
    """Tell whether the arguments are finite and inside the stated range."""
    total = l_mt + l_slack + a + F0 + l0 + pen0 + e0
    return (
        math.isfinite(total) and l_slack > 0.0 and l0 > 0.0 and F0 >= 0.0 and a >= 0.0
        and 0.0 <= pen0 < 1.5 and e0 > -0.005
    )  # fmt: skip


@compiled
def elastic_force_and_stiffness(
    l_mt: float, l_slack: float, a: float, F0: float, l0: float, pen0: float, e0: float, kp: float, ep: float
) -> tuple[float, float, int, int, float]:
    """Return what `elastic_force` returns and d(force)/d(l_mt) [N/m].

    The stiffness is that of fibre and tendon in series, k = k_fibre k_tendon/(k_fibre + k_tendon).
    """
    if not _in_range(l_mt, l_slack, a, F0, l0, pen0, e0):
        return math.nan, math.nan, BAD_INPUT, 0, math.nan
    thickness = l0 * math.sin(pen0)
    high = l_mt - l_slack * tendon_ratio(0.0, e0)
    rest = passive_slack(kp, ep) * l0
    if a == 0.0 and max(high, 0.0) ** 2 + thickness**2 <= max(rest, thickness) ** 2:
        return 0.0, max(rest, thickness), SLACK, 0, 0.0
    if high <= 0.0:
        return 0.0, thickness, SLACK, 0, 0.0
    if thickness == 0.0 and _gap(0.0, l_mt, l_slack, a, l0, thickness, e0, kp, ep)[0] >= 0.0:
        force, slope = tendon_force_and_slope(l_mt / l_slack, e0)
        return F0 * force, thickness, SHORTEST, 0, F0 * slope / l_slack
    low = 0.0
    if tendon_rate(e0) * l0 < SINGLE_ROOT_ABOVE * l_slack:
        low, high = _first_bracket(high, l_mt, l_slack, a, l0, thickness, e0, kp, ep)
    p, status, steps = _balance(low, high, l_mt, l_slack, a, l0, thickness, e0, kp, ep)
    pull, slope, fibre = fibre_pull(p, a, l0, thickness, kp, ep)
    stiff = tendon_ratio_and_slope(pull, e0)[1] / l_slack
    series = slope * stiff / (slope + stiff) if slope + stiff > 0.0 else 0.0
    return F0 * pull, fibre, status, steps, F0 * series


@compiled
def elastic_force(
    l_mt: float, l_slack: float, a: float, F0: float, l0: float, pen0: float, e0: float, kp: float, ep: float
) -> tuple[float, float, int, int]:
    """Return (force along the tendon [N], fibre length [m], status, steps) with an elastic tendon.

    l_mt length of the whole [m]; l_slack tendon slack length [m] > 0; a activation >= 0 (1 = full); F0 [N]
    >= 0; l0 optimum fibre length [m] > 0; pen0 pennation at l0 [rad] 0..1.5; e0 strain of the series element
    at F0 > -0.005 (real tendons 0.01..0.06); kp, ep shape and stretch of the passive curve. Balanced to
    1e-10 F0. Status: the names above; SLACK is a state with force 0, not an error. BAD_INPUT gives NaN.
    """
    force, fibre, status, steps, _ = elastic_force_and_stiffness(l_mt, l_slack, a, F0, l0, pen0, e0, kp, ep)
    return force, fibre, status, steps


@compiled
def slack_length(l_mt: float, fibre_length: float, sarcomere_um: float, sarcomere_norm_um: float, pen: float) -> float:
    """Return the tendon slack length [m]: Ls = L_MT - Lf (SL/SL_norm) cos(pen), row ten-slack-length-rule.

    l_mt length of the whole [m] in the posture in which the sarcomeres measured `sarcomere_um`;
    fibre_length [m] normalised to `sarcomere_norm_um` (2.7, row curve-reference-sarcomere-length); pen
    pennation there [rad]. Lumps free tendon and aponeurosis. The rule means the length at which force
    begins: with an elastic tendon divide by `curves.tendon_start(e0)` to make the curve begin there.
    """
    return l_mt - fibre_length * sarcomere_um / sarcomere_norm_um * math.cos(pen)
