"""Legs in which the relaxed foot has two places to rest after an operation: they are counted and told."""

from collections.abc import Sequence

import numpy as np

from sinewright.choose.present import choice_of
from sinewright.doubt.virtual import Virtual
from sinewright.solve.rests import has_two, rests
from sinewright.transfer.plans import SewnOperation, build_plans
from sinewright.wording.counts import plural


def two_rests(virtual: Virtual, plans: Sequence[SewnOperation], elastic: bool) -> tuple[str, ...]:
    """One sentence for each operation after which some legs have two rests."""
    if not plans:
        return ()
    counts = np.count_nonzero(has_two(rests(virtual.legs, build_plans(list(plans)), elastic)), axis=0)
    return tuple(
        _sentence(plan, int(count), len(virtual.sample)) for plan, count in zip(plans, counts, strict=True) if count
    )


def _sentence(plan: SewnOperation, count: int, legs: int) -> str:
    choice = choice_of(plan)
    return (
        f"{choice.title}, {choice.subtitle}: in {plural(count, 'virtual leg')} of {legs} the relaxed foot has "
        "two places to rest, more than 2 degrees apart: a push, or a little more tension, can let it snap over."
    )
