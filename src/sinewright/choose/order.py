"""Which choices stand in front, which cannot be told apart, and which one stays when a choice fails."""

from dataclasses import dataclass

import numpy as np

from sinewright.arrays import Bools, Floats
from sinewright.choose.goals import Met, stays_possible
from sinewright.doubt.sample import Sample, wilson
from sinewright.reference import load
from sinewright.transfer.plans import SewnOperation

DISTINGUISHABLE = "own-told-apart"  # row: share of the legs that must prefer one choice before a rank is shown
SAME = 1e-9
CLEAR = 2.0  # standard errors of a mean difference
LEADERS = 3  # choices at the front that are looked at closely: fragility, calf procedures


@dataclass(frozen=True)
class Order:
    """Places of the choices, best mean worth first (C,); for each choice whether it stands in front and its rank (C,).

    Rank: 1 and one more for each choice that enough of the legs prefer to it (row own-told-apart); choices
    that the numbers do not tell apart share it. ``first_better`` (C,): share of the legs that prefer the
    first choice, 0.5 for itself. ``behind``, ``behind_error`` (C,): by how much the first is worth more in the mean of
    the same legs, and the standard error of that mean. ``tied`` (C,): too close to the first to call.
    """

    places: tuple[int, ...]
    pareto_front: tuple[bool, ...]
    rank: tuple[int, ...]
    first_better: tuple[float, ...]
    behind: tuple[float, ...]
    behind_error: tuple[float, ...]
    tied: tuple[bool, ...]


def dominated(means: Floats, weights: Floats) -> Bools:
    """Choices (C,) that another one beats or equals in every weighed goal and beats in one."""
    weighed = means[:, weights > 0.0]
    better = np.all(weighed[:, None, :] >= weighed[None, :, :] - SAME, axis=2)
    strictly = np.any(weighed[:, None, :] > weighed[None, :, :] + SAME, axis=2)
    out: Bools = np.any(better & strictly, axis=0)
    return out


def order(met: Met, sample: Sample | None = None) -> Order:
    """Order by mean utility under the weights; ranks differ only where enough of the legs agree (row own-told-apart).

    A choice is too close to the first to call unless that share of the legs prefers the first even at the lower end of
    its interval, and the mean difference in the same legs lies two of its standard errors from none: so the set of
    those that are does not hang on the seed.

    Parameters
    ----------
    met : goals met by every leg and choice
    sample : where the legs come from; without it they count as independent
    """
    utility = met.utility
    places = tuple(int(i) for i in np.argsort(-np.nanmean(utility, axis=0), kind="stable"))
    choices = range(len(places))
    apart = load().fit_value(DISTINGUISHABLE)
    rank = tuple(1 + sum(prefers(utility, other, i) >= apart for other in choices if other != i) for i in choices)
    first_better = tuple(prefers(utility, places[0], i) for i in choices)
    pareto_front = tuple(bool(x) for x in ~dominated(met.means, met.weights))
    legs = sample or Sample.independent(len(utility))
    held = [_against(legs, utility[:, places[0]], utility[:, i]) for i in choices]
    behind, error, low = (tuple(part[k] for part in held) for k in range(3))
    tied = tuple(i == places[0] or low[i] < apart or abs(behind[i]) < CLEAR * error[i] for i in choices)
    return Order(places, pareto_front, rank, first_better, behind=behind, behind_error=error, tied=tied)


def _against(sample: Sample, first: Floats, other: Floats) -> tuple[float, float, float]:
    """Mean difference of two choices in the same legs (N,), its standard error, and the lower end of the interval of
    the share that prefers the first."""
    gap = first - other
    good = np.isfinite(gap)
    if not good.any():
        return 0.0, 0.0, 0.0
    number = sample.number(good)
    share = float(np.mean(gap[good] > 0.0) + 0.5 * np.mean(gap[good] == 0.0))
    return float(gap[good].mean()), float(gap[good].std() / np.sqrt(number)), wilson(share, number)[0]


def prefers(utility: Floats, one: int, other: int) -> float:
    """Share of the legs in which choice ``one`` is worth more than ``other``; ties count half."""
    gap = utility[:, one] - utility[:, other]
    gap = gap[np.isfinite(gap)]
    return float(np.mean(gap > 0.0) + 0.5 * np.mean(gap == 0.0)) if gap.size else 0.5


def reserve(done: int, plans: list[SewnOperation], met: Met, able: list[bool]) -> int | None:
    """The best remaining choice if ``done`` fails, by mean worth, or None; ``able`` marks what can be offered."""
    mean = np.nanmean(met.utility, axis=0)
    left = [i for i, other in enumerate(plans) if able[i] and stays_possible(plans[done], other)]
    return max(left, key=lambda i: mean[i], default=None)
