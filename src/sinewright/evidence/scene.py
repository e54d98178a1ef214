"""Everything that the checks share, built once: the reference leg, groups of virtual legs, answers after surgery.

The reference leg is the reference man without scatter. Groups are virtual legs of invented people with a fixed seed;
a mixed group holds as many legs of women as of men, in turns.
"""

from collections.abc import Sequence
from functools import cached_property

import numpy as np

from sinewright.anatomy.fit import moment_arms, reference_joint_axes
from sinewright.anatomy.foot_axis import FootAxis, fit_foot_axis
from sinewright.anatomy.path import POSE_SIZE, bend, length_and_moment_arms, set_pose
from sinewright.anatomy.skeleton import Skeleton, build, clear_cylinders, parse_path, reference_sizes
from sinewright.arrays import Floats
from sinewright.choose.sewing import as_sewn, sewn_for
from sinewright.doubt.prior import PriorSampler
from sinewright.doubt.stiffness import printed_limits
from sinewright.doubt.virtual import draw, skeleton_of
from sinewright.evidence.people import healthy, palsy
from sinewright.muscle.names import LEG_MUSCLES
from sinewright.reference import load
from sinewright.solve import passive_torque as r
from sinewright.solve.answer import answer
from sinewright.solve.leg import Legs
from sinewright.solve.native import effort_moments, native_lengths
from sinewright.transfer.catalogue import catalogue, path_table, pulling_paths
from sinewright.transfer.plans import SewnOperation, build_plans, native_ends
from sinewright.units import GRAVITY, mm, rad

SEED = 20
LEGS = 200  # of each sex
FIRST_GASTROCNEMIUS = 10
REFERENCE_MASS = 75.0  # kg, of the rows pa-hanging-foot-* and pa-static-*


class Scene:
    """Shared ground of all checks. Every part is built when first asked for, then kept."""

    @cached_property
    def leg(self) -> Skeleton:
        """The reference man's leg, without scatter."""
        return clear_cylinders(build(reference_sizes()[None], reference_joint_axes(load())), pulling_paths())

    @cached_property
    def foot_axis(self) -> FootAxis:
        """The functional axis of the reference man's foot."""
        return fit_foot_axis(load(), self.leg)

    @cached_property
    def men(self) -> Legs:
        """Legs of one invented young man, all muscles at their own normal."""
        return _at_normal(draw(healthy(True), LEGS, SEED).legs)

    @cached_property
    def women(self) -> Legs:
        """Legs of one invented young woman, all muscles at their own normal."""
        return _at_normal(draw(healthy(False), LEGS, SEED).legs)

    @cached_property
    def both(self) -> Legs:
        """Men and women in turns."""
        return in_turns(self.men, self.women)

    @cached_property
    def palsy(self) -> Legs:
        """Complete common peroneal palsy, donors of grade 5, passive range not measured."""
        return in_turns(draw(palsy(True), LEGS, SEED).legs, draw(palsy(False), LEGS, SEED).legs)

    @cached_property
    def palsy_supple(self) -> Legs:
        """The same with 10 deg of passive dorsiflexion, knee straight (pa-precondition-passive-df-preferred)."""
        up = load().row("pa-precondition-passive-df-preferred").value
        return in_turns(draw(palsy(True, up), LEGS, SEED).legs, draw(palsy(False, up), LEGS, SEED).legs)

    @cached_property
    def unmoved(self) -> Floats:
        """Answers (N, 12) of the healthy group with nothing moved."""
        nothing = as_sewn(healthy(True), None)
        return _answers(self.both, [nothing])[:, 0]

    @cached_property
    def operated(self) -> dict[str, Floats]:
        """Answers (N, 12) by operation on the palsy group: every single tibialis posterior transfer."""
        return _operate(self.palsy)

    @cached_property
    def operated_supple(self) -> dict[str, Floats]:
        """The same on the group with 10 deg of passive dorsiflexion."""
        return _operate(self.palsy_supple)

    @cached_property
    def printed_passive(self) -> Floats:
        """Resistance (17,) of the printed mean curve (rows pa-riener-*) with the foot of a man of 75 kg."""
        limits, out = printed_limits(PriorSampler(1, SEED)), np.zeros(r.PASSIVE_SIZE)
        out[r.UPPER_RATE], out[r.LOWER_RATE] = limits["upper_rate"] / rad(1.0), limits["lower_rate"] / rad(1.0)
        out[r.UPPER], out[r.LOWER] = rad(limits["upper"]), rad(limits["lower"])
        out[r.UPPER_KNEE], out[r.LOWER_KNEE] = limits["upper_knee"], limits["lower_knee"]
        out[r.OFFSET] = limits["offset"]
        value, size = load().fit_value, reference_sizes()
        along = value("anth-foot-com-men-deleva1996") - value("own-ankle-axis-from-heel")
        out[r.WEIGHT] = REFERENCE_MASS * value("anth-foot-mass-fraction-men-deleva1996") * GRAVITY
        out[r.MASS_X], out[r.MASS_Y] = along * size[0], -value("own-foot-mass-depth") * size[1]
        for column, row, sign in ((r.INWARD, "inversion", 1.0), (r.OUTWARD, "eversion", -1.0)):
            out[column] = sign * rad(value(f"own-subtalar-{row}-limit"))
        out[r.SUBTALAR_STIFFNESS] = value("own-subtalar-stiffness")
        out[r.STOP_RATE] = 1.0 / rad(value("own-subtalar-stop-angle"))
        _, ankle, inward = native_lengths(
            self.leg, path_table().elements, native_ends()[[LEG_MUSCLES.index("soleus")]], np.zeros(1), np.zeros(1)
        )[0, 0]
        out[r.CALF_SUBTALAR] = -value("own-calf-share-of-passive") * inward / ankle
        return out

    def moment_arms_mm(self, muscle: str, ankle_deg: float, subtalar_deg: float = 0.0) -> Floats:
        """Length, ankle arm and subtalar arm [mm] of a native path of the reference leg."""
        out: Floats = mm(moment_arms(self.leg, muscle, rad(ankle_deg), rad(subtalar_deg)))
        return out

    def way_mm(self, text: str, ankle_deg: float, subtalar_deg: float = 0.0) -> Floats:
        """The same for any strand, written in steps."""
        return mm(way(self.leg, text, rad(ankle_deg), rad(subtalar_deg)))

    def turning(self, text: str) -> float:
        """Total turning [rad] of a strand of the reference leg at neutral."""
        elements, pose = parse_path(text), np.empty(POSE_SIZE)
        set_pose(self.leg.joint[0], 0.0, 0.0, pose)
        return float(bend(elements, 0, len(elements), self.leg.points[0], self.leg.cylinders[0], pose))


def way(leg: Skeleton, text: str, ankle: float, subtalar: float) -> Floats:
    """Length and both arms [m] of a strand of the first leg at joint angles [rad]."""
    elements, pose = parse_path(text), np.empty(POSE_SIZE)
    set_pose(leg.joint[0], ankle, subtalar, pose)
    return np.array(
        length_and_moment_arms(elements, 0, len(elements), leg.points[0], leg.cylinders[0], leg.joint[0], pose)
    )


def lengths_of(legs: Legs, ankle_deg: float | Floats, subtalar_deg: float = 0.0) -> Floats:
    """Length and both arms [m] of all muscles in place, (N, 12, 3)."""
    n = len(legs.points)
    angles = np.zeros(n) + rad(np.asarray(ankle_deg)), np.full(n, rad(subtalar_deg))
    return native_lengths(skeleton_of(legs), path_table().elements, native_ends(), *angles)


def knee_shift(legs: Legs, knee_deg: float) -> Floats:
    """Length that knee flexion takes off each muscle (N, 12) [m]."""
    out = np.zeros((len(legs.points), len(LEG_MUSCLES)))
    out[:, FIRST_GASTROCNEMIUS:] = legs.knee_moment_arm[:, None] * rad(knee_deg)
    return out


def efforts(legs: Legs, ankle_deg: float, subtalar_deg: float = 0.0, knee_deg: float = 0.0) -> Floats:
    """Moments [N.m] about both axes of full effort, muscle by muscle, (N, 12, 2)."""
    return effort_moments(legs.muscles, lengths_of(legs, ankle_deg, subtalar_deg), knee_shift(legs, knee_deg))


def in_turns(a: Legs, b: Legs) -> Legs:
    """Two groups of the same size as one, in turns."""
    return Legs(*(np.stack([x, y], axis=1).reshape(-1, *x.shape[1:]) for x, y in zip(a, b, strict=True)))


def without_judged_losses(legs: Legs) -> Legs:
    """The legs with scar and drive left out (both are judgements, see the rows tq-factor-chain-*)."""
    losses = legs.losses.copy()
    losses[:, :2] = 1.0
    return legs._replace(losses=losses)


def operation(name: str) -> str:
    """Full id of a single tibialis posterior operation from "route.recipient"."""
    return f"tibialis_posterior.{name}"


def run_operations(legs: Legs, names: Sequence[str]) -> dict[str, Floats]:
    """Answers (N, 12) by operation id, each sewn as tight as the program's own rule says; NaN where none was found."""
    moved = {o.id: o for o in catalogue()}
    sewn = sewn_for(palsy(True), legs, [moved[name] for name in names])
    out = _answers(legs, sewn)
    return {name: out[:, i] for i, name in enumerate(names)}


def _operate(legs: Legs) -> dict[str, Floats]:
    single = [o.id for o in catalogue() if len(o.parts) == 1 and o.parts[0].donor.muscle == "tibialis_posterior"]
    return run_operations(legs, single)


def _answers(legs: Legs, sewn: Sequence[SewnOperation]) -> Floats:
    out, failed = answer(legs, build_plans(sewn))
    return np.where((failed > 0)[:, :, None], np.nan, out)


def _at_normal(legs: Legs) -> Legs:
    return legs._replace(capacity=np.ones_like(legs.capacity))
