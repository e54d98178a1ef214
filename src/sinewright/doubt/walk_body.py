"""The lengths of a walking leg, its foot with the shoe, and what loads the heel: drawn for each leg."""

from dataclasses import dataclass

import numpy as np

from sinewright.anatomy.sizes import DRAWN, population, reading_error
from sinewright.arrays import Floats
from sinewright.case import Case
from sinewright.doubt.prior import PriorSampler
from sinewright.doubt.proposal import measured_sizes
from sinewright.solve.leg import Legs
from sinewright.solve.passive_torque import MASS_X, MASS_Y, WEIGHT
from sinewright.solve.walk import CENTRE, FOOT, INERTIA, MARKS, MASS
from sinewright.units import GRAVITY, m


@dataclass(frozen=True)
class Sizes:
    """Lengths of each leg [m], all (N,)."""

    foot_length: Floats
    foot_breadth: Floats
    ankle_height: Floats
    shank: Floats
    thigh: Floats


def draw_sizes_of(case: Case, legs: Legs, sampler: PriorSampler) -> Sizes:
    """Lengths that the legs do not carry, given each leg's own foot length and what was measured."""
    word = _word(case)
    along = sampler.value(f"anth-foot-com-{word}-deleva1996") - sampler.value("own-ankle-axis-from-heel")
    foot_length = legs.passive[:, MASS_X] / along
    who, measured = population(case.person.sex or "male"), measured_sizes(case)
    known = [i for i, name in enumerate(DRAWN) if name in measured and name != "foot_length"]
    own = DRAWN.index("foot_length")
    seen = np.column_stack([foot_length, *(np.full(sampler.draws, measured[DRAWN[i]]) for i in known)])
    at = [own, *known]
    error = np.diag([1e-12, *([reading_error() ** 2] * len(known))])
    gain = np.linalg.solve(who.covariance[np.ix_(at, at)] + error, who.covariance[at]).T
    mean = who.mean + (seen - who.mean[at]) @ gain.T
    values, vectors = np.linalg.eigh(who.covariance - gain @ who.covariance[at])
    z = sampler.stream("walking sizes").standard_normal(mean.shape)
    drawn = np.maximum(mean + (z * np.sqrt(np.maximum(values, 0.0))) @ vectors.T, 0.6 * who.mean)
    size = {name: drawn[:, i] for i, name in enumerate(DRAWN)}
    height = size["malleolus_height"] * sampler.normal("own-ankle-height-over-malleolus-height")
    over = m(
        sampler.value(f"anth-lateral-femoral-epicondyle-height-{word}-ansur2")
        - sampler.value(f"anth-tibial-plateau-height-{word}-ansur2")
    )
    shank = size["shank_length"] + size["malleolus_height"] + over - height
    ratio = sampler.value("anth-hip-height-over-stature-drillis1966") - sampler.value(
        "anth-knee-height-over-stature-drillis1966"
    )
    return Sizes(foot_length, size["foot_breadth"], height, shank, ratio * size["stature"])


def _word(case: Case) -> str:
    return "women" if case.person.sex == "female" else "men"


def sole_marks(sizes: Sizes, sampler: PriorSampler) -> Floats:
    """Tip of the toes, inner and outer ball of each foot at neutral, (N, 3, 3) [m]."""
    behind = sampler.value("own-ankle-axis-from-heel")
    ball = sampler.value("anth-first-mtp-position-over-foot-length-men-ansur2") - behind
    out = np.zeros((sampler.draws, MARKS, 3))
    out[:, :, 1] = -sizes.ankle_height[:, None]
    out[:, 0, 0] = (1.0 - behind) * sizes.foot_length
    out[:, 0, 1] += m(np.maximum(sampler.normal("own-swing-toe-rise"), 0.0))
    out[:, 1:, 0] = ball * sizes.foot_length[:, None]
    out[:, 1, 2], out[:, 2, 2] = -0.5 * sizes.foot_breadth, 0.5 * sizes.foot_breadth
    return out


def body_mass(case: Case, legs: Legs, sampler: PriorSampler) -> Floats:
    share = sampler.value(f"anth-foot-mass-fraction-{_word(case)}-deleva1996")
    out: Floats = legs.passive[:, WEIGHT] / GRAVITY / share
    return out


def foot_with_shoe(case: Case, legs: Legs, sizes: Sizes, sampler: PriorSampler) -> Floats:
    """Mass, centre and inertia of foot and shoe together, (N, 10)."""
    word = _word(case)
    names = ("longitudinal", "sagittal", "transverse")
    bare = np.array([sampler.value(f"anth-foot-gyration-{name}-{word}-deleva1996") for name in names])
    length, n = sizes.foot_length, sampler.draws
    gyration = sampler.normal("own-swing-shoe-gyration") * length
    shoe = np.stack([0.25 * sizes.foot_breadth, gyration, gyration], axis=1)
    along = sampler.normal("own-swing-shoe-centre") - sampler.value("own-ankle-axis-from-heel")
    depth = np.clip(sampler.normal("own-swing-shoe-depth"), 0.4, 1.0)
    parts = (
        (
            legs.passive[:, WEIGHT] / GRAVITY,
            _point(legs.passive[:, MASS_X], legs.passive[:, MASS_Y]),
            length[:, None] * bare,
        ),
        (sampler.between("own-swing-shoe-mass"), _point(along * length, -depth * sizes.ankle_height), shoe),
    )
    mass = parts[0][0] + parts[1][0]
    centre = sum(one[:, None] * at for one, at, _ in parts) / mass[:, None]
    out = np.zeros((n, FOOT))
    out[:, MASS], out[:, CENTRE : CENTRE + 3] = mass, centre
    for one, at, radius in parts:
        d = at - centre
        out[:, INERTIA : INERTIA + 3] += one[:, None] * (radius**2 + (d**2).sum(axis=1, keepdims=True) - d**2)
        for k, (i, j) in enumerate(((0, 1), (0, 2), (1, 2))):
            out[:, INERTIA + 3 + k] -= one * d[:, i] * d[:, j]
    return out


def _point(x: Floats, y: Floats) -> Floats:
    return np.stack([x, y, np.zeros_like(x)], axis=1)


def heel_load(sizes: Sizes, sampler: PriorSampler) -> Floats:
    point = sampler.value("own-ankle-axis-from-heel") - sampler.between("own-swing-heel-point")
    return np.stack([point * sizes.foot_length, sampler.between("own-swing-heel-load")], axis=1)
