"""Stance balance: what can turn the foot in and out about the subtalar axis at neutral, before and after a harvest.

The capacity of a muscle is the moment that its full effort adds with the sole square to the shank and the knee
straight, times its strength now. A transferred muscle counts as gone: it lifts in swing, it does not balance stance.
"""

import numpy as np

from sinewright.anatomy.skeleton import Skeleton
from sinewright.arrays import Bools, Floats
from sinewright.doubt.sample import Sample
from sinewright.muscle.names import CALF, LEG_MUSCLES
from sinewright.reference import load
from sinewright.results import Balance, Spread
from sinewright.solve.leg import Legs
from sinewright.solve.native import effort_moments, native_lengths
from sinewright.transfer.catalogue import path_table
from sinewright.transfer.plans import native_ends

CALF_COLUMNS = np.array([name in CALF for name in LEG_MUSCLES])
TIBIALIS_POSTERIOR = LEG_MUSCLES.index("tibialis_posterior")
LONG_PERONEAL, SHORT_PERONEAL = (LEG_MUSCLES.index(name) for name in ("peroneus_longus", "peroneus_brevis"))
WORKS_FROM = "gr-prior-donor-grade-4"
HALF = 0.5  # a flag or a share is given when it holds in at least half of the legs

ARCH = "arch: tibialis posterior is gone while the short peroneal works"
FIRST_RAY = "first ray: the long peroneal is gone"


def full_efforts(legs: Legs, elastic: bool = True) -> Floats:
    """Moments [N.m] that full unharmed effort of each muscle adds at neutral, about both axes: (N, 12, 2)."""
    skeleton = Skeleton(legs.points, legs.cylinders, legs.joint)
    zero = np.zeros(len(legs.points))
    lengths = native_lengths(skeleton, path_table().elements, native_ends(), zero, zero)
    return effort_moments(legs.muscles, lengths, np.zeros(lengths.shape[:2]), elastic)


def subtalar_capacity(legs: Legs, elastic: bool = True) -> Floats:
    """Moment [N.m] about the subtalar axis that each muscle can add now, inversion +: (N, 12)."""
    out: Floats = full_efforts(legs, elastic)[:, :, 1] * legs.capacity
    return out


def balance(moments: Floats, capacity: Floats, taken: tuple[str, ...], sample: Sample) -> Balance:
    """Balance before and after the muscles of ``taken`` have left their place.

    Args:
        moments: (N, 12) from ``capacity`` [N.m], inversion +.
        capacity: (N, 12) share of its own normal strength that each muscle has now.
        taken: muscles that leave their place, by full name.
        sample: the legs.
    """
    gone = np.array([name in taken for name in LEG_MUSCLES])
    before, after = _in_and_out(moments), _in_and_out(np.where(gone, 0.0, moments))
    return Balance(
        inward_before_Nm=sample.spread(before[0]),
        outward_before_Nm=sample.spread(before[1]),
        inward_after_Nm=sample.spread(after[0]),
        outward_after_Nm=sample.spread(after[1]),
        calf_Nm=sample.spread(moments[:, CALF_COLUMNS].sum(axis=1)),
        inward_share_before=_share(*before, sample),
        inward_share_after=_share(*after, sample),
        flags=_flags(moments, capacity, gone, sample),
    )


def _in_and_out(moments: Floats) -> tuple[Floats, Floats]:
    """Sums (N,) of what turns in and of what turns out [N.m], both positive, the calf left out."""
    own = moments[:, ~CALF_COLUMNS]
    return np.maximum(own, 0.0).sum(axis=1), np.maximum(-own, 0.0).sum(axis=1)


def _share(inward: Floats, outward: Floats, sample: Sample) -> Spread | None:
    """Inward over inward plus outward, over the legs that have either; None when half of them have neither."""
    total = inward + outward
    some = total > 0.0
    if not _mostly(some, sample):
        return None
    return sample.spread(inward / np.where(some, total, 1.0), some)


def _mostly(holds: Bools, sample: Sample) -> bool:
    return sample.chance(holds).share >= HALF


def _flags(moments: Floats, capacity: Floats, gone: Bools, sample: Sample) -> tuple[str, ...]:
    """Sentences about what is left without an opponent; a muscle that had no strength is no loss."""
    has = (np.abs(moments) > 0.0) & (capacity > 0.0)
    works = capacity[:, SHORT_PERONEAL] >= load().row(WORKS_FROM).low
    flags = []
    lost_posterior = gone[TIBIALIS_POSTERIOR] and _mostly(has[:, TIBIALIS_POSTERIOR], sample)
    if lost_posterior and not gone[SHORT_PERONEAL] and _mostly(works, sample):
        flags.append(ARCH)
    if gone[LONG_PERONEAL] and _mostly(has[:, LONG_PERONEAL], sample):
        flags.append(FIRST_RAY)
    return tuple(flags)
