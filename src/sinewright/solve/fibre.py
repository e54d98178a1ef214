"""How fast a fibre shortens between its own pull and an elastic tendon: the damped balance of forces.

    F0 (a fL(l/l0) fV(v/(vmax l0)) + fP(l/l0)) cos(pen) + F0 d p'/(vmax l0) = F0 fT((L - p)/l_slack)

p is the fibre length seen along the tendon, v = p' cos(pen) the fibre's own speed, d a small damping that keeps an
idle fibre from jumping. Curves: ``muscle.curves`` (degroote2016); fastest shortening: thelen2003. The left side rises
with p', so there is one root; Newton steps kept inside a bracket find it.
"""

import math
from typing import NamedTuple

from sinewright.compiled import compiled
from sinewright.muscle.curves import (
    D1,
    D2,
    D3,
    D4,
    active_force_and_slope,
    floor_smooth,
    passive_force_and_slope,
    tendon_force_and_slope,
)
from sinewright.muscle.equilibrium import MuscleTendon, elastic_force

NEAR_STANDSTILL = -1.2  # of the fastest speed: below it the velocity factor is zero
TOLERANCE = 1e-11  # of F0
MAX_STEPS = 60
THIN = 0.02  # least thickness of a muscle over its optimum fibre: keeps the fibre from turning over at length zero


@compiled
def velocity_factor(x: float) -> tuple[float, float]:
    """Velocity factor and its slope at speed over fastest speed, shortening negative (``curves.force_velocity``)."""
    u = D2 * x + D3
    f, s = floor_smooth(D1 * math.asinh(u) + D4)
    return f, s * D1 * D2 / math.sqrt(1.0 + u * u)


@compiled
def speed(pull: float, active: float, cos: float, damping: float, guess: float) -> tuple[float, float]:
    """Speed along the tendon over the fastest, and the slope of force with it [F0].

    Solves active fV(x cos) cos + damping x = pull; ``pull`` [F0] is what the tendon holds less the passive fibre.
    """
    if active < 1e-9 or pull <= NEAR_STANDSTILL * damping / cos:
        return pull / damping, damping
    low, high = NEAR_STANDSTILL / cos, max(pull, 0.0) / damping
    x = min(max(guess, low), high)
    slope = damping
    for _ in range(MAX_STEPS):
        f, s = velocity_factor(x * cos)
        gap = active * f * cos + damping * x - pull
        slope = active * s * cos * cos + damping
        if abs(gap) <= TOLERANCE:
            break
        if gap > 0.0:
            high = x
        else:
            low = x
        x -= gap / slope
        if not low < x < high:
            x = 0.5 * (low + high)
            if high - low < 1e-14:
                break
    return x, slope


class FibreRate(NamedTuple):
    """Tendon force [N], fibre speed along the tendon [m/s], stiffness of tendon and fibre [N/m], damping [N.s/m]."""

    force: float
    speed: float
    tendon: float
    fibre: float
    damping: float


@compiled
def fibre_rate(
    muscle: MuscleTendon, activation: float, p: float, length: float, fastest: float, damping: float, guess: float
) -> FibreRate:
    """Force and speed of a muscle between its fibre and its tendon.

    Parameters
    ----------
    muscle : MuscleTendon
    activation : float
        0 to 1.
    p, length : float
        Fibre length along the tendon, length of muscle and tendon [m].
    fastest : float
        Fastest shortening [optimal fibres/s].
    damping : float
        Of the fibre [F0 at that speed].
    guess : float
        Speed over the fastest from which the search starts.

    Returns
    -------
    FibreRate

    References
    ----------
    degroote2016 (curves), thelen2003 (fastest shortening).
    """
    full, optimum, slack = muscle.full_force, muscle.optimal_fibre, muscle.tendon_slack
    force, stiff = tendon_force_and_slope((length - p) / slack, muscle.tendon_strain)
    top = fastest * optimum
    if p <= 0.0:
        tendon = full * stiff / slack
        return FibreRate(full * force, -p * 100.0, tendon, 0.0, full * stiff / slack / 100.0 + full * damping / top)
    thick = max(optimum * math.sin(muscle.pennation), THIN * optimum)
    fibre = math.sqrt(p * p + thick * thick)
    cos = p / fibre
    fa, sa = active_force_and_slope(fibre / optimum)
    fp, sp = passive_force_and_slope(fibre / optimum, muscle.passive_shape, muscle.passive_strain)
    x, slope = speed(force - fp * cos, activation * fa, cos, damping, guess)
    factor, _ = velocity_factor(x * cos)
    along = (activation * factor * sa + sp) / optimum * cos * cos
    rise = along + (activation * factor * fa + fp) * (1.0 - cos * cos) / fibre
    return FibreRate(full * force, x * top, full * stiff / slack, full * max(rise, 0.0), full * slope / top)


@compiled
def settled(muscle: MuscleTendon, activation: float, length: float) -> float:
    """Fibre length along the tendon [m] after a long time at one length and activation; NaN without an equilibrium."""
    _, fibre, _, _ = elastic_force(muscle, length, activation)
    if math.isnan(fibre):
        return fibre
    thick = muscle.optimal_fibre * math.sin(muscle.pennation)
    return math.sqrt(max(fibre * fibre - thick * thick, 0.0))
