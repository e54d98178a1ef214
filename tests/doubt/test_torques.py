"""Forces drawn to agree with torques, draw by draw: the same answer as weighing the prior, with bounded weights."""

from __future__ import annotations

import numpy as np
import pytest

from sinewright.case import changed
from sinewright.doubt.prior import PriorSampler
from sinewright.doubt.proposal import propose
from sinewright.doubt.sample import kish
from sinewright.doubt.torques import LIFTERS, Torque, draw_forces_given, observe_torque, torques_of
from sinewright.doubt.weights import log_weights, normalised
from sinewright.muscle.architecture import leg_muscles
from sinewright.muscle.names import LEG_MUSCLES
from sinewright.muscle.strength import prior
from sinewright.units import deg

from ..virtual_people import Floats, blank

N = 20_000
ARM = 0.04  # m
FORCE = np.exp(prior(leg_muscles(1.0)).mean)
UP, DOWN = (  # one weaker, one stronger than the model
    Torque(name, factor * ARM * FORCE[members].sum(), members, ankle=0.0, knee=0.0, cv=0.12, affected=False)
    for name, factor, members in (("up", 0.85, LIFTERS), ("down", 1.15, ~LIFTERS))
)


def gains(spread: float) -> list[Floats]:
    """Gains of every draw: 4 cm of arm, their logarithm spread by so much between draws."""
    noise = np.random.default_rng(9).standard_normal((N, 2))
    members = (LIFTERS, ~LIFTERS)
    return [ARM * np.exp(spread * noise[:, [i]]) * members[i] for i in range(2)]


def drawn(spread: float, torques: list[Torque], given: list[Torque], seed: int = 3) -> tuple[Floats, Floats]:
    """ln F0 of every draw conditioned on ``given`` and its weight under ``torques``."""
    sampler, gain = PriorSampler(N, seed), gains(spread)
    which = [(UP, DOWN).index(torque) for torque in given]
    forces = draw_forces_given(prior(leg_muscles(1.0)), given, [gain[i] for i in which], sampler)
    for torque in torques:
        own = np.einsum("ni,ni->n", gain[(UP, DOWN).index(torque)], forces)
        observe_torque(torque, own, sampler)
    return np.log(forces), normalised(log_weights(sampler.log_likelihoods, N))


@pytest.mark.parametrize("spread", [0.0, 0.1])
def test_conditioning_gives_what_weighing_the_prior_gives(spread: float) -> None:
    """Two independent ways to the same posterior: means and spreads of ln F0 of all muscles."""
    plain, plain_weight = drawn(spread, [UP, DOWN], [])
    met, weight = drawn(spread, [UP, DOWN], [UP, DOWN], seed=4)
    error = 4.0 * np.std(plain, axis=0) * np.sqrt(1.0 / kish(plain_weight) + 1.0 / kish(weight))
    assert np.all(np.abs(plain_weight @ plain - weight @ met) < error)
    spreads = [np.sqrt(w @ (x - w @ x) ** 2) for x, w in ((plain, plain_weight), (met, weight))]
    np.testing.assert_allclose(spreads[0], spreads[1], rtol=0.12)
    assert kish(weight) > 3.0 * kish(plain_weight)


def test_the_weight_is_exact_when_nothing_but_the_torques_differs() -> None:
    """With one gain for all draws what is left in the weight is only the curvature: nearly every draw counts."""
    _, weight = drawn(0.0, [UP, DOWN], [UP, DOWN])
    assert kish(weight) > 0.9 * N


def test_a_torque_far_from_the_model_does_not_make_a_heavy_tail() -> None:
    far = Torque("up", 2.0 * UP.torque, LIFTERS, ankle=0.0, knee=0.0, cv=0.05, affected=False)
    sampler, gain = PriorSampler(N, 3), gains(0.2)
    forces = draw_forces_given(prior(leg_muscles(1.0)), [far], gain[:1], sampler)
    observe_torque(far, np.einsum("ni,ni->n", gain[0], forces), sampler)
    weight = normalised(log_weights(sampler.log_likelihoods, N))
    assert weight.max() < 0.02


def test_torques_of_both_legs_are_read_in_their_own_posture() -> None:
    case = blank(
        "[torque.other]\ndorsiflexion_Nm = 33\ndorsiflexion_tested_at_ankle_deg = -10\nknee_deg = 30\n"
        "[torque.affected]\nplantarflexion_Nm = 84\nplantarflexion_tested_at_ankle_deg = -20\nknee_deg = 60\n"
    )
    found = {torque.name: torque for torque in torques_of(case, PriorSampler(1, 1))}
    assert set(found) == {"other leg's lifting torque", "push-down torque"}
    other, here = found["other leg's lifting torque"], found["push-down torque"]
    assert (round(deg(other.ankle)), round(deg(other.knee)), other.affected) == (-10, 30, False)
    assert (round(deg(here.ankle)), round(deg(here.knee)), here.affected) == (-20, 60, True)


def test_a_push_down_read_lower_is_met_by_stronger_muscles() -> None:
    """The same torque with the foot further down and the knee bent asks for more force: the calf is slack there."""
    entries = {"torque.affected.plantarflexion_Nm": 80.0, "torque.affected.instrument": "isometric"}
    posture = {"torque.affected.plantarflexion_tested_at_ankle_deg": -25.0, "torque.affected.knee_deg": 60.0}
    soleus = LEG_MUSCLES.index("soleus")
    forces = []
    for more in ({}, posture):
        legs, _ = propose(changed(blank(), {**entries, **more}), PriorSampler(1500, 21))
        forces.append(float(np.median(legs.muscles[:, soleus, 0])))
    assert forces[1] > 1.05 * forces[0]


def test_a_muscle_measured_against_the_model_alone_is_left_to_the_weights() -> None:
    """Its strength now hangs on its full force: a torque of its group is weighed, and still pulls the draws."""
    text = "[muscles.soleus]\ntorque_Nm = 60\n[torque.affected]\nplantarflexion_Nm = 100\n"
    sampler = PriorSampler(4000, 5)
    legs, forces = propose(blank(text), sampler)
    names = [part.finding for part in sampler.log_likelihoods]
    assert "push-down torque" in names and "proposal of the full forces" not in names
    weight = normalised(log_weights(sampler.log_likelihoods, 4000))
    assert kish(weight) > 100
    assert np.all(np.isfinite(legs.capacity)) and np.all(forces.moments[:, ~LIFTERS, 0].sum(axis=1) < 0.0)
