"""From what was read to weighed legs: exact in the set stretch and the drive, importance weights over the legs.

For each leg the set stretch is a chain over settings (plan with its error -> readings -> set again with its error ->
readings ...), carried forward on a grid of 1 mm; the drive of a stimulator is averaged out. The weight of a leg is what
is left of its chain, so nothing depends on the order of entries, and taking one back is leaving it out.

When the effective number falls below half of the legs they are resampled (systematic). Every copy then draws its set
stretch anew from its own chain, and its settling, scar and learning anew from those of all legs: the table says nothing
about these three, so this is a draw from their exact conditional (a Gibbs step) and leaves the answer unbiased. No new
leg is invented: copies of one proposal are weighed together, the number of different ones that still speak is reported,
and under FEWEST no number is given.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from sinewright.arrays import Floats, Indices
from sinewright.doubt.sample import kish
from sinewright.errors import InputError
from sinewright.learn.entries import TableReading, settings
from sinewright.learn.prepare import STREAM, Prepared
from sinewright.learn.readings import agreement_with, shift, stretch_prior
from sinewright.reference import load

EntryLikelihood = Callable[[TableReading], Floats]

FEWEST = "own-table-fewest"  # row: effective sample size under which no number is given
RESAMPLE_BELOW = 0.5  # of the legs, effective
FARTHEST_MM = 12.0  # from the plan: with the error of setting, what the table of a leg still reaches


@dataclass(frozen=True)
class Weighed:
    """P legs after the entries: place of the leg, set stretch [m], weight, gain and settling [m] of each.

    ``effective_sample_size``: of the weights before resampling (Kish), copies of one proposal taken together;
    ``different``: proposals among P that still speak.
    """

    leg: Indices
    stretch: Floats
    weight: Floats
    gain: Floats
    settling: Floats
    effective_sample_size: float
    different: int
    resampled: bool

    @property
    def enough(self) -> bool:
        """False when too few legs agree with the entries to print a number."""
        return self.effective_sample_size >= load().fit_value(FEWEST)


def chain(
    prepared: Prepared, entries: Sequence[TableReading], agreement: EntryLikelihood | None = None, every: int = 1
) -> Floats:
    """Belief (N, F) over legs and the set stretch of the last setting; adds to 1, failed legs have none.

    ``agreement``: gives ``readings.agreement_with`` of an entry, for a caller that keeps it. ``every``: only each such
    leg, where a rough answer will do.
    """
    say = agreement or (lambda entry: agreement_with(prepared, entry))
    readings, moves = settings(tuple(entries))
    _refuse_far(moves)
    belief: Floats = stretch_prior(prepared)[None, :] * prepared.table.good[::every, None]
    belief = belief / belief.sum()
    for number in range(len(moves) + 1):
        if number:
            belief = belief @ shift(prepared, moves[number - 1])
        for place, entry in readings:
            if place == number:
                agreed = say(entry)
                belief = belief * (agreed if len(agreed) == 1 else agreed[::every])
                belief = belief / belief.sum()
    return belief


def _refuse_far(moves: Sequence[float]) -> None:
    """Raises InputError when the junction was set further from the plan than the table reaches."""
    farthest = max((abs(sum(moves[:end])) for end in range(1, len(moves) + 1)), default=0.0)
    if farthest > FARTHEST_MM:
        allowed = f"at most {FARTHEST_MM:g} mm from the plan"
        raise InputError(
            "moved", f"{farthest:g} mm in all", allowed, "give the new set stretch as the plan (--planned)"
        )


def weigh_legs(prepared: Prepared, belief: Floats) -> Weighed:
    """Draw legs with their set stretch from a belief; the same belief gives the same legs."""
    weight = belief.sum(axis=1)
    effective = speaking(prepared, np.arange(prepared.draws), weight)
    leg = own = np.arange(prepared.draws)
    resampled = effective < RESAMPLE_BELOW * prepared.draws
    if resampled:
        places = (prepared.chance[2, 0] + leg) / prepared.draws
        leg = np.minimum(np.searchsorted(np.cumsum(weight), places), prepared.draws - 1)
        own = np.random.default_rng([prepared.seed, STREAM, 1]).permutation(prepared.draws)
    return Weighed(
        leg,
        _stretch(prepared, belief[leg]),
        np.full(prepared.draws, 1.0 / prepared.draws) if resampled else weight,
        gain=prepared.gain[own],
        settling=prepared.settling[own],
        effective_sample_size=effective,
        different=int(np.unique(prepared.virtual.sample.origin[leg[belief[leg].sum(axis=1) > 0.0]]).size),
        resampled=bool(resampled),
    )


def each_leg(prepared: Prepared, belief: Floats, every: int) -> Weighed:
    """Each such leg once with its weight, not resampled: enough to hold a reading against."""
    weight, leg = belief.sum(axis=1), np.arange(0, prepared.draws, every)
    stretch = _stretch(prepared, belief)
    gain, settling = prepared.gain[leg], prepared.settling[leg]
    return Weighed(
        leg,
        stretch,
        weight,
        gain=gain,
        settling=settling,
        effective_sample_size=speaking(prepared, leg, weight) * every,
        different=len(leg),
        resampled=False,
    )


def speaking(prepared: Prepared, leg: Indices, weight: Floats) -> float:
    """Effective sample size of weighed legs, copies of one proposal taken together; ``leg``, ``weight`` (P,)."""
    _, group = np.unique(prepared.virtual.sample.origin[leg], return_inverse=True)
    return kish(np.bincount(group, weights=weight).astype(np.float64))


def _stretch(prepared: Prepared, belief: Floats) -> Floats:
    """A set stretch [m] for each row (P, F) of a belief, between the millimetres of the grid."""
    total = np.cumsum(belief, axis=1)
    chance = prepared.chance[:, : len(belief)]
    wanted = chance[0] * np.maximum(total[:, -1], 1e-300)
    place = np.minimum((total < wanted[:, None]).sum(axis=1), len(prepared.fine) - 1)
    step = prepared.fine[1] - prepared.fine[0]
    out: Floats = prepared.fine[place] + (chance[1] - 0.5) * step
    return out
