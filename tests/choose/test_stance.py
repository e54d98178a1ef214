"""Stance balance by hand: sums of moments on each side before and after a muscle leaves its place."""

from __future__ import annotations

import numpy as np
import pytest

from sinewright.choose.stance import ARCH, FIRST_RAY, balance, subtalar_capacity
from sinewright.doubt.sample import Sample
from sinewright.doubt.virtual import draw
from sinewright.muscle.names import LEG_MUSCLES
from sinewright.reference import load

from .choose_helpers import PERONEALS, case_with

ONE = Sample.independent(1)
AT = {name: i for i, name in enumerate(LEG_MUSCLES)}


def leg(**moments: float) -> np.ndarray:
    """One leg's moments about the subtalar axis [N.m], inversion +, muscles left out give none."""
    out = np.zeros((1, len(LEG_MUSCLES)))
    for name, moment in moments.items():
        out[0, AT[name]] = moment
    return out


def test_balance_by_hand() -> None:
    moments = leg(
        tibialis_posterior=8.0, flexor_digitorum_longus=2.0, peroneus_longus=-6.0, peroneus_brevis=-4.0, soleus=11.0
    )
    found = balance(moments, np.ones((1, 12)), ("tibialis_posterior",), ONE)
    assert (found.inward_before_Nm.p50, found.outward_before_Nm.p50) == (10.0, 10.0)
    assert (found.inward_after_Nm.p50, found.outward_after_Nm.p50) == (2.0, 10.0)
    assert found.calf_Nm.p50 == 11.0
    assert found.inward_share_before is not None and found.inward_share_before.p50 == 0.5
    assert found.inward_share_after is not None and found.inward_share_after.p50 == pytest.approx(2.0 / 12.0, abs=1e-15)
    assert found.flags == (ARCH,)


def test_the_calf_never_counts_and_a_muscle_turns_to_the_side_it_turns() -> None:
    found = balance(leg(gastrocnemius_medial=-3.0, tibialis_anterior=-1.5), np.ones((1, 12)), (), ONE)
    assert (found.inward_before_Nm.p50, found.outward_before_Nm.p50, found.calf_Nm.p50) == (0.0, 1.5, -3.0)


def test_no_share_where_nothing_is_left_to_turn_the_foot() -> None:
    found = balance(leg(tibialis_posterior=5.0), np.ones((1, 12)), ("tibialis_posterior",), ONE)
    assert found.inward_share_before is not None and found.inward_share_before.p50 == 1.0
    assert found.inward_share_after is None


def test_flags_need_a_muscle_that_had_strength_and_one_that_works() -> None:
    moments = leg(tibialis_posterior=5.0, peroneus_longus=-5.0, peroneus_brevis=-3.0)
    works_from = load().row("gr-prior-donor-grade-4").low
    capacity = np.ones((1, 12))
    taken = ("tibialis_posterior", "peroneus_longus")
    assert balance(moments, capacity, taken, ONE).flags == (ARCH, FIRST_RAY)
    capacity[0, AT["peroneus_brevis"]] = 0.99 * works_from
    assert balance(moments, capacity, taken, ONE).flags == (FIRST_RAY,)
    assert balance(moments, np.ones((1, 12)), (*taken, "peroneus_brevis"), ONE).flags == (FIRST_RAY,)
    capacity[0, AT["peroneus_longus"]] = 0.0
    moments[0, AT["peroneus_longus"]] = 0.0
    assert balance(moments, capacity, taken, ONE).flags == ()


def test_weights_decide_between_legs() -> None:
    moments = np.concatenate([leg(tibialis_posterior=2.0), leg(tibialis_posterior=6.0)])
    found = balance(moments, np.ones((2, 12)), (), Sample(np.arange(2), 2, 1.0, np.array([0.0, 1.0])))
    assert found.inward_before_Nm.p50 == pytest.approx(6.0, abs=1e-9)


def test_peroneals_turn_out_and_tibialis_posterior_turns_in_for_virtual_legs() -> None:
    legs = draw(case_with({"person.sex": "male"}), 100, 3).legs
    moments = np.median(subtalar_capacity(legs), axis=0)
    assert all(moments[AT[name]] < 0.0 for name in PERONEALS)
    assert moments[AT["tibialis_posterior"]] > 0.0
    assert all(moments[AT[name]] == 0.0 for name in LEG_MUSCLES[:4]), "paralysed muscles balance nothing"


def test_a_harvest_never_adds_and_takes_only_from_its_own_side() -> None:
    legs = draw(case_with({"person.sex": "male"}), 100, 3).legs
    found = balance(subtalar_capacity(legs), legs.capacity, PERONEALS, Sample.independent(100))
    # in about one leg of a hundred the long peroneal lies on the inner side of the axis: hence the 2 %
    assert found.inward_after_Nm.p50 == pytest.approx(found.inward_before_Nm.p50, rel=0.02)
    assert found.outward_after_Nm.p50 < 0.1 * found.outward_before_Nm.p50
