"""Joint full force: prior, exact conditioning against two independent methods, norms and group scale."""

from __future__ import annotations

import numpy as np
import pytest

from sinewright.errors import InputError
from sinewright.muscle import strength
from sinewright.muscle.architecture import leg_muscles
from sinewright.muscle.names import FRONT, LEG_MUSCLES
from sinewright.muscle.strength import (
    LogForce,
    condition,
    condition_on_torque,
    group_scale,
    match_norm,
    prior,
)

LIFT = np.array([0.035 if name in FRONT else 0.0 for name in LEG_MUSCLES])
PUSH = np.array([0.048 if name.startswith(("soleus", "gastro")) else 0.0 for name in LEG_MUSCLES])


@pytest.fixture(scope="module")
def belief() -> LogForce:
    return prior(leg_muscles())


def test_prior_correlations_are_those_of_the_sampling_rows(belief: LogForce) -> None:
    """The rows say 'pairwise correlation about 0.6 to 0.72'."""
    sd = np.sqrt(np.diag(belief.covariance))
    correlation = belief.covariance / np.outer(sd, sd)
    assert sd == pytest.approx(np.hypot(np.hypot(0.22, 0.10), 0.15))
    assert sorted({float(f"{x:.2f}") for x in correlation.ravel()}) == [0.60, 0.72, 1.0]
    first = LEG_MUSCLES.index("tibialis_anterior")
    assert np.exp(belief.mean[first]) == pytest.approx(leg_muscles()["tibialis_anterior"].F0)


def test_draws_repeat_for_a_seed_and_have_the_covariance(belief: LogForce) -> None:
    a, b = (belief.draw(40_000, np.random.default_rng(5)) for _ in range(2))
    assert np.array_equal(a, b)
    # standard error of a covariance of 0.08 over 40,000 draws: about 0.0006
    assert np.cov(np.log(a).T) == pytest.approx(belief.covariance, abs=0.003)


def test_condition_equals_the_precision_form(belief: LogForce) -> None:
    """Independent formula: precision = C^-1 + A' R^-1 A, mean = precision^-1 (C^-1 m + A' R^-1 y)."""
    rng = np.random.default_rng(1)
    A, noise = rng.normal(size=(3, 12)), np.array([0.05, 0.2, 0.7])
    y = A @ belief.mean + rng.normal(size=3)
    mean, covariance = condition(belief.mean, belief.covariance, A, y, noise)
    R = np.diag(noise**-2.0)
    inverse = np.linalg.inv(belief.covariance)
    expected = np.linalg.inv(inverse + A.T @ R @ A)
    assert covariance == pytest.approx(expected, abs=1e-12)
    assert mean == pytest.approx(expected @ (inverse @ belief.mean + A.T @ R @ y), abs=1e-10)
    assert covariance == pytest.approx(covariance.T, abs=1e-15)


def test_condition_on_torque_equals_importance_sampling(belief: LogForce) -> None:
    """300,000 prior draws weighted by the log-normal error of the true (not linearised) torque.

    Effective number above 50,000: standard error of a mean about 0.0009, of the largest of 12 about 0.003.
    """
    F0 = belief.draw(300_000, np.random.default_rng(2))
    target, cv = 1.2 * float(LIFT @ np.exp(belief.mean)), 0.092
    weight = np.exp(-0.5 * (np.log(F0 @ LIFT / target)) ** 2 / np.log1p(cv**2))
    weight /= weight.sum()
    assert 1.0 / np.sum(weight**2) > 50_000
    x = np.log(F0)
    mean = weight @ x
    sd = np.sqrt(weight @ (x - mean) ** 2)
    found = condition_on_torque(belief, LIFT, target, cv, ("a-row",))
    assert found.mean == pytest.approx(mean, abs=0.003)
    assert np.sqrt(np.diag(found.covariance)) == pytest.approx(sd, abs=0.003)
    assert found.rows[-1] == "a-row"


def test_exact_torque_is_met_and_strengthens_the_unmeasured_muscles(belief: LogForce) -> None:
    target = 1.3 * float(LIFT @ np.exp(belief.mean))
    found = condition_on_torque(belief, LIFT, target, 1e-6)
    torque = found.draw(20_000, np.random.default_rng(4)) @ LIFT
    assert torque.mean() == pytest.approx(target, rel=1e-3)
    assert torque.std() < 0.012 * target  # what is left is the curvature of the sum
    others = [i for i, name in enumerate(LEG_MUSCLES) if name not in FRONT]
    assert np.all(found.mean[others] > belief.mean[others])
    assert np.all(np.diag(found.covariance) < np.diag(belief.covariance))


def test_match_norm_gives_the_spread_of_the_norm_and_keeps_the_split(belief: LogForce) -> None:
    """Torques of the draws: median and CV of both norms (60,000 draws: standard errors 0.13 % and 0.5 %)."""
    gain, value, cv = np.array([LIFT, PUSH]), np.array([40.7, 126.5]), np.array([0.25, 0.30])
    found = match_norm(belief, gain, value, cv)
    torque = found.draw(60_000, np.random.default_rng(3)) @ gain.T
    assert np.median(torque, axis=0) == pytest.approx(value, rel=0.005)
    assert torque.std(axis=0) / torque.mean(axis=0) == pytest.approx(cv, rel=0.015)
    parts = LIFT * np.exp(found.mean)
    w = parts / parts.sum()
    once = match_norm(belief, LIFT, 40.7, 0.25)
    before, after = (c @ w / (w @ c @ w) for c in (belief.covariance, once.covariance))
    assert after == pytest.approx(before, abs=0.01)  # how each muscle goes with the torque has not changed


def test_a_norm_never_counts_as_a_measurement(belief: LogForce) -> None:
    """With a norm as wide as people differ the muscles must not become better known than people differ."""
    wide = match_norm(belief, LIFT, 40.7, 0.25)
    narrow = condition_on_torque(belief, LIFT, 40.7, 0.25)
    first = LEG_MUSCLES.index("tibialis_anterior")
    assert narrow.covariance[first, first] < 0.75 * wide.covariance[first, first]


@pytest.mark.parametrize(("gain", "torque"), [(LIFT, 0.0), (LIFT, -3.0), (0 * LIFT, 40.0), (-LIFT, 40.0)])
def test_torque_without_sense_is_refused(belief: LogForce, gain: np.ndarray, torque: float) -> None:
    for function in (condition_on_torque, match_norm):
        with pytest.raises(InputError, match="torque_Nm"):
            function(belief, gain, torque, 0.1)


def test_group_scale() -> None:
    assert group_scale(30.0, 40.5) == pytest.approx(1.35)
    for model, target in ((0.0, 40.0), (30.0, 0.0)):
        with pytest.raises(InputError, match="both more than 0 Nm"):
            group_scale(model, target)


def test_settling_limit_is_far_above_what_is_needed(belief: LogForce, monkeypatch: pytest.MonkeyPatch) -> None:
    """A torque three times the model's settles within 12 passes."""
    monkeypatch.setattr(strength, "PASSES", 12)
    condition_on_torque(belief, LIFT, 3 * float(LIFT @ np.exp(belief.mean)), 0.1)
