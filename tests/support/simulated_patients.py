"""A simulated patient: a leg drawn from what is believed before any examination, and the examination it would show.

Simulation is how intervals are proved: over many simulated patients the true answer must take every rank among the
virtual legs equally often (rank-based calibration).
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from sinewright.arrays import Floats
from sinewright.case import Case, changed
from sinewright.choose.stance import full_efforts
from sinewright.doubt.prior import PriorSampler
from sinewright.doubt.proposal import propose
from sinewright.doubt.stiffness import ARC_SHARE, GONIOMETER_DOWN, GONIOMETER_UP, KNEE_BENT_DEG, LEAST_PUSH, PUSH_ERROR
from sinewright.doubt.torques import ARM_DOUBT, LIFTERS
from sinewright.doubt.virtual import draw
from sinewright.errors import DoubtError, InputError
from sinewright.muscle.names import LEG_MUSCLES
from sinewright.muscle.now import MOST, OTHER_SIDE_ROW, measurement_cv
from sinewright.solve import answer as a
from sinewright.solve.leg import Legs
from sinewright.solve.passive_torque import (
    INWARD,
    LOWER,
    LOWER_RATE,
    OFFSET,
    OUTWARD,
    REFERENCE_TORQUE,
    UPPER,
    UPPER_KNEE,
    UPPER_RATE,
)
from sinewright.transfer.plans import SewnOperation, build_plans
from sinewright.units import deg, rad

LEAST_SHARE = 0.15  # of the donor's own normal: weaker simulated donors would be set aside anyway


@dataclass(frozen=True)
class Simulated:
    """The examination as a case, and the one true leg behind it."""

    case: Case
    truth: Legs


def simulate(template: Case, donor: str, seed: int) -> Simulated:
    """One simulated patient of a template without an examination; its ``donor`` is measured against the other side."""
    sampler = PriorSampler(1, seed)
    truth, _ = propose(template, sampler)
    rng = np.random.default_rng([seed, 7])
    at = LEG_MUSCLES.index(donor)
    capacity = truth.capacity.copy()
    capacity[0, at] = rng.uniform(LEAST_SHARE, MOST)
    truth = truth._replace(capacity=capacity)
    found: dict[str, float | str] = {**_limits(truth, sampler, rng), **_strength(truth, donor, at, sampler, rng)}
    found["plan.calf_procedure"] = "none"  # the truth is the leg as it was examined, a short calf left as it is
    return Simulated(changed(template, found), truth)


def _limits(truth: Legs, sampler: PriorSampler, rng: np.random.Generator) -> dict[str, float]:
    """Passive limits, push and hanging angle as an examiner would read them."""
    r = truth.passive[0]
    row = sampler.row("own-examiner-torque")
    width = np.sqrt(np.log1p(((row.sd or 0.0) / row.value) ** 2))
    push = max(row.value * float(np.exp(width * rng.standard_normal())), LEAST_PUSH)
    up = r[UPPER] + np.log((push - r[OFFSET]) / REFERENCE_TORQUE) / r[UPPER_RATE]
    down = r[LOWER] - np.log((push + r[OFFSET]) / REFERENCE_TORQUE) / r[LOWER_RATE]
    share = float(np.clip(sampler.normal("own-subtalar-share-of-clinical-arc")[0], *ARC_SHARE))
    error_up, error_down = sampler.row(GONIOMETER_UP).high, sampler.row(GONIOMETER_DOWN).high
    error_side, error_rest = sampler.value("own-subtalar-limit-error"), sampler.value("own-rest-reading-error")
    hanging, _ = a.answer(truth, build_plans([SewnOperation(None, 0.0, 0.0, 0.0, 0.0)]))
    bent = up + r[UPPER_KNEE] * rad(KNEE_BENT_DEG)
    true_mean = {
        "dorsiflexion_knee_straight_deg": (deg(up), error_up),
        "dorsiflexion_knee_bent_deg": (deg(bent), error_up),
        "plantarflexion_limit_down_deg": (-deg(down), error_down),
        "inversion_limit_deg": (deg(r[INWARD]) / share, error_side),
        "eversion_limit_out_deg": (-deg(r[OUTWARD]) / share, error_side),
        "resting_hanging_deg": (deg(hanging[0, 0, a.REST]), error_rest),
    }
    out = {f"range.affected.{k}": float(mean + sd * rng.standard_normal()) for k, (mean, sd) in true_mean.items()}
    out["range.affected.examiner_torque_Nm"] = push * float(np.exp(PUSH_ERROR * rng.standard_normal()))
    return out


def _strength(truth: Legs, donor: str, at: int, sampler: PriorSampler, rng: np.random.Generator) -> dict[str, float]:
    """Force of the donor on both sides, torques of the other leg, and the push-down torque of the leg itself."""
    cv, _ = measurement_cv("hand-held")
    side = sampler.value(OTHER_SIDE_ROW) / 100.0
    scatter = np.sqrt(2.0 * np.log1p(cv**2) + np.log1p(side**2))
    ratio = float(truth.capacity[0, at] * np.exp(scatter * rng.standard_normal()))
    torque_sd, own_sd = np.sqrt(np.log1p(cv**2 + side**2)), np.sqrt(np.log1p(cv**2 + ARM_DOUBT**2))
    efforts = np.abs(full_efforts(truth)[0, :, 0])
    push, push_now = (float(part[~LIFTERS].sum()) for part in (efforts, efforts * truth.capacity[0]))
    return {
        f"muscles.{donor}.other_side_force_N": 100.0,
        f"muscles.{donor}.force_N": 100.0 * ratio,
        "torque.other.dorsiflexion_Nm": float(truth.normal_lift[0] * np.exp(torque_sd * rng.standard_normal())),
        "torque.other.plantarflexion_Nm": push * float(np.exp(torque_sd * rng.standard_normal())),
        "torque.affected.plantarflexion_Nm": push_now * float(np.exp(own_sd * rng.standard_normal())),
    }


def next_possible(template: Case, donor: str, seeds: Iterator[int]) -> Simulated:
    """The next simulated patient whose findings a case accepts; choosing by the findings leaves ranks untouched."""
    for seed in seeds:
        try:
            return simulate(template, donor, seed)
        except InputError:
            continue
    raise DoubtError("no simulated patient shows findings that a case accepts")


@dataclass(frozen=True)
class Ranks:
    """Rank of the truth among the virtual legs, 0..1, for lift and rest (patients, 2); effective sample
    sizes (patients,);
    ``refused``: patients whose examination too few virtual legs agreed with, so that nothing was answered."""

    rank: Floats
    effective_sample_size: Floats
    refused: int


def ranks(template: Case, donor: str, plan: SewnOperation, patients: int, draws: int, seed: int) -> Ranks:
    """Rank the truth of many simulated patients among their virtual legs.

    The truth is answered with its own losses and surgical execution, as the virtual legs are with theirs.
    """
    plans, columns, refused = build_plans([plan]), [a.LIFT, a.REST], 0
    out: list[Floats] = []
    effective: list[float] = []
    seeds = iter(range(seed, seed + 100_000))
    while len(out) < patients:
        patient = next_possible(template, donor, seeds)
        try:
            virtual = draw(patient.case, draws, seed + 100_000 + len(out))
        except DoubtError:
            refused += 1
            continue
        true, _ = a.answer(patient.truth, plans)
        answers, failed = a.answer(virtual.legs, plans)
        good = answers[failed[:, 0] == 0, 0][:, columns]
        out.append((good < true[0, 0, columns]).mean(axis=0))
        effective.append(virtual.sample.effective_sample_size)
    return Ranks(np.array(out), np.array(effective), refused)
