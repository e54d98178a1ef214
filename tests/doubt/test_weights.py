"""Draws that contradict a finding lose weight, by the textbook; what is kept is drawn by weight."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sinewright.case import changed
from sinewright.doubt.joint_normal import before, read
from sinewright.doubt.prior import PriorSampler
from sinewright.doubt.sample import kish
from sinewright.doubt.virtual import draw
from sinewright.doubt.weights import log_weights, normalised, systematic
from sinewright.muscle.names import LEG_MUSCLES
from sinewright.solve import answer as a
from sinewright.transfer.plans import build_plans
from sinewright.units import deg

from ..virtual_people import example, plan

N = 40_000


def test_weights_make_the_normal_posterior() -> None:
    """x ~ N(0, 4), reading 3 with error 3: N(1.92, 2.4) by the textbook."""
    sampler = PriorSampler(N, 1)
    x = 4.0 * sampler.stream("x").standard_normal(N)
    sampler.observe("x", 3.0, x, 3.0, "deg")
    kept = x[systematic(normalised(log_weights(sampler.log_likelihoods, N)), 20_000, np.random.default_rng(2))]
    assert (kept.mean(), kept.std()) == pytest.approx((3.0 * 16 / 25, (16 * 9 / 25) ** 0.5), abs=0.06)


def test_effective_number() -> None:
    assert kish(np.full(50, 0.02)) == pytest.approx(50.0)
    assert kish(np.array([1.0, 0.0, 0.0])) == 1.0


def test_without_findings_all_count_alike() -> None:
    assert normalised(log_weights((), 7)) == pytest.approx(np.full(7, 1 / 7))
    assert np.bincount(systematic(np.full(100, 0.01), 100, np.random.default_rng(1))).max() == 1


@given(st.lists(st.floats(0.0, 1.0), min_size=1, max_size=40).filter(lambda x: sum(x) > 0.0), st.integers(1, 200))
def test_systematic_draws_give_every_proposal_its_share_within_one(raw: list[float], wanted: int) -> None:
    weight = np.array(raw) / sum(raw)
    counts = np.bincount(systematic(weight, wanted, np.random.default_rng(3)), minlength=len(raw))
    assert counts.sum() == wanted
    assert np.all(np.abs(counts - wanted * weight) <= 1.0 + 1e-9)


def test_readings_of_normal_quantities_follow_the_textbook() -> None:
    sampler = PriorSampler(3, 1)
    belief = read(before((1.0, 5.0), (2.0, 3.0), sampler), sampler, "sum", 10.0, 1.0, along=(1.0, 1.0))
    prior = np.diag([4.0, 9.0])
    h = np.array([1.0, 1.0])
    gain = prior @ h / (h @ prior @ h + 1.0)
    assert belief.mean[0] == pytest.approx([1.0, 5.0] + gain * 4.0)
    assert belief.covariance[0] == pytest.approx(prior - np.outer(gain, h) @ prior)
    assert sampler.log_likelihoods[0].predicted == pytest.approx(np.full(3, 6.0))


def test_the_legs_hang_as_the_patients_leg_hangs() -> None:
    case = example("knee_dislocation_common_peroneal")
    hanging = case.range.affected.resting_hanging_deg
    assert hanging is not None
    out, _ = a.answer(draw(case, 300, 4).now, build_plans([plan(None)]))
    assert np.median(deg(out[:, 0, a.REST])) == pytest.approx(hanging.value, abs=5.0)  # own-rest-reading-error


@pytest.mark.parametrize("shift", [-8.0, 8.0])
def test_a_foot_that_hangs_otherwise_moves_the_legs_that_way(shift: float) -> None:
    case = example("knee_dislocation_common_peroneal")
    hanging = case.range.affected.resting_hanging_deg
    assert hanging is not None
    other = changed(case, {"range.affected.resting_hanging_deg": hanging.value + shift})
    rests = [
        np.median(a.answer(draw(c, 300, 4).now, build_plans([plan(None)]))[0][:, 0, a.REST]) for c in (case, other)
    ]
    assert np.sign(shift) * deg(rests[1] - rests[0]) > 1.0


def test_the_calf_procedure_changes_the_legs_after_it_only() -> None:
    case = changed(example("stiff_calf"), {"plan.calf_procedure": "achilles lengthening", "plan.calf_gain_deg": 8.0})
    usual, done = draw(example("stiff_calf"), 150, 4), draw(case, 150, 4)
    assert np.array_equal(usual.now.passive, done.now.passive)
    assert not np.array_equal(done.now.passive, done.legs.passive)


def test_a_donor_that_is_gone_stays_gone_after_picking() -> None:
    legs = draw(example("knee_dislocation_common_peroneal"), 150, 4).legs
    assert np.all(legs.capacity[:, LEG_MUSCLES.index("peroneus_longus")] == 0.0)
