"""Full force of the leg's muscles as a joint distribution, conditioned on measured torque.

ln F0 of the twelve muscles is Gaussian: one part shared by the limb, one by the compartment, one of its own
(rows arch-sampling-ln-f0-sd-*). A group torque T = sum gain_i F0_i is a linear measurement of ln F0 near any
point, with weights w_i = share of muscle i in T, so conditioning is a Gaussian update, repeated at the new
mean until it no longer moves. The split inside a group keeps its doubt: a draw's torque agrees with an
exactly known group torque to about 1 %.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from sinewright.arrays import Floats, symmetric_root
from sinewright.errors import InputError, SolveError
from sinewright.muscle.architecture import MuscleData, full_forces
from sinewright.muscle.names import LEG_MUSCLES, compartment
from sinewright.reference import load

SAMPLING_ROWS = (
    "arch-sampling-ln-f0-sd-limb-size",
    "arch-sampling-ln-f0-sd-compartment",
    "arch-sampling-ln-f0-sd-muscle",
)
PASSES, SETTLED = 50, 1e-10


@dataclass(frozen=True, slots=True)
class LogForce:
    """Gaussian of ln(F0 / 1 N): `mean` (12,), `covariance` (12, 12), ordered as LEG_MUSCLES; `rows` used."""

    mean: Floats
    covariance: Floats
    rows: tuple[str, ...]

    def draw(self, draws: int, rng: np.random.Generator) -> Floats:
        """Return F0 [N] (draws, 12); a singular covariance is allowed."""
        normals = rng.standard_normal((draws, self.mean.size))
        return np.asarray(np.exp(self.mean + normals @ symmetric_root(self.covariance)))


def prior(muscles: Mapping[str, MuscleData]) -> LogForce:
    """Return the distribution of ln F0 between people around the F0 of `muscles` (from `leg_muscles`).

    The doubt about specific tension (CV 0.18, row st-recommended-median) is left out: it acts on all muscles
    alike and goes away once a group is brought to a measured or normed torque.
    """
    limb, shared, own = (load().fit_value(row) for row in SAMPLING_ROWS)
    spaces = np.array([compartment(name) for name in LEG_MUSCLES])
    same = spaces[:, None] == spaces[None, :]
    covariance = limb**2 + shared**2 * same + own**2 * np.eye(len(LEG_MUSCLES))
    return LogForce(np.log(np.array(full_forces(muscles))), covariance, SAMPLING_ROWS)


def condition(
    mean: ArrayLike, covariance: ArrayLike, A: ArrayLike, y: ArrayLike, noise_sd: ArrayLike
) -> tuple[Floats, Floats]:
    """Return mean (n,) and covariance (n, n) of x ~ N(mean, covariance) given y = A x + noise, exactly.

    A (k, n), y (k,), noise_sd (k,) > 0, independent. Gain K = C A' (A C A' + R)^-1; the covariance is kept
    symmetric by (I - K A) C (I - K A)' + K R K'.
    """
    m, C, A, y = (np.asarray(x, dtype=np.float64) for x in (mean, covariance, A, y))
    R = np.diag(np.asarray(noise_sd, dtype=np.float64) ** 2)
    K = np.linalg.solve(A @ C @ A.T + R, A @ C).T
    rest = np.eye(m.size) - K @ A
    return m + K @ (y - A @ m), rest @ C @ rest.T + K @ R @ K.T


def condition_on_torque(
    belief: LogForce, gain: ArrayLike, torque: ArrayLike, cv: ArrayLike, rows: tuple[str, ...] = ()
) -> LogForce:
    """Return `belief` given torques measured on this person, with a log-normal error.

    gain (k, 12) [N.m per N of F0]: arm x active force x cos(slant) in the test posture, 0 outside the group;
    torque (k,) [N.m] > 0; cv (k,) coefficient of variation of the measurement. For norms see `match_norm`.
    Raises InputError for a torque or a model torque that is not positive, SolveError if it does not settle.
    """
    noise = _log_sd(cv)

    def update(A: Floats, y: Floats) -> tuple[Floats, Floats]:
        return condition(belief.mean, belief.covariance, A, y, noise)

    return _settled(belief, gain, torque, update, rows)


def match_norm(
    belief: LogForce, gain: ArrayLike, torque: ArrayLike, cv: ArrayLike, rows: tuple[str, ...] = ()
) -> LogForce:
    """Return `belief` with the group torques distributed as the norms say; the split inside a group is kept.

    A norm is no measurement of this person, so its spread replaces that of the model torque: ln T becomes
    normal around ln `torque` [N.m] (k,) with the spread between people `cv` (k,), correlated between groups
    as in `belief`; muscles given T stay as they were. `gain` and errors as in `condition_on_torque`.
    """
    sd = _log_sd(cv)

    def update(A: Floats, y: Floats) -> tuple[Floats, Floats]:
        C = belief.covariance
        S = A @ C @ A.T
        K = np.linalg.solve(S, A @ C).T
        scale = sd / np.sqrt(np.diag(S))
        return belief.mean + K @ (y - A @ belief.mean), C + K @ (S * np.outer(scale, scale) - S) @ K.T

    return _settled(belief, gain, torque, update, rows)


def _log_sd(cv: ArrayLike) -> Floats:
    """Standard deviation of the logarithm of a log-normal with coefficient of variation `cv`."""
    return np.asarray(np.sqrt(np.log1p(np.square(np.atleast_1d(np.asarray(cv, dtype=np.float64))))))


def _settled(
    belief: LogForce,
    gain: ArrayLike,
    torque: ArrayLike,
    update: Callable[[Floats, Floats], tuple[Floats, Floats]],
    rows: tuple[str, ...],
) -> LogForce:
    """Repeat a linear update y = A x of ln F0 = x at its own new mean until the mean stands still.

    The mean of ln T lies above ln T at the mean by (w' diag C - w' C w)/2 to second order (about 0.7 %).
    """
    G, T = (np.asarray(x, dtype=np.float64) for x in (np.atleast_2d(gain), np.atleast_1d(torque)))
    if not np.all(T > 0.0):
        raise InputError("torque_Nm", np.array2string(T), "more than 0 Nm", "leave out a torque of nothing")
    mean, C = belief.mean, belief.covariance
    for _ in range(PASSES):
        parts = G * np.exp(mean)
        total = parts.sum(axis=1)
        if not np.all(total > 0.0):
            raise InputError("torque_Nm", "a group without a pull", "muscles with an arm", "check the group")
        A = parts / total[:, None]
        bend = 0.5 * (A @ np.diag(C) - np.einsum("ki,ij,kj->k", A, C, A))
        new, C = update(A, np.log(T / total) - bend + A @ mean)
        moved, mean = float(np.max(np.abs(new - mean))), new
        if moved < SETTLED:
            return LogForce(mean, C, belief.rows + rows)
    raise SolveError(f"The muscle forces do not settle on the given torque after {PASSES} passes.")


def group_scale(model_torque: float, target_torque: float) -> float:
    """Return the factor on every F0 of a group that brings `model_torque` to `target_torque` [N.m]."""
    if not (model_torque > 0.0 and target_torque > 0.0):
        given = f"model {model_torque:g} Nm, target {target_torque:g} Nm"
        raise InputError("group torque", given, "both more than 0 Nm", "check the group's muscles and the norm")
    return target_torque / model_torque
