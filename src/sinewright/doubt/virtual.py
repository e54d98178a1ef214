"""N virtual legs of one patient, in agreement with the examination: all doubts together, for every choice alike."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from sinewright.anatomy.skeleton import Skeleton
from sinewright.arrays import Floats, Indices
from sinewright.case import Case
from sinewright.doubt.block import take
from sinewright.doubt.contradiction import held_against_each_other
from sinewright.doubt.pool import agreeing, refuse_too_few
from sinewright.doubt.prior import PriorSampler
from sinewright.doubt.sample import Sample
from sinewright.doubt.stiffness import lengthen_calf
from sinewright.solve.leg import Legs


@dataclass(frozen=True)
class Virtual:
    """The legs after the calf procedure of the plan, and what stands behind them.

    ``now``: the same legs before any procedure; ``rows``: ids of all rows used; ``strength``: how the strength
    of each muscle is known; ``sample``: where each leg comes from; ``warnings``; ``sizes``: sizes of each leg and
    stature (N,) [m], by the names of ``anatomy.sizes``.
    """

    legs: Legs
    now: Legs
    rows: tuple[str, ...]
    strength: dict[str, str]
    sample: Sample
    warnings: tuple[str, ...]
    sizes: Mapping[str, Floats]

    def take(self, index: Indices | slice) -> Virtual:
        """Some of the legs, by their places; each keeps its origin."""
        return replace(
            self,
            legs=take(self.legs, index),
            now=take(self.now, index),
            sample=self.sample.take(index),
            sizes={name: values[index] for name, values in self.sizes.items()},
        )


def joined(one: Virtual, other: Virtual) -> Virtual:
    """The legs of two draws of one case together."""
    return replace(
        one,
        legs=Legs(*map(np.concatenate, zip(one.legs, other.legs, strict=True))),
        now=Legs(*map(np.concatenate, zip(one.now, other.now, strict=True))),
        sample=one.sample.joined(other.sample),
        sizes={name: np.concatenate([values, other.sizes[name]]) for name, values in one.sizes.items()},
    )


def draw(case: Case, draws: int, seed: int) -> Virtual:
    """Draw the virtual legs of a case, in agreement with its examination.

    Parameters
    ----------
    case : the patient
    draws : number of legs
    seed : the same case, number and seed give the same legs

    Raises
    ------
    DoubtError
        when findings contradict each other, or when too few legs agree with them to speak of
    """
    found = agreeing(case, draws, seed)
    against = held_against_each_other(case, found, seed)
    refuse_too_few(found.sample)
    now, sampler, first = found.legs, PriorSampler(1, 0), found.blocks[0]
    told = () if case.person.sex else ("Sex not given: leg sizes are drawn as for a man.",)
    return Virtual(
        now._replace(passive=lengthen_calf(case, now.passive, sampler)),
        now,
        tuple(dict.fromkeys((*first.rows, *sampler.used))),
        strength=first.strength,
        sample=found.sample,
        warnings=(*told, *first.warnings, *against),
        sizes=found.sizes,
    )


def with_calf(virtual: Virtual, case: Case) -> Virtual:
    """The same legs after the calf procedure that the plan of ``case`` names, instead of the one they had."""
    sampler = PriorSampler(1, 0)
    legs = virtual.now._replace(passive=lengthen_calf(case, virtual.now.passive, sampler))
    return replace(virtual, legs=legs, rows=tuple(dict.fromkeys((*virtual.rows, *sampler.used))))


def skeleton_of(legs: Legs) -> Skeleton:
    """The skeleton inside the legs."""
    return Skeleton(legs.points, legs.cylinders, legs.joint)
