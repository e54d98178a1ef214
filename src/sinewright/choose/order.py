"""Which choices stand in front, which cannot be told apart, and which one stays when a choice fails."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sinewright.choose.goals import Met, stays_possible
from sinewright.transfer.plans import Sewn

Floats = NDArray[np.float64]

TOLD_APART = 0.8  # of the legs must prefer one choice before a rank is shown
SAME = 1e-9


@dataclass(frozen=True)
class Order:
    """Places of the choices, best worth first (C,); whether each stands in front (C,); rank of each, 1 for the best.

    Choices whose worth overlaps share a rank: the numbers do not tell them apart.
    """

    places: tuple[int, ...]
    front: tuple[bool, ...]
    rank: tuple[int, ...]


def dominated(means: Floats, weights: Floats) -> NDArray[np.bool_]:
    """Choices (C,) that another one beats or equals in every weighed goal and beats in one."""
    weighed = means[:, weights > 0.0]
    better = np.all(weighed[:, None, :] >= weighed[None, :, :] - SAME, axis=2)
    strictly = np.any(weighed[:, None, :] > weighed[None, :, :] + SAME, axis=2)
    out: NDArray[np.bool_] = np.any(better & strictly, axis=0)
    return out


def order(met: Met) -> Order:
    """Order by mean worth under the weights; ranks only where four fifths of the legs agree."""
    worth = met.worth
    mean = np.nanmean(worth, axis=0)
    places = tuple(int(i) for i in np.argsort(-mean, kind="stable"))
    rank, leader, at = [0] * len(places), places[0] if places else 0, 1
    for position, i in enumerate(places):
        if position and prefers(worth, leader, i) >= TOLD_APART:
            leader, at = i, position + 1
        rank[i] = at
    return Order(places, tuple(bool(x) for x in ~dominated(met.means, met.weights)), tuple(rank))


def prefers(worth: Floats, one: int, other: int) -> float:
    """Share of the legs in which choice ``one`` is worth more than ``other``; ties count half."""
    gap = worth[:, one] - worth[:, other]
    gap = gap[np.isfinite(gap)]
    return float(np.mean(gap > 0.0) + 0.5 * np.mean(gap == 0.0)) if gap.size else 0.5


def reserve(done: int, plans: list[Sewn], met: Met, able: list[bool]) -> int | None:
    """The best remaining choice if ``done`` fails, by mean worth, or None; ``able`` marks what can be offered."""
    mean = np.nanmean(met.worth, axis=0)
    left = [i for i, other in enumerate(plans) if able[i] and stays_possible(plans[done], other)]
    return max(left, key=lambda i: mean[i], default=None)
