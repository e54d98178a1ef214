"""Draws that contradict the examination lose weight; what is left is drawn anew with equal weight.

Importance weights, systematic resampling. The effective number (Kish) says how many draws really speak; when it is too
small, the findings contradict each other or the model, and the message names the one that stands against the rest.
"""

from collections.abc import Sequence

import numpy as np

from sinewright.arrays import Floats
from sinewright.doubt.prior import LogLikelihood
from sinewright.doubt.sample import Sample, kish, quantile
from sinewright.errors import DoubtError

FEWEST = 40.0  # effective draws under which nothing is printed
LOGARITHM = "ln "  # begins the unit of a finding whose logarithm is compared


def weights(log_likelihoods: Sequence[LogLikelihood], draws: int) -> Floats:
    """Normalised weights (N,) of all draws under the findings."""
    total = np.zeros(draws)
    for agreement in log_likelihoods:
        total += agreement.value
    total -= total.max()
    out = np.exp(total)
    found: Floats = out / out.sum()
    return found


def resample(log_likelihoods: Sequence[LogLikelihood], pool: int, wanted: int, rng: np.random.Generator) -> Sample:
    """Choose ``wanted`` of ``pool`` draws by their weight. Raises DoubtError when too few agree with the findings."""
    weight = weights(log_likelihoods, pool)
    effective = kish(weight)
    if effective < FEWEST:
        raise DoubtError(_contradiction(log_likelihoods, pool, effective))
    places = (rng.random() + np.arange(wanted)) / wanted
    index = np.minimum(np.searchsorted(np.cumsum(weight), places), pool - 1)
    return Sample(rng.permutation(index), pool, effective)


def _contradiction(log_likelihoods: Sequence[LogLikelihood], pool: int, effective: float) -> str:
    """Which finding, left out, lets most draws speak again, and what the others would have expected."""
    best, gain, others = log_likelihoods[0], -1.0, np.full(pool, 1.0 / pool)
    for agreement in log_likelihoods:  # parts of one finding share a name; the last one is for the reader
        rest = weights([a for a in log_likelihoods if a.finding != agreement.finding], pool)
        if kish(rest) >= gain:
            best, gain, others = agreement, kish(rest), rest
    low, middle, high = (float(value) for value in quantile(best.predicted, (0.05, 0.5, 0.95), others))
    found, unit = best.found, best.unit
    if unit.startswith(LOGARITHM):  # compared as a logarithm, told as what the instrument showed
        found, low, middle, high = (float(np.exp(value)) for value in (found, low, middle, high))
        unit = unit.removeprefix(LOGARITHM)
    return (
        f"Only {effective:.0f} of {pool} virtual legs agree with all findings. The {best.finding} stands against the "
        f"rest: found {found:.3g} {unit}, the other findings lead to {middle:.3g} {unit} "
        f"({low:.3g} to {high:.3g}). Measure it again, or check side, sign and unit."
    )
