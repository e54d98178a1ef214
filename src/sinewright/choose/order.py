"""Which choices stand in front, which cannot be told apart, and which one stays when a choice fails."""

from dataclasses import dataclass

import numpy as np

from sinewright.arrays import Bools, Floats
from sinewright.choose.goals import Met, stays_possible
from sinewright.reference import load
from sinewright.transfer.plans import SewnOperation

DISTINGUISHABLE = "own-told-apart"  # row: share of the legs that must prefer one choice before a rank is shown
SAME = 1e-9
LEADERS = 3  # choices at the front that are looked at closely: fragility, calf procedures


@dataclass(frozen=True)
class Order:
    """Places of the choices, best mean worth first (C,); for each choice whether it stands in front and its rank (C,).

    Rank: 1 and one more for each choice that enough of the legs prefer to it (row own-told-apart); choices
    that the numbers do not tell apart share it. ``first_better`` (C,): share of the legs that prefer the
    first choice, 0.5 for itself.
    """

    places: tuple[int, ...]
    pareto_front: tuple[bool, ...]
    rank: tuple[int, ...]
    first_better: tuple[float, ...]


def dominated(means: Floats, weights: Floats) -> Bools:
    """Choices (C,) that another one beats or equals in every weighed goal and beats in one."""
    weighed = means[:, weights > 0.0]
    better = np.all(weighed[:, None, :] >= weighed[None, :, :] - SAME, axis=2)
    strictly = np.any(weighed[:, None, :] > weighed[None, :, :] + SAME, axis=2)
    out: Bools = np.any(better & strictly, axis=0)
    return out


def order(met: Met) -> Order:
    """Order by mean worth under the weights; ranks differ only where enough of the legs agree (row own-told-apart)."""
    utility = met.utility
    places = tuple(int(i) for i in np.argsort(-np.nanmean(utility, axis=0), kind="stable"))
    choices = range(len(places))
    apart = load().fit_value(DISTINGUISHABLE)
    rank = tuple(1 + sum(prefers(utility, other, i) >= apart for other in choices if other != i) for i in choices)
    first_better = tuple(prefers(utility, places[0], i) for i in choices)
    pareto_front = tuple(bool(x) for x in ~dominated(met.means, met.weights))
    return Order(places, pareto_front, rank, first_better)


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
