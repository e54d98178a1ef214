"""Legs that agree with an examination: how many, how different, how heavy; and what happens when hardly any do."""

from __future__ import annotations

import numpy as np
import pytest

from sinewright.case import changed
from sinewright.doubt.block import block_of
from sinewright.doubt.pool import agreeing, refuse_too_few
from sinewright.doubt.prior import PriorSampler
from sinewright.doubt.sample import Sample
from sinewright.doubt.temper import Normals, StoredSampler
from sinewright.errors import DoubtError
from sinewright.solve.leg import Legs

from ..virtual_people import EXAMPLES, example


@pytest.mark.parametrize("stem", EXAMPLES)
def test_a_thousand_legs_of_every_example_are_a_thousand_legs(stem: str) -> None:
    """At the number of legs that is shipped, and on the seed that is shipped."""
    sample = agreeing(example(stem), 1000, 1).sample
    assert sample.effective_sample_size >= 3000.0
    assert sample.distinct >= 950
    assert sample.tail is not None and sample.tail < 0.5
    assert sample.largest < 0.02
    assert sample.temperatures == 0


def test_each_kept_leg_is_the_proposal_it_says_it_is() -> None:
    found = agreeing(example("stiff_calf"), 300, 2)
    ends = np.cumsum([0, *(len(block) for block in found.blocks)])
    for place in (0, 7, 150, 299):
        origin = int(found.sample.origin[place])
        block = int(np.searchsorted(ends, origin, side="right")) - 1
        for kept, proposed in zip(found.legs, found.blocks[block].legs, strict=True):
            assert np.array_equal(kept[place], proposed[origin - ends[block]])
        assert found.sizes["stature"][place] == found.blocks[block].sizes["stature"][origin - ends[block]]


def test_further_blocks_are_other_legs() -> None:
    case = example("stiff_calf")
    first, second = (block_of(case, PriorSampler(50, 1, block=block)) for block in (0, 1))
    assert not np.any(np.isin(first.legs.normal_lift, second.legs.normal_lift))


def test_too_few_legs_are_no_finding() -> None:
    with pytest.raises(DoubtError, match="too few legs, not a finding"):
        refuse_too_few(Sample(np.arange(1000), 64_000, 399.0))
    refuse_too_few(Sample(np.arange(1000), 64_000, 401.0))


def same(a: Legs, b: Legs) -> bool:
    return all(np.array_equal(x, y) for x, y in zip(a, b, strict=True))


def test_stored_normals_give_the_same_legs_again() -> None:
    case, normals = example("front_compartment_loss"), Normals()
    first = block_of(case, StoredSampler(40, 5, normals, frozenset()))
    assert all(part.shape[0] == 40 for parts in normals.values() for part in parts)
    assert same(first.legs, block_of(case, StoredSampler(40, 5, normals, frozenset())).legs)


def test_stored_normals_follow_the_same_distribution_as_streams() -> None:
    """Other draws are made of normals by quantile: means and spreads of the losses, forces and sizes agree."""
    case, n = example("front_compartment_loss"), 3000
    ways = (block_of(case, StoredSampler(n, 5, Normals(), frozenset())), block_of(case, PriorSampler(n, 6)))
    for name in ("losses", "capacity", "execution", "knee_moment_arm"):
        one, other = (getattr(way.legs, name).reshape(n, -1) for way in ways)
        error = 5.0 * np.sqrt((one.var(axis=0) + other.var(axis=0)) / n) + 1e-12
        assert np.all(np.abs(one.mean(axis=0) - other.mean(axis=0)) < error), name
        np.testing.assert_allclose(one.std(axis=0), other.std(axis=0), rtol=0.12, atol=1e-12)


@pytest.mark.slow
def test_legs_brought_to_a_hard_examination_are_those_that_weighing_finds() -> None:
    """The other leg's push-down at 190 N.m: 64,000 proposals and a thousand moved legs give the same middle legs."""
    case = changed(example("stiff_calf"), {"torque.other.plantarflexion_Nm": 190.0})
    weighed = agreeing(case, 1000, 1)
    assert weighed.sample.temperatures == 0
    from sinewright.doubt.pool import _moved

    moved = _moved(case, 0, 1000, 1, frozenset())
    assert moved.sample.temperatures >= 1 and moved.sample.tail is None
    assert moved.sample.effective_sample_size > 100
    for values in (lambda legs: np.log(legs.normal_lift), lambda legs: np.log(legs.muscles[:, 9, 0])):
        one, other = values(weighed.legs), values(moved.legs)
        error = 4.0 * np.hypot(
            one.std() / np.sqrt(weighed.sample.number()), other.std() / np.sqrt(moved.sample.effective_sample_size)
        )
        assert one.mean() == pytest.approx(other.mean(), abs=error)
