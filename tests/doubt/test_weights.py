"""Draws that contradict a finding lose weight, by the textbook; contradiction is told, not averaged."""

from __future__ import annotations

import numpy as np
import pytest

from sinewright.case import changed
from sinewright.doubt.joint_normal import before, read
from sinewright.doubt.prior import PriorSampler
from sinewright.doubt.sample import kish
from sinewright.doubt.virtual import draw
from sinewright.doubt.weights import FEWEST, resample, weights
from sinewright.errors import DoubtError
from sinewright.muscle.names import LEG_MUSCLES
from sinewright.solve import answer as a
from sinewright.transfer.plans import build_plans
from sinewright.units import deg

from ..virtual_people import EXAMPLES, example, plan

N = 40_000


def test_weights_make_the_normal_posterior() -> None:
    """x ~ N(0, 4), reading 3 with error 3: N(1.92, 2.4) by the textbook."""
    sampler = PriorSampler(N, 1)
    x = 4.0 * sampler.stream("x").standard_normal(N)
    sampler.observe("x", 3.0, x, 3.0, "deg")
    kept = x[resample(sampler.log_likelihoods, N, 20_000, np.random.default_rng(2)).origin]
    assert (kept.mean(), kept.std()) == pytest.approx((3.0 * 16 / 25, (16 * 9 / 25) ** 0.5), abs=0.06)


def test_effective_number() -> None:
    assert kish(np.full(50, 0.02)) == pytest.approx(50.0)
    assert kish(np.array([1.0, 0.0, 0.0])) == 1.0


def test_without_findings_all_count_alike() -> None:
    assert weights((), 7) == pytest.approx(np.full(7, 1 / 7))
    assert np.bincount(resample((), 100, 100, np.random.default_rng(1)).origin).max() == 1


def test_a_contradiction_names_the_finding_that_stands_alone() -> None:
    sampler = PriorSampler(4000, 1)
    x = sampler.stream("x").standard_normal(4000)
    for name, found in (("first", 0.1), ("second", -0.1), ("odd one", 9.0)):
        sampler.observe(name, found, x, 0.3, "deg")
    with pytest.raises(DoubtError, match="odd one stands against the rest: found 9 deg"):
        resample(sampler.log_likelihoods, 4000, 100, np.random.default_rng(1))


def test_a_torque_compared_as_a_logarithm_is_told_in_newton_metres() -> None:
    sampler = PriorSampler(4000, 1)
    x = np.log(20.0) + 0.3 * sampler.stream("x").standard_normal(4000)
    for name, found in (("first", 20.0), ("second", 20.0), ("lifting torque", 400.0)):
        sampler.observe(name, float(np.log(found)), x, 0.1, "ln N.m")
    told = r"lifting torque stands against the rest: found 400 N\.m, the other findings lead to (19|20)\.?\d* N\.m"
    with pytest.raises(DoubtError, match=told):
        resample(sampler.log_likelihoods, 4000, 100, np.random.default_rng(1))


def test_readings_of_normal_quantities_follow_the_textbook() -> None:
    sampler = PriorSampler(3, 1)
    belief = read(before((1.0, 5.0), (2.0, 3.0), sampler), sampler, "sum", 10.0, 1.0, along=(1.0, 1.0))
    prior = np.diag([4.0, 9.0])
    h = np.array([1.0, 1.0])
    gain = prior @ h / (h @ prior @ h + 1.0)
    assert belief.mean[0] == pytest.approx([1.0, 5.0] + gain * 4.0)
    assert belief.covariance[0] == pytest.approx(prior - np.outer(gain, h) @ prior)
    assert sampler.log_likelihoods[0].predicted == pytest.approx(np.full(3, 6.0))


@pytest.mark.parametrize("stem", EXAMPLES)
def test_every_example_agrees_with_itself(stem: str) -> None:
    """At the number of legs that is shipped, on the seed that is shipped and two more: none is refused."""
    for seed in (1, 2, 3):
        assert draw(example(stem), 1000, seed).sample.effective_sample_size >= FEWEST


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
