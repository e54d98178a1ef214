"""How fast a fibre shortens between its own pull and an elastic tendon: the damped balance of forces.

    F0 (a fL(l/l0) fV(v/(vmax l0)) + fP(l/l0)) cos(pen) + F0 d p'/(vmax l0) = F0 fT((L - p)/l_slack)

p is the fibre length seen along the tendon, v = p' cos(pen) the fibre's own speed, d a small damping that keeps an
idle fibre from jumping. Curves: ``muscle.curves`` (degroote2016); fastest shortening: thelen2003. The left side rises
with p', so there is one root; Newton steps kept inside a bracket find it.
"""

import math

from sinewright.arrays import Floats
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
from sinewright.muscle.equilibrium import elastic_force
from sinewright.solve.field import F0, FIBRE, PASSIVE_RATE, PASSIVE_STRAIN, PENNATION, SLACK, STRAIN

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


@compiled
def fibre_rate(
    muscle: Floats, activation: float, p: float, length: float, fastest: float, damping: float, guess: float
) -> tuple[float, float, float, float, float]:
    """Tendon force [N], speed of p [m/s], stiffness of tendon and of fibre [N/m], damping [N.s/m].

    Args:
        muscle: the first seven numbers of a pull (``solve.field``).
        activation: 0 to 1.  p: fibre length along the tendon [m].  length: muscle-tendon length [m].
        fastest: [optimum fibres/s].  damping: [F0 at that speed].  guess: speed over the fastest, to start from.
    """
    full, optimum, slack = muscle[F0], muscle[FIBRE], muscle[SLACK]
    force, stiff = tendon_force_and_slope((length - p) / slack, muscle[STRAIN])
    top = fastest * optimum
    if p <= 0.0:
        return full * force, -p * 100.0, full * stiff / slack, 0.0, full * stiff / slack / 100.0 + full * damping / top
    thick = max(optimum * math.sin(muscle[PENNATION]), THIN * optimum)
    fibre = math.sqrt(p * p + thick * thick)
    cos = p / fibre
    fa, sa = active_force_and_slope(fibre / optimum)
    fp, sp = passive_force_and_slope(fibre / optimum, muscle[PASSIVE_RATE], muscle[PASSIVE_STRAIN])
    x, slope = speed(force - fp * cos, activation * fa, cos, damping, guess)
    factor, _ = velocity_factor(x * cos)
    along = (activation * factor * sa + sp) / optimum * cos * cos
    rise = along + (activation * factor * fa + fp) * (1.0 - cos * cos) / fibre
    return full * force, x * top, full * stiff / slack, full * max(rise, 0.0), full * slope / top


@compiled
def settled(muscle: Floats, activation: float, length: float) -> float:
    """Fibre length along the tendon [m] after a long time at one length and activation."""
    _, fibre, _, _ = elastic_force(
        length, muscle[SLACK], activation, muscle[F0], muscle[FIBRE], muscle[PENNATION], muscle[STRAIN],
        muscle[PASSIVE_RATE], muscle[PASSIVE_STRAIN],
    )  # fmt: skip
    thick = muscle[FIBRE] * math.sin(muscle[PENNATION])
    return math.sqrt(max(fibre * fibre - thick * thick, 0.0))
