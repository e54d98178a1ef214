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
from typing import NamedTuple

from sinewright.arrays import Floats
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
NOT_CONVERGED = 3  # never seen; force and fibre length are NaN, so that a failure cannot pass for a result
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


class MuscleTendon(NamedTuple):
    """The constants of one muscle and its tendon.

    full_force: F0 [N], force at optimal fibre length in full contraction, before pennation is taken off; >= 0.
    optimal_fibre: l0 [m], > 0. tendon_slack: l_slack [m], > 0. pennation: pen0 at l0 [rad], 0 to 1.5.
    tendon_strain: e0 of the series element at F0 [1], > -0.005 (real tendons 0.01 to 0.06).
    passive_shape, passive_strain: kp and ep [1] of the passive curve (``muscle.curves.passive_force``).
    """

    full_force: float
    optimal_fibre: float
    tendon_slack: float
    pennation: float
    tendon_strain: float
    passive_shape: float
    passive_strain: float


# columns of an array of muscles (..., 7): the fields of ``MuscleTendon`` in their order
FULL_FORCE, OPTIMAL_FIBRE, TENDON_SLACK, PENNATION, TENDON_STRAIN, PASSIVE_SHAPE, PASSIVE_STRAIN = range(7)
CONSTANTS = len(MuscleTendon._fields)


@compiled
def muscle_of(row: Floats) -> MuscleTendon:
    """The constants in one row (7,) of an array of muscles."""
    return MuscleTendon(row[0], row[1], row[2], row[3], row[4], row[5], row[6])


@compiled
def fibre_force(p: float, a: float, thickness: float, muscle: MuscleTendon) -> tuple[float, float, float]:
    """Return (force along the tendon [F0], its slope with p [F0/m], fibre length [m]) at projected length p >= 0."""
    l0 = muscle.optimal_fibre
    fibre = math.sqrt(p * p + thickness * thickness)
    cos = p / fibre if fibre > 0.0 else 1.0
    fa, sa = active_force_and_slope(fibre / l0)
    fp, sp = passive_force_and_slope(fibre / l0, muscle.passive_shape, muscle.passive_strain)
    force = a * fa + fp
    sin2_over_l = (1.0 - cos * cos) / fibre if fibre > 0.0 else 0.0
    return force * cos, (a * sa + sp) / l0 * cos * cos + force * sin2_over_l, fibre


@compiled
def rigid_force_and_stiffness(muscle: MuscleTendon, l_mt: float, a: float) -> tuple[float, float, float]:
    """Force and stiffness with a tendon of fixed length.

    Where the whole is shorter than the tendon the force is 0, reached within 1 % of l0 to stay continuous.

    Parameters
    ----------
    muscle : MuscleTendon
    l_mt : float
        Length of muscle and tendon [m].
    a : float
        Activation, 0 to 1.

    Returns
    -------
    force, fibre, stiffness : float
        Force along the tendon [N], fibre length [m], d(force)/d(l_mt) [N/m].
    """
    l0 = muscle.optimal_fibre
    thickness = l0 * math.sin(muscle.pennation)
    p = l_mt - muscle.tendon_slack
    force, slope, fibre = fibre_force(max(p, 0.0), a, thickness, muscle)
    if p < 0.0:
        slope = force / (SHORT_FADE * l0) if p > -SHORT_FADE * l0 else 0.0
        force = max(0.0, force * (1.0 + p / (SHORT_FADE * l0)))
    return muscle.full_force * force, fibre, muscle.full_force * slope


@compiled
def _gap(p: float, l_mt: float, a: float, thickness: float, muscle: MuscleTendon) -> tuple[float, float, float]:
    """Return (gap [m], d(gap)/dp, tendon stiffness [F0/m]) at projected fibre length p."""
    force, slope, _ = fibre_force(p, a, thickness, muscle)
    ratio, stiff = tendon_ratio_and_slope(force, muscle.tendon_strain)
    stiff /= muscle.tendon_slack
    rise = 1.0 + slope / stiff if stiff > 0.0 else 1.0
    return p + muscle.tendon_slack * ratio - l_mt, rise, stiff


@compiled
def _first_bracket(high: float, l_mt: float, a: float, thickness: float, muscle: MuscleTendon) -> tuple[float, float]:
    """Return the first of SCAN equal pieces of [0, high] at whose end the gap is no longer negative."""
    low = 0.0
    for i in range(1, SCAN):
        p = high * i / SCAN
        if _gap(p, l_mt, a, thickness, muscle)[0] >= 0.0:
            return low, p
        low = p
    return low, high


@compiled
def _balance(
    low: float, high: float, l_mt: float, a: float, thickness: float, muscle: MuscleTendon
) -> tuple[float, int, int]:
    """Return (projected fibre length [m], status, steps) by Newton steps kept inside a shrinking bracket."""
    l_slack, e0 = muscle.tendon_slack, muscle.tendon_strain
    p = min(max(l_mt - l_slack, low), high)
    rounding = 4e-16 * (abs(l_mt) + l_slack)
    for step in range(1, MAX_STEPS + 1):
        gap, rise, stiff = _gap(p, l_mt, a, thickness, muscle)
        met = abs(gap) * stiff <= TOLERANCE or abs(gap) <= rounding
        if met and gap < -rounding:  # the tendon is longer than the force says: there it may be far stiffer
            force, _, _ = fibre_force(p, a, thickness, muscle)
            met = abs(tendon_force_and_slope((l_mt - p) / l_slack, e0)[0] - force) <= TOLERANCE
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
def _in_range(muscle: MuscleTendon, l_mt: float, a: float) -> bool:
    """Tell whether the arguments are finite and inside the stated range."""
    l_slack, l0, pen0, e0 = muscle.tendon_slack, muscle.optimal_fibre, muscle.pennation, muscle.tendon_strain
    total = l_mt + l_slack + a + muscle.full_force + l0 + pen0 + e0
    return (
        math.isfinite(total) and l_slack > 0.0 and l0 > 0.0 and muscle.full_force >= 0.0 and a >= 0.0
        and 0.0 <= pen0 < 1.5 and e0 > -0.005
    )  # fmt: skip


@compiled
def elastic_force_and_stiffness(muscle: MuscleTendon, l_mt: float, a: float) -> tuple[float, float, int, int, float]:
    """Force and stiffness with an elastic tendon, balanced to 1e-10 F0.

    The stiffness is that of fibre and tendon in series, k = k_fibre k_tendon/(k_fibre + k_tendon).

    Parameters
    ----------
    muscle : MuscleTendon
    l_mt : float
        Length of muscle and tendon [m].
    a : float
        Activation, 0 to 1.

    Returns
    -------
    force, fibre : float
        Force along the tendon [N] and fibre length [m]; NaN without a balance.
    status, steps : int
        One of the names above (``SLACK`` is a state with force 0, not an error), and how many steps it took.
    stiffness : float
        d(force)/d(l_mt) [N/m].

    References
    ----------
    degroote2016 (rows ``curve-degroote2016-*``).
    """
    l_slack, e0 = muscle.tendon_slack, muscle.tendon_strain
    if not _in_range(muscle, l_mt, a):
        return math.nan, math.nan, BAD_INPUT, 0, math.nan
    thickness = muscle.optimal_fibre * math.sin(muscle.pennation)
    high = l_mt - l_slack * tendon_ratio(0.0, e0)
    rest = passive_slack(muscle.passive_shape, muscle.passive_strain) * muscle.optimal_fibre
    if a == 0.0 and max(high, 0.0) ** 2 + thickness**2 <= max(rest, thickness) ** 2:
        return 0.0, max(rest, thickness), SLACK, 0, 0.0
    if high <= 0.0:
        return 0.0, thickness, SLACK, 0, 0.0
    if thickness == 0.0 and _gap(0.0, l_mt, a, thickness, muscle)[0] >= 0.0:
        force, slope = tendon_force_and_slope(l_mt / l_slack, e0)
        return muscle.full_force * force, thickness, SHORTEST, 0, muscle.full_force * slope / l_slack
    low = 0.0
    if tendon_rate(e0) * muscle.optimal_fibre < SINGLE_ROOT_ABOVE * l_slack:
        low, high = _first_bracket(high, l_mt, a, thickness, muscle)
    p, status, steps = _balance(low, high, l_mt, a, thickness, muscle)
    if status == NOT_CONVERGED:
        return math.nan, math.nan, status, steps, math.nan
    force, slope, fibre = fibre_force(p, a, thickness, muscle)
    stiff = tendon_ratio_and_slope(force, e0)[1] / l_slack
    series = slope * stiff / (slope + stiff) if slope + stiff > 0.0 else 0.0
    return muscle.full_force * force, fibre, status, steps, muscle.full_force * series


@compiled
def elastic_force(muscle: MuscleTendon, l_mt: float, a: float) -> tuple[float, float, int, int]:
    """Return (force along the tendon [N], fibre length [m], status, steps) with an elastic tendon."""
    force, fibre, status, steps, _ = elastic_force_and_stiffness(muscle, l_mt, a)
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
