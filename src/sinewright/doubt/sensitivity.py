"""Which single doubt moves a result most: variance-based total effects.

Total effect of a doubt: the share of the variance of the result that stays when everything else is known (Jansen's
estimator over matched pairs of draws in which that doubt alone is drawn afresh). The draws are those that meet each
measured finding on its own; the weights that tie them together would make doubts depend on each other. A torque that
was read is met by the full forces, given what else decides it: a longer fibre drawn afresh brings other forces with it.
"""

from collections.abc import Callable, Mapping

import numpy as np

from sinewright.arrays import Floats
from sinewright.case import Case
from sinewright.doubt.prior import PriorSampler
from sinewright.doubt.proposal import propose
from sinewright.doubt.stiffness import lengthen_calf
from sinewright.results import Effect
from sinewright.solve.leg import Legs

# doubt in words -> beginnings of the names of the streams it is drawn from
DOUBTS: Mapping[str, tuple[str, ...]] = {
    "size of the leg": ("sizes",),
    "direction of the joint axes": ("ax-",),
    "the course and insertion of the tendons": ("landmark",),
    "stiffness of ankle and calf": (
        "push",
        "stiff joint",
        "upper rate",
        "upper limit",
        "lower limit",
        "passive constant",
        "own-calf-share",
    ),
    "stiffness of the hindfoot": ("own-subtalar", "subtalar"),
    "unharmed strength": ("full force", "own-gastrocnemius"),
    "strength of the muscles now": ("now ",),
    "length of the muscle fibres": ("fibre", "sarcomere", "own-specimen", "passive fibre"),
    "stretch of the tendons": ("tendon",),
    "scar and gliding": ("tq-factor-chain-scar-gliding", "own-rubbing", "own-toe-take-up", "own-scarred"),
    "learning to fire in swing": ("tq-factor-chain-drive-phase",),
    "settling of the junction": ("rep-",),
    "surgical millimetres and degrees": ("own-stretch-error", "posture", "own-split-share"),
    "weight of the foot": ("own-default-mass", "own-foot-mass-depth"),
}


def total_effect(one: Floats, redrawn: Floats, variance: float) -> tuple[float, float]:
    """Jansen's estimator: mean of ``(one - redrawn)^2 / 2`` over ``variance``, and its standard error.

    ``one`` (N,) the result, ``redrawn`` (N,) the result with one doubt drawn afresh.
    """
    part = 0.5 * (one - redrawn) ** 2 / variance
    return float(part.mean()), float(part.std(ddof=1) / np.sqrt(len(part)))


def effects(
    case: Case,
    results: Callable[[Legs], Floats],
    pairs: int,
    seed: int,
    doubts: Mapping[str, tuple[str, ...]] = DOUBTS,
    progress: Callable[[int, int], None] | None = None,
) -> tuple[tuple[Effect, ...], ...]:
    """Total effect of every doubt on each column of ``results`` (legs -> (N, K)), largest first, for each of the K.

    Pairs in which a result is NaN are left out; a result that nothing moves has no effects.
    ``progress(done, total)`` is called after each doubt.
    """
    base = redrawn(case, results, pairs, seed, ())
    found: list[list[Effect]] = [[] for _ in range(base.shape[1])]
    for done, (doubt, streams) in enumerate(doubts.items(), start=1):
        other = redrawn(case, results, pairs, seed, streams)
        for k, column in enumerate(found):
            good = np.isfinite(base[:, k]) & np.isfinite(other[:, k])
            one, two = base[good, k], other[good, k]
            variance = 0.5 * float(np.var(one) + np.var(two)) if len(one) > 1 else 0.0
            if variance > 0.0:
                column.append(Effect(doubt, *total_effect(one, two, variance)))
        if progress is not None:
            progress(done, len(doubts))
    return tuple(tuple(sorted(column, key=lambda e: -e.total)) for column in found)


def redrawn(case: Case, results: Callable[[Legs], Floats], pairs: int, seed: int, streams: tuple[str, ...]) -> Floats:
    """Results (pairs, K) of the legs proposed for a case, the named streams drawn from the next seed."""
    sampler = PriorSampler(pairs, seed, streams, seed + 1)
    legs, _ = propose(case, sampler)
    return results(legs._replace(passive=lengthen_calf(case, legs.passive, sampler)))
