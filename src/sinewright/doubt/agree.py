"""Draws that contradict the examination lose weight; what is left is drawn anew with equal weight.

Importance weights, systematic resampling. The effective number (Kish) says how many draws really speak; when it is too
small, the findings contradict each other or the model, and the message names the one that stands against the rest.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from sinewright.arrays import Floats, Indices
from sinewright.doubt.assumed import Agreement
from sinewright.errors import DoubtError

FEWEST = 40.0  # effective draws under which nothing is printed
LOGARITHM = "ln "  # begins the unit of a finding whose logarithm is compared


@dataclass(frozen=True)
class Picked:
    """Indices (n,) of the draws kept, and the effective number before picking."""

    index: Indices
    effective: float


def weights(agreements: Sequence[Agreement], draws: int) -> Floats:
    """Normalised weights (N,) of all draws under the findings."""
    total = np.zeros(draws)
    for agreement in agreements:
        total += agreement.log_likelihood
    total -= total.max()
    out = np.exp(total)
    found: Floats = out / out.sum()
    return found


def effective_number(weight: Floats) -> float:
    """How many equally weighted draws these weights are worth."""
    return float(weight.sum() ** 2 / np.sum(weight**2))


def pick(agreements: Sequence[Agreement], pool: int, wanted: int, rng: np.random.Generator) -> Picked:
    """Choose ``wanted`` of ``pool`` draws by their weight. Raises DoubtError when too few agree with the findings."""
    weight = weights(agreements, pool)
    effective = effective_number(weight)
    if effective < FEWEST:
        raise DoubtError(_contradiction(agreements, pool, effective))
    places = (rng.random() + np.arange(wanted)) / wanted
    index = np.minimum(np.searchsorted(np.cumsum(weight), places), pool - 1)
    return Picked(rng.permutation(index), effective)


def _contradiction(agreements: Sequence[Agreement], pool: int, effective: float) -> str:
    """Which finding, left out, lets most draws speak again, and what the others would have expected."""
    best, gain, others = agreements[0], -1.0, np.full(pool, 1.0 / pool)
    for agreement in agreements:  # one finding may have several parts under one name; the last one is for the reader
        rest = weights([a for a in agreements if a.finding != agreement.finding], pool)
        if effective_number(rest) >= gain:
            best, gain, others = agreement, effective_number(rest), rest
    low, middle, high = _percentiles(best.predicted, others)
    found, unit = best.found, best.unit
    if unit.startswith(LOGARITHM):  # compared as a logarithm, told as what the instrument showed
        found, low, middle, high = (float(np.exp(value)) for value in (found, low, middle, high))
        unit = unit.removeprefix(LOGARITHM)
    return (
        f"Only {effective:.0f} of {pool} virtual legs agree with all findings. The {best.finding} stands against the "
        f"rest: found {found:.3g} {unit}, the other findings lead to {middle:.3g} {unit} "
        f"({low:.3g} to {high:.3g}). Measure it again, or check side, sign and unit."
    )


def _percentiles(values: Floats, weight: Floats) -> tuple[float, float, float]:
    order = np.argsort(values)
    places = np.searchsorted(np.cumsum(weight[order]), (0.05, 0.5, 0.95))
    low, middle, high = (float(values[order[min(int(place), len(values) - 1)]]) for place in places)
    return low, middle, high
