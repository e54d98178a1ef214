"""Legs proposed for one patient: they agree with each measured size, limit, torque and strength on its own.

Each quantity has a random stream of its own name, so that adding one leaves the others where they were. A left leg is
the right one here: the case is mirrored at the border, nothing inside knows the side.
"""

from __future__ import annotations

import numpy as np

from sinewright.anatomy.fit import reference_joint_axes
from sinewright.anatomy.joints import ankle_axis, subtalar_axis
from sinewright.anatomy.sizes import READING_ERROR, draw_body
from sinewright.anatomy.skeleton import SIZE_NAMES, Skeleton, build, clear_cylinders, landmarks
from sinewright.arrays import Bools, Floats
from sinewright.case import Case
from sinewright.doubt.force import Forces, draw_forces
from sinewright.doubt.prior import PriorSampler
from sinewright.doubt.sample import middle
from sinewright.doubt.stiffness import draw_passive
from sinewright.muscle.names import FRONT, LEG_MUSCLES
from sinewright.reference import load
from sinewright.solve.leg import (
    EXECUTION,
    FRICTION,
    LEARNED,
    LOSSES,
    SCAR,
    SCARRED_MASS,
    SETTLING_BONE,
    SETTLING_WEAVE,
    TOE_TAKE_UP,
    UNEVEN,
    Legs,
)
from sinewright.solve.native import native_lengths
from sinewright.solve.passive_torque import CALF_SUBTALAR
from sinewright.transfer.catalogue import path_table, pulling_paths
from sinewright.transfer.plans import native_ends
from sinewright.units import m, rad

HALVINGS, IN_FRONT_DEG = 3, (-40.0, 0.0, 25.0)  # of own shifts; ankle angles at which the front tendons are looked at
AXIS_ROWS = (
    "ax-talocrural-frontal-inman1976",
    "ax-talocrural-transverse-ismaninman1969",
    "ax-subtalar-inclination-krahenbuhl2017",
    "ax-subtalar-deviation-krahenbuhl2017",
)
AXIS_LIMITS = ((70.0, 96.0), (66.0, 102.0), (18.0, 70.0), (2.0, 48.0))
CASE_SIZES = {
    "foot_length": "foot_length_mm",
    "malleolus_height": "lateral_malleolus_height_mm",
    "dorsum_height": "dorsum_height_mm",
    "foot_breadth": "foot_breadth_mm",
    "malleolar_breadth": "bimalleolar_breadth_mm",
    "shank_length": "shank_length_mm",
}
SETTLING_WEAVE_ROW = "rep-tp-weave-pb-displacement-marsland2018"
SETTLING_BONE_ROW = "rep-tp-screw-cuboid-displacement-marsland2018"


def measured_sizes(case: Case) -> dict[str, float]:
    """Sizes of the leg given in the case [m], by the names of ``anatomy.sizes``."""
    out = {}
    for name, field in CASE_SIZES.items():
        found = getattr(case.leg, field)
        if found is not None:
            out[name] = m(found.value)
    if case.person.height_cm is not None:
        out["stature"] = case.person.height_cm.value / 100.0
    return out


def sizes_of(case: Case, sampler: PriorSampler) -> dict[str, Floats]:
    """Sizes and stature (N,) [m] that ``propose`` gives its legs; a man's where the sex is not known."""
    measured = measured_sizes(case)
    if measured:
        sampler.note(READING_ERROR)
    return draw_body(case.person.sex or "male", measured, sampler.draws, sampler.stream("sizes"))


def propose(case: Case, sampler: PriorSampler) -> tuple[Legs, Forces]:
    """Legs that agree with each measured size, limit and strength on its own; how well, ``sampler`` keeps."""
    drawn = sizes_of(case, sampler)
    sizes = np.stack([drawn[name] for name in SIZE_NAMES], axis=1)
    skeleton = clear_cylinders(in_front(sizes, _axes(sampler), _shifts(sampler)), pulling_paths())
    typical = clear_cylinders(build(middle(sizes)[None], reference_joint_axes(load())), pulling_paths())
    passive = draw_passive(case, sizes, sampler)
    passive[:, CALF_SUBTALAR] = _calf_subtalar(skeleton, sampler)
    forces = draw_forces(case, skeleton, typical, elements=path_table().elements, native=native_ends(), sampler=sampler)
    legs = Legs(
        skeleton.points,
        skeleton.cylinders,
        skeleton.joint,
        passive=passive,
        muscles=forces.muscles,
        capacity=forces.capacity,
        knee_moment_arm=forces.knee_moment_arm,
        losses=_losses(sampler),
        execution=_execution(sampler),
        normal_lift=forces.normal_lift,
    )
    return legs, forces


def in_front(sizes: Floats, joint_axes: Floats, shifts: Floats) -> Skeleton:
    """The skeletons of some draws, arguments as for ``anatomy.skeleton.build``.

    Bone lies between the tendons in front and the ankle: a draw whose landmarks would let one of them pass behind the
    axis in some posture up to 25 degrees up has its own shifts halved until none does, three times at most.
    """
    skeleton = build(sizes, joint_axes, shifts)
    for _ in range(HALVINGS):
        behind = np.flatnonzero(_behind(skeleton))
        if not behind.size:
            break
        shifts = shifts.copy()
        shifts[behind] *= 0.5
        nearer = build(sizes[behind], joint_axes[behind], shifts[behind])
        for name in ("points", "cylinders", "joint"):
            getattr(skeleton, name)[behind] = getattr(nearer, name)
    return skeleton


def _behind(skeleton: Skeleton) -> Bools:
    """Draws (N,) with a front tendon behind the ankle axis somewhere in the range."""
    n = len(skeleton.points)
    ends = native_ends()[[LEG_MUSCLES.index(name) for name in FRONT]]
    out = np.zeros(n, dtype=np.bool_)
    for ankle in IN_FRONT_DEG:
        moment_arms = native_lengths(skeleton, path_table().elements, ends, np.full(n, rad(ankle)), np.zeros(n))[
            :, :, 1
        ]
        out |= moment_arms.min(axis=1) <= 0.0
    return out


def _calf_subtalar(skeleton: Skeleton, sampler: PriorSampler) -> Floats:
    """How far a turn of the hindfoot slackens the passive calf: ratio of the heel tendon's arms, times the share of the
    passive resistance that the calf carries."""
    n = sampler.draws
    ends = native_ends()[[LEG_MUSCLES.index("soleus")]]
    moment_arms = native_lengths(skeleton, path_table().elements, ends, np.zeros(n), np.zeros(n))[:, 0]
    share = np.clip(sampler.normal("own-calf-share-of-passive"), 0.0, 1.0)
    out: Floats = share * np.clip(-moment_arms[:, 2] / moment_arms[:, 1], -0.6, 0.6)
    return out


def _axes(sampler: PriorSampler) -> Floats:
    """Unit vectors of both axes, (N, 6), each angle within the range that was seen."""
    a, b, c, d = (
        rad(np.clip(sampler.normal(row), *limits)) for row, limits in zip(AXIS_ROWS, AXIS_LIMITS, strict=True)
    )
    return np.concatenate([ankle_axis(a, b), subtalar_axis(c, d)], axis=1)


def _shifts(sampler: PriorSampler) -> Floats:
    """Displacement (N, P, 3) of every landmark by its own spread [m]."""
    marks = landmarks()
    out = np.empty((sampler.draws, len(marks), 3))
    for i, mark in enumerate(marks):
        stream = sampler.stream(f"landmark {mark.name}")
        out[:, i] = mark.spread * np.clip(stream.standard_normal((sampler.draws, 3)), -2.5, 2.5)
    return out


def _losses(sampler: PriorSampler) -> Floats:
    out = np.empty((sampler.draws, LOSSES))
    out[:, SCAR] = sampler.between("tq-factor-chain-scar-gliding")
    out[:, LEARNED] = sampler.between("tq-factor-chain-drive-phase")
    out[:, SETTLING_WEAVE] = m(sampler.lognormal(SETTLING_WEAVE_ROW))
    out[:, SETTLING_BONE] = m(sampler.lognormal(SETTLING_BONE_ROW))
    out[:, SCARRED_MASS] = sampler.between("own-scarred-recipient-kept")
    out[:, UNEVEN] = sampler.normal("own-split-share-sd") - sampler.value("own-split-share-sd")
    out[:, FRICTION] = np.maximum(sampler.normal("own-rubbing"), 0.0)
    out[:, TOE_TAKE_UP] = m(np.maximum(sampler.normal("own-toe-take-up"), 0.0))
    return out


def _execution(sampler: PriorSampler) -> Floats:
    out = np.empty((sampler.draws, EXECUTION))
    out[:, 0] = m(sampler.normal("own-stretch-error"))
    for i, what in enumerate(("ankle", "subtalar", "knee"), start=1):
        sd = sampler.row("own-posture-error").sd or 0.0
        out[:, i] = rad(sd * sampler.stream(f"posture {what}").standard_normal(sampler.draws))
    return out
