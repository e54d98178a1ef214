"""The fibres of each draw: length, slack by the posture of the measured specimens, series strain, passive fibre."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from sinewright.anatomy.skeleton import Skeleton
from sinewright.arrays import Bools, Floats, Ints
from sinewright.doubt.prior import PriorSampler
from sinewright.muscle.architecture import MuscleData
from sinewright.muscle.curves import PASSIVE_SOFT_E, PASSIVE_STIFF_E, PASSIVE_STIFF_K, tendon_start
from sinewright.muscle.names import LEG_MUSCLES, row_name
from sinewright.reference import load
from sinewright.solve.native import native_lengths
from sinewright.units import m, rad

SOFT_SHARE = 0.5  # half of the virtual legs get the soft passive fibre
LEAST_SLACK = m(20.0)
LEAST_STRAIN, MOST_STRAIN = 0.004, 0.15  # series strain at full force, inside what the tendon curve takes


@dataclass(frozen=True)
class Scatter:
    """What varies between legs: fixed posture of the specimens [rad], and per muscle (N, 12) factors and lengths."""

    ankle: Floats
    fibre: Floats
    sarcomere_um: Floats
    stiffness: Floats
    soft: Bools


def scatter(data: Mapping[str, MuscleData], sampler: PriorSampler) -> Scatter:
    n = sampler.draws

    def per_muscle(what: str, sd: Callable[[MuscleData], float]) -> Floats:
        return np.stack([sd(data[k]) * sampler.stream(f"{what} {k}").standard_normal(n) for k in LEG_MUSCLES], axis=1)

    sarcomere = np.array([data[k].sarcomere_um for k in LEG_MUSCLES])
    return Scatter(
        rad(sampler.normal("own-specimen-ankle-angle")),
        np.exp(per_muscle("fibre", lambda muscle: muscle.ln_l0_sd)),
        sarcomere + per_muscle("sarcomere", lambda muscle: _sarcomere_sd(muscle.name)),
        np.exp(per_muscle("tendon", lambda muscle: muscle.ln_tendon_stiffness_sd)),
        sampler.stream("passive fibre").random(n) < SOFT_SHARE,
    )


def no_scatter(data: Mapping[str, MuscleData], sampler: PriorSampler) -> Scatter:
    ones = np.ones((1, len(LEG_MUSCLES)))
    sarcomere = np.array([[data[k].sarcomere_um for k in LEG_MUSCLES]])
    ankle = np.array([rad(sampler.value("own-specimen-ankle-angle"))])
    return Scatter(ankle, ones, sarcomere, ones, np.zeros(1, dtype=np.bool_))


def _sarcomere_sd(name: str) -> float:
    twin = "extensor_digitorum_longus" if name == "peroneus_tertius" else name
    return load().row(f"arch-{row_name(twin)}-sarcomere-length-ward2009").sd or 0.0


def fibres(
    data: Mapping[str, MuscleData],
    scatter: Scatter,
    skeleton: Skeleton,
    elements: Ints,
    native: Ints,
    sampler: PriorSampler,
) -> Floats:
    """Muscles (N, 12, 7) with a force of 1 N: fibre, slack by the row ten-slack-length-rule, series strain, passive."""
    n = len(scatter.ankle)
    lengths = native_lengths(skeleton, elements, native, scatter.ankle, np.zeros(n))
    norm = sampler.value("curve-reference-sarcomere-length")
    out = np.ones((n, len(LEG_MUSCLES), 7))
    for i, name in enumerate(LEG_MUSCLES):
        muscle = data[name]
        sampler.note(*muscle.rows)
        fibre = muscle.l0 * scatter.fibre[:, i]
        taken = fibre * (scatter.sarcomere_um[:, i] / norm) * np.cos(muscle.pen0)
        slack = np.maximum(lengths[:, i, 0] - taken, LEAST_SLACK)
        free = np.minimum(muscle.free_length, slack)
        strain = (muscle.free_strain * free + muscle.aponeurosis_strain * (slack - free)) / slack
        out[:, i, 1], out[:, i, 2], out[:, i, 3] = fibre, slack, muscle.pen0
        out[:, i, 4] = np.clip(strain / scatter.stiffness[:, i], LEAST_STRAIN, MOST_STRAIN)
        out[:, i, 2] /= np.array([tendon_start(e) for e in out[:, i, 4]])
        out[:, i, 5] = PASSIVE_STIFF_K
        out[:, i, 6] = np.where(scatter.soft, PASSIVE_SOFT_E, PASSIVE_STIFF_E)
    return out
