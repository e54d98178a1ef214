"""Which choices stand in front, which cannot be told apart, and which one stays when a choice fails."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from sinewright.arrays import Bools, Floats
from sinewright.choose.goals import NO_BRACE, Met, stays_possible
from sinewright.doubt.sample import Sample, wilson
from sinewright.reference import load
from sinewright.results import Costs
from sinewright.transfer.plans import SewnOperation

DISTINGUISHABLE = "own-told-apart"  # row: share of the legs that must prefer one choice before a rank is shown
FLOOR_SHARE, CLEARING_STEP = "own-floor-share", "own-clearing-step"
ROWS = (DISTINGUISHABLE, FLOOR_SHARE, CLEARING_STEP)
SAME = 1e-9
CLEAR = 2.0  # standard errors of a mean difference
LEADERS = 3  # choices at the front that are looked at closely: fragility, calf procedures
SAFE, DANGEROUS, WITHOUT, NOT_OFFERED, NO_BETTER, BELOW_FLOOR = range(6)
"""Tiers of the ladder, best first: lifts; lifts, with a finding that costs the first place; not operating; lifts, with
a finding that costs the offer; clears no oftener than today; lifts too few legs."""


@dataclass(frozen=True)
class Order:
    """Places of the choices, best first (C,); tier of each; whether it stands on the Pareto front; its rank (C,).

    Rank: 1 and one more for each choice of a better tier or that enough of the legs prefer to it (row own-told-apart);
    choices that the numbers do not tell apart share it. ``first_better`` (C,): share of the legs that prefer the first
    choice, 0.5 for itself. ``behind``, ``behind_error`` (C,): by how much the first is worth more in the mean of the
    same legs, and the standard error of that mean. ``tied`` (C,): of the first's tier and too close to it to call.
    """

    places: tuple[int, ...]
    tiers: tuple[int, ...]
    pareto_front: tuple[bool, ...]
    rank: tuple[int, ...]
    first_better: tuple[float, ...]
    behind: tuple[float, ...]
    behind_error: tuple[float, ...]
    tied: tuple[bool, ...]


def tiers_of(met: Met, taken: Sequence[Costs], today: Floats, sample: Sample) -> tuple[int, ...]:
    """Tier of each choice (C,).

    Parameters
    ----------
    taken
        What the rules cost each choice, (C,).
    today
        1 where the leg clears without any operation, (N,); NaN where it was not solved.
    sample
        Where the legs come from.
    """
    least, clears = load().fit_value(FLOOR_SHARE), met.met[:, :, NO_BRACE]
    out = []
    for i, costs in enumerate(taken):
        if met.clearing[i] < least:
            out.append(BELOW_FLOOR)
        elif not beats(clears[:, i], today, sample):
            out.append(NO_BETTER)
        else:
            out.append({"nothing": SAFE, "first place": DANGEROUS, "offer": NOT_OFFERED}[costs])
    return tuple(out)


def beats(one: Floats, other: Floats, sample: Sample) -> bool:
    """Whether ``one`` (N,) is greater than ``other`` by more than the doubt of their paired difference."""
    gap, error, _ = _against(sample, one, other)
    return gap > CLEAR * error


def dominated(means: Floats, weights: Floats) -> Bools:
    """Choices (C,) that another one beats or equals in every weighed goal and beats in one."""
    weighed = means[:, weights > 0.0]
    better = np.all(weighed[:, None, :] >= weighed[None, :, :] - SAME, axis=2)
    strictly = np.any(weighed[:, None, :] > weighed[None, :, :] + SAME, axis=2)
    out: Bools = np.any(better & strictly, axis=0)
    return out


def order(met: Met, tiers: Sequence[int], sample: Sample | None = None, utility: Floats | None = None) -> Order:
    """Order by tier, then by mean utility, then - among choices too close to call - by clearing.

    A choice is too close to another to call unless enough of the legs prefer that one (row own-told-apart) even at the
    lower end of the interval of that share, and the mean difference in the same legs lies two of its standard errors
    from none: so the set of those that are does not hang on the seed.

    Parameters
    ----------
    met : goals met by every leg and choice
    tiers : tier of every choice
    sample : where the legs come from; without it they count as independent
    utility : (N, C); that of the patient's weights when left out
    """
    utility = met.utility if utility is None else utility
    choices, legs = range(utility.shape[1]), sample or Sample.independent(len(utility))
    apart = load().fit_value(DISTINGUISHABLE)
    places = _places(met, tiers, utility, legs)
    rank = tuple(1 + sum(_before(tiers, utility, other, i, apart) for other in choices if other != i) for i in choices)
    first_better = tuple(prefers(utility, places[0], i) for i in choices)
    pareto_front = tuple(bool(x) for x in ~dominated(met.means, met.weights))
    held = [_against(legs, utility[:, places[0]], utility[:, i]) for i in choices]
    tied = tuple(tiers[i] == tiers[places[0]] and (i == places[0] or _close(held[i])) for i in choices)
    return Order(
        places,
        tuple(tiers),
        pareto_front,
        rank=rank,
        first_better=first_better,
        behind=tuple(gap for gap, _, _ in held),
        behind_error=tuple(error for _, error, _ in held),
        tied=tied,
    )


def _close(held: tuple[float, float, float]) -> bool:
    """Whether a difference, its error and the low end of the share that prefers the better are too close to call."""
    gap, error, low = held
    return low < load().fit_value(DISTINGUISHABLE) or abs(gap) < CLEAR * error


def _before(tiers: Sequence[int], utility: Floats, other: int, one: int, apart: float) -> bool:
    if tiers[other] != tiers[one]:
        return tiers[other] < tiers[one]
    return prefers(utility, other, one) >= apart


def _places(met: Met, tiers: Sequence[int], utility: Floats, sample: Sample) -> tuple[int, ...]:
    """The best by utility and all down to the last too close to call, in steps of clearing; then the others."""
    mean, step, clearing = np.nanmean(utility, axis=0), load().fit_value(CLEARING_STEP), met.clearing
    todo, out = sorted(range(len(mean)), key=lambda i: (tiers[i], -mean[i])), list[int]()
    while todo:
        head = todo[0]
        close = [
            k
            for k, i in enumerate(todo)
            if tiers[i] == tiers[head] and (i == head or _close(_against(sample, utility[:, head], utility[:, i])))
        ]
        tied, todo = todo[: close[-1] + 1], todo[close[-1] + 1 :]
        out += sorted(tied, key=lambda i: (-round(float(clearing[i]) / step), -mean[i]))
    return tuple(out)


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


def reserve(done: int, plans: list[SewnOperation], places: Sequence[int], tiers: Sequence[int]) -> int | None:
    """The best remaining choice if ``done`` fails, or None; one that lifts too few legs is no reserve."""
    left = (i for i in places if tiers[i] < NO_BETTER and tiers[i] != WITHOUT and stays_possible(plans[done], plans[i]))
    return next(left, None)
