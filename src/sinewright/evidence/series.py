"""Fibres and series elements of virtual legs at work: lengths, stretch and stiffness, as imaging reads them."""

from typing import NamedTuple

import numpy as np

from sinewright.arrays import Floats
from sinewright.evidence.scene import knee_shift, lengths_of
from sinewright.muscle.curves import tendon_ratio_and_slope
from sinewright.muscle.equilibrium import MuscleTendon, elastic_force
from sinewright.muscle.names import CALF, LEG_MUSCLES
from sinewright.solve.leg import Legs


class Working(NamedTuple):
    """One muscle of N legs: fibre [m], fibre over optimum, slant [rad], stretch of the series [m], force [N]."""

    fibre: Floats
    norm: Floats
    slant: Floats
    stretch: Floats
    force: Floats


def at_work(legs: Legs, muscle: str, effort: float, ankle_deg: float | Floats, knee_deg: float = 0.0) -> Working:
    """Fibre and series element of one muscle at one effort (0 to 1) and posture, knee straight unless said."""
    i = LEG_MUSCLES.index(muscle)
    whole = lengths_of(legs, ankle_deg)[:, i, 0] - knee_shift(legs, knee_deg)[:, i]
    out = np.empty((len(whole), 5))
    for n, row in enumerate(legs.muscles[:, i]):
        constants = MuscleTendon(*row)
        fibre, slack, pennation = constants.optimal_fibre, constants.tendon_slack, constants.pennation
        force, length, _, _ = elastic_force(constants, whole[n], effort)
        thickness = fibre * np.sin(pennation)
        along = np.sqrt(max(length**2 - thickness**2, 0.0))
        lean = np.arctan2(thickness, along)
        out[n] = length, length / fibre, lean, whole[n] - along - slack, force
    return Working(*out.T)


def calf_series_stiffness(legs: Legs, torque: float) -> float:
    """Stiffness [N.m/rad] of the calf's series elements of the middle leg when they carry a torque [N.m] at neutral.

    Each muscle carries the same share of its full force; k = sum of k_i r_i^2.
    """
    lengths = lengths_of(legs, 0.0)
    at = [LEG_MUSCLES.index(name) for name in CALF]
    f0, slack, strain = legs.muscles[:, at, 0], legs.muscles[:, at, 2], legs.muscles[:, at, 4]
    arm = lengths[:, at, 1]
    share = torque / np.abs(f0 * arm).sum(axis=1)
    out = np.zeros(len(share))
    for n in range(len(share)):
        for k in range(len(at)):
            slope = tendon_ratio_and_slope(float(share[n]), float(strain[n, k]))[1]
            out[n] += f0[n, k] * slope / slack[n, k] * arm[n, k] ** 2
    return float(np.median(out))
