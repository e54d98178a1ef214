"""Torques read on either leg, and full forces drawn to agree with them, draw by draw.

A torque T = sum g_i F0_i is nearly linear in x = ln F0, and every draw has gains g of its own: moment arms, fibres, for
the leg to be operated on its strength now, all in the posture of the test. x is drawn from the normal that the
torques, made linear at the mode of this draw, leave of the prior; what the curvature adds goes into the weight. So
the weight stays bounded, whatever the gains.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sinewright.anatomy.skeleton import Skeleton
from sinewright.arrays import Bools, Floats, Ints
from sinewright.case import Case, Number
from sinewright.case.examination import Strength
from sinewright.doubt.prior import LogLikelihood, PriorSampler
from sinewright.muscle.names import FRONT, LEG_MUSCLES
from sinewright.muscle.now import Method, measurement_cv
from sinewright.muscle.strength import LogForce
from sinewright.solve.native import effort_moments, native_lengths
from sinewright.units import rad

LIFTERS = np.array([name in FRONT for name in LEG_MUSCLES])
FIRST_GASTROCNEMIUS = 10
OTHER_LEG = "me-other-leg-not-perfect"
ARM_DOUBT = 0.1  # of a torque of the leg to be operated on: where the dynamometer's axis lay
HAND_HELD_CHANGE, FOOT_LEVER = "me-dynamometer-df-mdc95-pmid31191956", "me-lever-arm-dynamometer"
NEAR_ZERO_FIXED = "own-torque-near-zero-fixed"
PASSES = 8  # towards the mode of a draw; the weight is exact wherever they end
PROPOSAL = "proposal of the full forces"


@dataclass(frozen=True)
class Torque:
    """A torque read [N.m]: muscles that give it (12,), ankle and knee angle [rad], cv of the reading.

    ``affected``: of the leg to be operated on, as strong as it is now; else of the other leg, taken as unharmed.
    """

    name: str
    torque: float
    members: Bools
    ankle: float
    knee: float
    cv: float
    affected: bool

    @property
    def error(self) -> float:
        """Standard deviation of the logarithm of the reading."""
        return float(np.sqrt(np.log1p(self.cv**2)))


@dataclass(frozen=True)
class Limb:
    """What a torque of full effort depends on besides F0: skeletons, muscles (N, 12, 7), knee arm (N,) [m]."""

    skeleton: Skeleton
    muscles: Floats
    knee_moment_arm: Floats
    elements: Ints
    native: Ints

    def gains(self, ankle: float, knee: float) -> Floats:
        """Ankle moment that full effort adds per newton of F0 (N, 12), at an ankle and knee angle [rad]."""
        n = len(self.muscles)
        lengths = native_lengths(self.skeleton, self.elements, self.native, np.full(n, ankle), np.zeros(n))
        shift = np.zeros(lengths.shape[:2])
        shift[:, FIRST_GASTROCNEMIUS:] = self.knee_moment_arm[:, None] * knee
        out: Floats = np.abs(effort_moments(self.muscles, lengths, shift)[:, :, 0]) / self.muscles[:, :, 0]
        return out

    def gains_in(self, torque: Torque, capacity: Floats) -> Floats:
        """Gains (N, 12) in the test of a torque [N.m/N], 0 outside its group; ``capacity`` (N, 12) of this leg now."""
        gain = self.gains(torque.ankle, torque.knee) * torque.members
        return gain * capacity if torque.affected else gain

    def torque(self, torque: Torque, capacity: Floats) -> Floats:
        """What every draw would give in the same test (N,) [N.m]."""
        out: Floats = np.einsum("ni,ni->n", self.gains_in(torque, capacity), self.muscles[:, :, 0])
        return out


def method_of(found: Strength) -> Method:
    """How the torques of a leg were read; a hand-held dynamometer where nothing is said."""
    return "fixed" if found.instrument in ("isokinetic", "isometric") else "hand-held"


def torques_of(case: Case, sampler: PriorSampler) -> list[Torque]:
    """Every torque of a case that the legs can be held against."""
    other, here = case.torque.other, case.torque.affected
    out = [
        *_of_leg(other, "other leg's ", sampler.value(OTHER_LEG) / 100.0),
        *_of_leg(here, "", ARM_DOUBT, near_zero=_near_zero(case, sampler), affected=True),
    ]
    for found in (other, here):
        if any(torque.affected is (found is here) for torque in out):
            sampler.note(*measurement_cv(method_of(found))[1])
    return out


def _near_zero(case: Case, sampler: PriorSampler) -> float:
    """Standard error [N.m] of a torque near zero, where a share of it would be too small.

    Of a hand-held dynamometer the printed smallest change that can be told, over the root of two and 1.96, at the
    foot's lever.
    """
    if method_of(case.torque.affected) == "fixed":
        return sampler.value(NEAR_ZERO_FIXED)
    mass = case.person.mass_kg.value if case.person.mass_kg else sampler.value("own-default-mass")
    force = sampler.value(HAND_HELD_CHANGE) * mass / (1.96 * 2.0**0.5)
    return float(force * sampler.value(FOOT_LEVER))


def _of_leg(found: Strength, whose: str, doubt: float, near_zero: float = 0.0, affected: bool = False) -> list[Torque]:
    """Lifting and push-down torque of one leg; ``doubt``: cv beside that of the instrument; ``near_zero``: error [N.m]
    that stays when the torque goes to nothing."""
    cv, knee = float(np.hypot(measurement_cv(method_of(found))[0], doubt)), found.knee_deg
    given: tuple[tuple[str, Number | None, Number | None, Bools], ...] = (
        ("lifting torque", found.dorsiflexion_Nm, found.dorsiflexion_tested_at_ankle_deg, LIFTERS),
        ("push-down torque", found.plantarflexion_Nm, found.plantarflexion_tested_at_ankle_deg, ~LIFTERS),
    )
    return [
        Torque(
            f"{whose}{name}",
            torque.value,
            members,
            ankle=rad(at.value) if at else 0.0,
            knee=rad(knee.value) if knee else 0.0,
            cv=float(np.hypot(cv, near_zero / torque.value)),
            affected=affected,
        )
        for name, torque, at, members in given
        if torque is not None and torque.value > 0.0
    ]


def draw_forces_given(prior: LogForce, torques: list[Torque], gains: list[Floats], sampler: PriorSampler) -> Floats:
    """Full forces of every draw, conditioned on torques with the draw's own gains.

    Parameters
    ----------
    prior : joint normal of ln F0
    torques : K readings
    gains : K arrays (N, 12), torque per newton of F0 in each test [N.m/N], 0 outside the group
    sampler : keeps what the draw and its exact density differ by

    Returns
    -------
    (N, 12) full forces [N]
    """
    start = np.log(prior.draw(sampler.draws, sampler.stream("full force")))
    if not torques:
        return np.exp(start)
    gain, error = np.stack(gains, axis=1), np.array([torque.error for torque in torques])
    seen = np.log([torque.torque for torque in torques])
    at = _mode(prior, gain, seen, error)
    shares, predicted = _shares(gain, at)
    linear = seen - predicted + np.einsum("nki,ni->nk", shares, at)
    noise = error * sampler.stream("full force: reading").standard_normal(linear.shape)
    tied = shares @ prior.covariance
    spread = tied @ np.swapaxes(shares, 1, 2) + np.diag(error**2)
    gap = linear - np.einsum("nki,ni->nk", shares, start) - noise
    drawn: Floats = start + np.einsum("nki,nk->ni", tied, np.linalg.solve(spread, gap[:, :, None])[:, :, 0])
    value = _log_normal(linear - shares @ prior.mean, spread)
    value -= np.sum(-0.5 * ((linear - np.einsum("nki,ni->nk", shares, drawn)) / error) ** 2 - np.log(error), axis=1)
    sampler.log_likelihoods.append(LogLikelihood(PROPOSAL, value, 0.0, value, ""))
    return np.exp(drawn)


def _mode(prior: LogForce, gain: Floats, seen: Floats, error: Floats) -> Floats:
    """Most likely ln F0 (N, 12) of every draw, by Gauss-Newton."""
    at: Floats = np.broadcast_to(prior.mean, (len(gain), len(prior.mean)))
    for _ in range(PASSES):
        shares, predicted = _shares(gain, at)
        gap = seen - predicted + np.einsum("nki,ni->nk", shares, at - prior.mean)
        tied = shares @ prior.covariance
        spread = tied @ np.swapaxes(shares, 1, 2) + np.diag(error**2)
        at = prior.mean + np.einsum("nki,nk->ni", tied, np.linalg.solve(spread, gap[:, :, None])[:, :, 0])
    return at


def _shares(gain: Floats, log_force: Floats) -> tuple[Floats, Floats]:
    """Share of each muscle in each torque (N, K, 12), and the logarithm of the torque (N, K)."""
    parts = gain * np.exp(log_force)[:, None, :]
    total = parts.sum(axis=2)
    return parts / total[:, :, None], np.log(total)


def _log_normal(gap: Floats, covariance: Floats) -> Floats:
    """Logarithm (N,) of a normal density around 0 without its constant: gaps (N, K), covariances (N, K, K)."""
    _, log_determinant = np.linalg.slogdet(covariance)
    square = np.einsum("nk,nk->n", gap, np.linalg.solve(covariance, gap[:, :, None])[:, :, 0])
    out: Floats = -0.5 * (square + log_determinant)
    return out


def observe_torque(torque: Torque, predicted: Floats, sampler: PriorSampler) -> None:
    """Take down how well the torque of every draw (N,) [N.m] agrees with the one that was read."""
    sampler.observe(torque.name, float(np.log(torque.torque)), np.log(predicted), torque.error, "ln N.m")
