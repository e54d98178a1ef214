"""The muscles of each draw: size and set of the fibres, full force brought to torque, strength now.

Full force: joint distribution of the twelve muscles, each group brought to the norm of sex and age, then conditioned
on the torque of the other leg where it was measured. Strength now: share of that muscle's own normal.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from sinewright.anatomy.skeleton import Skeleton
from sinewright.arrays import Bools, Floats, Ints
from sinewright.case import Case, Muscle, Number
from sinewright.case.examination import Strength
from sinewright.doubt.fibres import fibres, no_scatter, scatter
from sinewright.doubt.prior import LogLikelihood, PriorSampler
from sinewright.muscle.architecture import MuscleData, body, leg_muscles
from sinewright.muscle.names import CALF, DEEP, FRONT, LEG_MUSCLES, SIDE
from sinewright.muscle.norms import CHILD_BELOW, Group, Sex, age_factor, torque_norm
from sinewright.muscle.now import MOST, Method, Reading, StrengthNow, measurement_cv, strength_now
from sinewright.muscle.strength import LogForce, condition_on_torque, prior
from sinewright.reference import load
from sinewright.solve.native import effort_moments, native_lengths
from sinewright.units import m, rad

LIFTERS = np.array([name in FRONT for name in LEG_MUSCLES])
FIRST_GASTROCNEMIUS = 10
OTHER_LEG, CHILD_DOUBT = "me-other-leg-not-perfect", "own-child-torque-doubt"
TRICEPS = np.array([name in CALF for name in LEG_MUSCLES])
# a group with a torque norm, all muscles that give it, and those among them that are brought to it: the deep and outer
# muscles have no norm of their own and keep the recommended specific tension
GROUPS: tuple[tuple[Group, Bools, Bools], ...] = (
    ("dorsiflexors", LIFTERS, LIFTERS),
    ("plantarflexors", ~LIFTERS, TRICEPS),
)
TITLES = {name: name.replace("_", " ") for name in LEG_MUSCLES}


@dataclass(frozen=True)
class Forces:
    """Muscles (N, 12, 7) and ceilings (N, 12) as ``solve.leg`` wants them, normal lifting moment (N,),
    moments (N, 12, 2) of full unharmed effort at neutral about both axes [N.m], and notes."""

    muscles: Floats
    capacity: Floats
    knee_moment_arm: Floats
    normal_lift: Floats
    moments: Floats
    how: dict[str, str]
    warnings: tuple[str, ...]


def draw_forces(
    case: Case, skeleton: Skeleton, middle: Skeleton, elements: Ints, native: Ints, sampler: PriorSampler
) -> Forces:
    """Draw the muscles of one patient. ``middle`` is the same patient without scatter (one leg)."""
    size = body(*_body_of(case))
    data = leg_muscles(size.factor)
    muscles = fibres(data, scatter(data, sampler), skeleton, elements=elements, native=native, sampler=sampler)
    knee_moment_arm = m(np.maximum(sampler.normal("own-gastrocnemius-knee-arm"), 5.0))
    belief, gains, readings, warnings = _belief(case, data, middle, elements=elements, native=native, sampler=sampler)
    muscles[:, :, 0] = belief.draw(sampler.draws, sampler.stream("full force"))
    for reading, gain in zip(readings, gains, strict=True):  # met with the middle leg's arms, weighed with its own
        own = np.log(
            _own_torque(reading, muscles, knee_moment_arm, skeleton=skeleton, elements=elements, native=native)
        )
        seen, used = np.log(reading.torque), np.log(muscles[:, :, 0] @ gain)
        score = 0.5 * (((seen - used) / reading.error) ** 2 - ((seen - own) / reading.error) ** 2)
        sampler.log_likelihoods.append(LogLikelihood(reading.name, score, float(seen), own, "ln N.m"))
    at_neutral = native_lengths(skeleton, elements, native, np.zeros(sampler.draws), np.zeros(sampler.draws))
    moments = effort_moments(muscles, at_neutral, np.zeros(at_neutral.shape[:2]), case.plan.tendon != "rigid")
    capacity, how, told = _capacities(case, moments, sampler)
    normal = moments[:, LIFTERS, 0].sum(axis=1)
    return Forces(
        muscles,
        capacity,
        knee_moment_arm,
        normal_lift=normal,
        moments=moments,
        how=how,
        warnings=(*size.warnings, *warnings, *told),
    )


def _body_of(case: Case) -> tuple[float, float]:
    height, mass = case.person.height_cm, case.person.mass_kg
    return (height.value / 100.0 if height else 1.71, mass.value if mass else 72.0)


def _gain(muscles: Floats, skeleton: Skeleton, elements: Ints, native: Ints, ankle: float, knee: float) -> Floats:
    """Ankle moment of full effort per newton of F0 (12,) for the first leg, at an ankle and knee angle [rad]."""
    lengths = native_lengths(skeleton, elements, native, np.array([ankle]), np.zeros(1))
    shift = np.zeros((1, len(LEG_MUSCLES)))
    shift[:, FIRST_GASTROCNEMIUS:] = m(load().fit_value("own-gastrocnemius-knee-arm")) * knee
    out: Floats = effort_moments(muscles, lengths, shift)[0, :, 0]
    return out


def _belief(
    case: Case, data: Mapping[str, MuscleData], middle: Skeleton, elements: Ints, native: Ints, sampler: PriorSampler
) -> tuple[LogForce, list[Floats], list[Torque], tuple[str, ...]]:
    """ln F0 brought to the norms of both groups, then conditioned on the other leg's torques; those, with the gains
    (12,) of the middle leg in each test [N.m per N]; warnings."""
    muscles = fibres(data, no_scatter(data, sampler), middle, elements=elements, native=native, sampler=sampler)
    gain = _gain(muscles, middle, elements, native=native, ankle=0.0, knee=0.0)
    start = prior(data)
    age = case.person.age_years.value if case.person.age_years else None
    without_norm = np.log(_ageing(case.person.sex, age, sampler))
    child = age is not None and age < CHILD_BELOW
    if child:  # the growth of the whole leg already holds what body size would take off
        without_norm -= np.log(body(*_body_of(case)).factor)
    mean = start.mean + np.where(LIFTERS | TRICEPS, 0.0, without_norm)
    warnings: list[str] = []
    for group, members, scaled in GROUPS:
        norm = torque_norm(group, case.person.sex, age)
        sampler.note(*norm.rows)
        torque = np.abs(gain) * np.exp(mean)
        rest = torque[members & ~scaled].sum()
        mean[scaled] += np.log((norm.value - rest) / torque[scaled].sum())
        warnings += norm.warnings
    sampler.note(*start.rows)
    doubt = start.covariance + _tension_doubt(sampler) + (sampler.value(CHILD_DOUBT) ** 2 if child else 0.0)
    belief = LogForce(mean, doubt, start.rows)
    readings = _other_leg(case.torque.other, sampler)
    if child and len(readings) == len(GROUPS):
        warnings = []  # both groups were read on the other leg: no norm is left in the answer
    gains = [
        np.where(r.members, np.abs(_gain(muscles, middle, elements, native=native, ankle=r.ankle, knee=r.knee)), 0.0)
        for r in readings
    ]
    if readings:
        torques, cvs = np.array([r.torque for r in readings]), np.array([r.cv for r in readings])
        belief = condition_on_torque(belief, np.array(gains), torques, cvs)
    return belief, gains, readings, tuple(dict.fromkeys(warnings))


def _ageing(sex: Sex | None, age: float | None, sampler: PriorSampler) -> float:
    """Strength at this age over that of a young adult, for muscles without a norm: they age like the calf."""
    sexes: tuple[Sex, ...] = (sex,) if sex else ("female", "male")
    found = [age_factor("plantarflexors", each, age) for each in sexes]
    sampler.note(*(row for _, rows in found for row in rows))
    return sum(factor for factor, _ in found) / len(found)


def _tension_doubt(sampler: PriorSampler) -> Floats:
    """What is added to the covariance of ln F0: muscles without a norm share the doubt about specific tension."""
    without = ~(LIFTERS | TRICEPS)
    row = sampler.row("st-recommended-median")
    out: Floats = float(np.log1p(((row.sd or 0.0) / row.value) ** 2)) * np.outer(without, without)
    return out


@dataclass(frozen=True)
class Torque:
    """A torque read on the other leg [N.m]: muscles that give it, ankle and knee angle [rad], cv of the reading."""

    name: str
    torque: float
    members: Bools
    ankle: float
    knee: float
    cv: float

    @property
    def error(self) -> float:
        """Standard deviation of the logarithm of the reading."""
        return float(np.sqrt(np.log1p(self.cv**2)))


def _other_leg(found: Strength, sampler: PriorSampler) -> list[Torque]:
    """Dorsiflexion and plantarflexion torque of the other leg; no two legs are alike (15 %)."""
    cv, rows = measurement_cv(method_of(found))
    width = float(np.hypot(cv, sampler.value(OTHER_LEG) / 100.0))
    knee = rad(found.knee_deg.value) if found.knee_deg else 0.0
    readings = (
        ("other leg's lifting torque", found.dorsiflexion_Nm, found.dorsiflexion_tested_at_ankle_deg, LIFTERS),
        ("other leg's push-down torque", found.plantarflexion_Nm, found.plantarflexion_tested_at_ankle_deg, ~LIFTERS),
    )
    out = [
        Torque(name, torque.value, members, ankle=rad(at.value) if at else 0.0, knee=knee, cv=width)
        for name, torque, at, members in readings
        if torque is not None and torque.value > 0.0
    ]
    if out:
        sampler.note(*rows)
    return out


def _own_torque(
    reading: Torque, muscles: Floats, knee_moment_arm: Floats, skeleton: Skeleton, elements: Ints, native: Ints
) -> Floats:
    """What each draw, unharmed, would give in the same test [N.m], (N,)."""
    n = len(muscles)
    lengths = native_lengths(skeleton, elements, native, np.full(n, reading.ankle), np.zeros(n))
    shift = np.zeros(lengths.shape[:2])
    shift[:, FIRST_GASTROCNEMIUS:] = knee_moment_arm[:, None] * reading.knee
    moments = effort_moments(muscles, lengths, shift)[:, :, 0]
    out: Floats = np.abs(moments[:, reading.members]).sum(axis=1)
    return out


def method_of(found: Strength) -> Method:
    """How the torques of a leg were read; a hand-held dynamometer where nothing is said."""
    return "fixed" if found.instrument in ("isokinetic", "isometric") else "hand-held"


def _reading(force: Number | None, lever: Number | None, torque: Number | None) -> Reading | None:
    if force is None and torque is None:
        return None
    return Reading(
        torque=torque.value if torque else None,
        force=force.value if force else None,
        lever=m(lever.value) if lever else None,
    )


def _now(case: Case, name: str, model: Floats, sampler: PriorSampler) -> StrengthNow:
    """Strength now of one muscle: ``model`` (N,) is the torque of the same test if it were unharmed [N.m]."""
    muscle: Muscle = getattr(case.muscles, name)
    return strength_now(
        sampler.draws,
        sampler.stream(f"now {name}"),
        state=muscle.state,
        role="dorsiflexor" if name in FRONT else "donor",
        grade=muscle.grade.value if muscle.grade else None,
        here=_reading(muscle.force_N, muscle.lever_mm, muscle.torque_Nm),
        other=_reading(muscle.other_side_force_N, muscle.other_side_lever_mm, muscle.other_side_torque_Nm),
        model_torque=np.maximum(model, 0.1),
    )


def _capacities(case: Case, moments: Floats, sampler: PriorSampler) -> tuple[Floats, dict[str, str], tuple[str, ...]]:
    """Share of own normal strength of every muscle (N, 12), how each is known, warnings."""
    out, how, warnings = np.zeros((sampler.draws, len(LEG_MUSCLES))), {}, []
    for i, name in enumerate(LEG_MUSCLES):
        turns = name in SIDE or name in DEEP
        model = np.abs(moments[:, i, 1 if turns else 0])
        now = _now(case, name, model, sampler)
        sampler.note(*now.rows)
        out[:, i], how[name] = np.minimum(now.fraction, MOST), now.how
        warnings += [f"{TITLES[name]}: {text}" for text in now.warnings]
    return out, how, tuple(warnings)
