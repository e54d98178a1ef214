"""The muscles of each draw: size and set of the fibres, full force brought to torque, strength now.

Full force: joint distribution of the twelve muscles, each group brought to the norm of sex and age, then conditioned,
draw by draw, on every torque that was read on either leg. Strength now: share of that muscle's own normal.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from sinewright.anatomy.skeleton import Skeleton
from sinewright.arrays import Bools, Floats, Ints
from sinewright.case import Case, Muscle, Number
from sinewright.doubt.fibres import fibres, no_scatter, scatter
from sinewright.doubt.prior import PriorSampler
from sinewright.doubt.torques import LIFTERS, Limb, Torque, draw_forces_given, observe_torque, torques_of
from sinewright.muscle.architecture import MuscleData, body, leg_muscles
from sinewright.muscle.names import CALF, DEEP, FRONT, LEG_MUSCLES, SIDE
from sinewright.muscle.norms import CHILD_BELOW, Group, Sex, age_factor, torque_norm
from sinewright.muscle.now import GONE, MOST, Reading, StrengthNow, strength_now
from sinewright.muscle.strength import LogForce, prior
from sinewright.solve.native import effort_moments, native_lengths
from sinewright.units import m

CHILD_DOUBT = "own-child-torque-doubt"
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
    """Muscles (N, 12, 7) and capacities (N, 12) as ``solve.leg`` wants them, normal lifting moment (N,),
    moments (N, 12, 2) of full unharmed effort at neutral about both axes [N.m], and notes."""

    muscles: Floats
    capacity: Floats
    knee_moment_arm: Floats
    normal_lift: Floats
    moments: Floats
    how: dict[str, str]
    warnings: tuple[str, ...]


def draw_forces(
    case: Case, skeleton: Skeleton, typical: Skeleton, elements: Ints, native: Ints, sampler: PriorSampler
) -> Forces:
    """Draw the muscles of one patient. ``typical`` is the same patient without scatter (one leg)."""
    size = body(*_body_of(case))
    data = leg_muscles(size.factor)
    muscles = fibres(data, scatter(data, sampler), skeleton, elements=elements, native=native, sampler=sampler)
    knee_moment_arm = m(np.maximum(sampler.normal("own-gastrocnemius-knee-arm"), 5.0))
    plain = fibres(data, no_scatter(data, sampler), typical, elements=elements, native=native, sampler=sampler)
    middle = Limb(typical, plain, np.zeros(1), elements, native)
    belief, warnings = _norms(case, data, middle.gains(0.0, 0.0)[0], sampler)
    n = sampler.draws
    at_neutral = native_lengths(skeleton, elements, native, np.zeros(n), np.zeros(n))
    per_newton = effort_moments(muscles, at_neutral, np.zeros(at_neutral.shape[:2]), case.plan.tendon != "rigid")
    strengths = {name: _now(case, name, None, sampler) for name in LEG_MUSCLES if not _rests_on_model(case, name)}
    limb = Limb(skeleton, muscles, knee_moment_arm, elements, native)
    muscles[:, :, 0] = _full_forces(case, belief, limb, _capacity(strengths, n), sampler)
    moments = per_newton * muscles[:, :, :1]
    for i, name in enumerate(LEG_MUSCLES):
        if name not in strengths:
            turns = name in SIDE or name in DEEP
            strengths[name] = _now(case, name, np.abs(moments[:, i, 1 if turns else 0]), sampler)
    capacity = _capacity(strengths, n)
    for torque in _with_a_pull(torques_of(case, sampler), capacity):
        observe_torque(torque, limb.torque(torque, capacity), sampler)
    told = [f"{TITLES[name]}: {text}" for name in LEG_MUSCLES for text in strengths[name].warnings]
    sampler.note(*(row for name in LEG_MUSCLES for row in strengths[name].rows))
    how = {name: strengths[name].how for name in LEG_MUSCLES}
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


def _full_forces(case: Case, belief: LogForce, limb: Limb, capacity: Floats, sampler: PriorSampler) -> Floats:
    """Full forces [N] (N, 12), conditioned on every torque whose gains do not hang on them.

    A muscle that was measured against the model alone is the stronger the weaker its full force is drawn: a torque of
    the leg to be operated on to which it adds is left to the weights.
    """
    rests = np.array([_rests_on_model(case, name) for name in LEG_MUSCLES])
    torques = [
        torque
        for torque in _with_a_pull(torques_of(case, sampler), np.where(rests, 1.0, capacity))
        if torque.name not in sampler.without and not (torque.affected and np.any(torque.members & rests))
    ]
    return draw_forces_given(belief, torques, [limb.gains_in(torque, capacity) for torque in torques], sampler)


def _with_a_pull(torques: list[Torque], capacity: Floats) -> list[Torque]:
    """The torques that every draw can give: of the leg to be operated on only where a muscle is left to give it."""
    return [t for t in torques if not t.affected or np.all(capacity[:, t.members].sum(axis=1) > 0.0)]


def _capacity(strengths: Mapping[str, StrengthNow], draws: int) -> Floats:
    """Share of own normal strength of every muscle (N, 12); 0 for those not known yet."""
    out = np.zeros((draws, len(LEG_MUSCLES)))
    for i, name in enumerate(LEG_MUSCLES):
        if name in strengths:
            out[:, i] = np.minimum(strengths[name].fraction, MOST)
    return out


def _body_of(case: Case) -> tuple[float, float]:
    height, mass = case.person.height_cm, case.person.mass_kg
    return (height.value / 100.0 if height else 1.71, mass.value if mass else 72.0)


def _norms(
    case: Case, data: Mapping[str, MuscleData], gain: Floats, sampler: PriorSampler
) -> tuple[LogForce, tuple[str, ...]]:
    """ln F0 brought to the norms of both groups, and warnings; ``gain`` (12,): of the middle leg [N.m per N]."""
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
        torque = gain * np.exp(mean)
        rest = torque[members & ~scaled].sum()
        mean[scaled] += np.log((norm.value - rest) / torque[scaled].sum())
        warnings += norm.warnings
    sampler.note(*start.rows)
    if child and case.torque.other.dorsiflexion_Nm and case.torque.other.plantarflexion_Nm:
        warnings = []  # both groups were read on the other leg: no norm is left in the answer
    doubt = start.covariance + _tension_doubt(sampler) + (sampler.value(CHILD_DOUBT) ** 2 if child else 0.0)
    belief = LogForce(mean, doubt, start.rows)
    return belief, tuple(dict.fromkeys(warnings))


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


def _reading(force: Number | None, lever: Number | None, torque: Number | None) -> Reading | None:
    if force is None and torque is None:
        return None
    return Reading(
        torque=torque.value if torque else None,
        force=force.value if force else None,
        lever=m(lever.value) if lever else None,
    )


def _rests_on_model(case: Case, name: str) -> bool:
    """Whether a muscle was measured, but against nothing except what this leg's model says of it."""
    muscle: Muscle = getattr(case.muscles, name)
    here = _reading(muscle.force_N, muscle.lever_mm, muscle.torque_Nm)
    other = _reading(muscle.other_side_force_N, muscle.other_side_lever_mm, muscle.other_side_torque_Nm)
    return muscle.state not in GONE and other is None and here is not None and here.moment() is not None


def _now(case: Case, name: str, model: Floats | None, sampler: PriorSampler) -> StrengthNow:
    """Strength now of one muscle: ``model`` (N,) is the torque of the same test if it were unharmed [N.m], for one that
    was measured against nothing else."""
    muscle: Muscle = getattr(case.muscles, name)
    return strength_now(
        sampler.draws,
        sampler.stream(f"now {name}"),
        state=muscle.state,
        role="dorsiflexor" if name in FRONT else "donor",
        grade=muscle.grade.value if muscle.grade else None,
        here=_reading(muscle.force_N, muscle.lever_mm, muscle.torque_Nm),
        other=_reading(muscle.other_side_force_N, muscle.other_side_lever_mm, muscle.other_side_torque_Nm),
        model_torque=None if model is None else np.maximum(model, 0.1),
    )
