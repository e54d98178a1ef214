"""Invented patients as virtual legs, and the actuators of one leg set out again from the definitions in the docs."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

import numpy as np

from sinewright.anatomy.path import POSE_SIZE, Triple, bend, length_and_moment_arms, set_pose
from sinewright.arrays import Floats
from sinewright.case import Case, parse_case, read_case
from sinewright.doubt.prior import PriorSampler
from sinewright.doubt.proposal import propose
from sinewright.doubt.sample import Sample
from sinewright.doubt.virtual import Virtual
from sinewright.muscle.equilibrium import MuscleTendon
from sinewright.muscle.names import LEG_MUSCLES
from sinewright.solve import leg as leg_
from sinewright.solve.actuators import (
    Actuators,
    actuator_rows,
    muscle_tension,
    path_of,
    set_donor,
    set_native,
)
from sinewright.solve.balance import Limb, balance, moments
from sinewright.solve.leg import Body, Legs
from sinewright.transfer.catalogue import Operation, catalogue
from sinewright.transfer.plans import NATIVE, Operations, SewnOperation, build_plans
from sinewright.units import m, rad

EXAMPLES = {path.stem: path for path in sorted((Path(__file__).parents[1] / "examples").glob("*.toml"))}
HANGING, LYING = (0.0, -1.0, 0.0), (-1.0, 0.0, 0.0)  # gravity in the shank frame
STRAIGHT, BENT = 0.0, rad(90.0)
BLANK = 'schema_version = 1\npseudonym = "ZZ-9"\ninvented = true\nside = "right"\n'


@cache
def example(stem: str) -> Case:
    """One of the invented cases of the package."""
    return read_case(EXAMPLES[stem])


def blank(text: str = "") -> Case:
    """A case with nothing examined but what ``text`` (tables) gives."""
    return parse_case(BLANK + text)


@cache
def people(stem: str, n: int = 200, seed: int = 3) -> Legs:
    """Proposed virtual legs of an example (not yet weighed by resting angles): wider than what a plan uses."""
    return propose(example(stem), PriorSampler(n, seed))[0]


def virtual_of(legs: Legs) -> Virtual:
    """Legs that were drawn one by one, as a ruler or a table takes them."""
    return Virtual(legs, legs, (), {}, Sample.independent(len(legs.points)), (), {})


def flawless(legs: Legs) -> Legs:
    """The same legs after surgery without loss, settling, rubbing or error of execution."""
    losses = np.zeros_like(legs.losses)
    losses[:, [leg_.SCAR, leg_.LEARNED, leg_.SCARRED_MASS]] = 1.0
    return legs._replace(losses=losses, execution=np.zeros_like(legs.execution))


def one(legs: Legs, i: int) -> Legs:
    """The ``i``-th leg alone."""
    return Legs(*(part[i : i + 1] for part in legs))


@cache
def operation(id: str) -> Operation:
    """An operation of the catalogue by its id."""
    return {moved.id: moved for moved in catalogue()}[id]


def plan(
    moved: Operation | str | None, set_stretch_mm: float = 0.0, ankle_deg: float = 8.0, knee_deg: float = 30.0
) -> SewnOperation:
    """An operation as sewn, the hindfoot straight."""
    found = operation(moved) if isinstance(moved, str) else moved
    return SewnOperation(found, rad(ankle_deg), 0.0, rad(knee_deg), m(set_stretch_mm))


def own_path(muscle: str) -> Operations:
    """Plans of one operation that 'moves' a muscle to its own path, sewn at ankle 0, subtalar 0, knee 30, stretch 0."""
    plans, i = build_plans([plan(None, ankle_deg=0.0)]), LEG_MUSCLES.index(muscle)
    plans.donor[0, 0], plans.path_count[0, 0], plans.shares[0, 0, 0], plans.taken[0, i] = i, 1, 1.0, 1
    for ends in (plans.ends[0, 0, 0], plans.reach[0, 0], plans.cut[0, 0]):
        ends[:] = plans.native[i]
    return plans


@dataclass(frozen=True)
class LegModel:
    """One leg with its actuators at rest as sewn, before settling."""

    body: Body
    actuators: Actuators
    offset: Floats
    activation: Floats
    poses: Floats

    def moments(self, ankle: float, subtalar: float, knee: float, down: Triple) -> Floats:
        """Both moments and the three slopes."""
        return np.array(moments(ankle, subtalar, Limb(knee, down), self.actuators, self.body, self.poses))

    def balance(self, ankle: float, subtalar: float, knee: float, down: Triple) -> tuple[float, float, float, int, int]:
        """See ``solve.balance``."""
        return balance(ankle, subtalar, Limb(knee, down), self.actuators, self.body, self.poses)

    def length(self, i: int, ankle: float, subtalar: float, knee: float) -> float:
        """Muscle-tendon length of an actuator [m]."""
        pose = np.empty(POSE_SIZE)
        set_pose(self.body.joint, ankle, subtalar, pose)
        return float(path_of(self.actuators[i], knee, self.body, pose)[0])

    def tension(self, i: int, length: float) -> float:
        """What an actuator adds [N]: whole (0), what activation adds (1), minus its passive part (2)."""
        row, elastic = self.actuators[i], self.body.elastic
        muscle, counting = MuscleTendon(*row["muscle"]), row["counting"]
        working = muscle_tension(muscle, float(row["activation"]), length, elastic)[0] if counting != 2 else 0.0
        idle = muscle_tension(muscle, 0.0, length, elastic)[0] if counting != 0 else 0.0
        return float(working - idle)

    def ask(self, lift: bool = False, push: bool = False, capacity: Floats | None = None) -> LegModel:
        """The same leg when the lifters (with the moved muscles) or the calf contract as far as they can."""
        actuators = self.actuators.copy()
        if lift and capacity is not None:
            actuators["activation"][:4], actuators["activation"][NATIVE:] = capacity[:4], self.activation
        if push and capacity is not None:
            actuators["activation"][9:NATIVE] = capacity[9:]
        return replace(self, actuators=actuators)


def path_length(body: Body, first: int, last: int, ankle: float, subtalar: float) -> float:
    """Length of one path [m]."""
    pose = np.empty(POSE_SIZE)
    set_pose(body.joint, ankle, subtalar, pose)
    return float(length_and_moment_arms(body.elements, first, last, body.points, body.cylinders, body.joint, pose)[0])


def turning(body: Body, first: int, last: int) -> float:
    """Total turning of one path at neutral [rad]."""
    pose = np.empty(POSE_SIZE)
    set_pose(body.joint, 0.0, 0.0, pose)
    return float(bend(body.elements, first, last, body.points, body.cylinders, pose))


def shares_of(legs: Legs, plans: Operations, i: int = 0, c: int = 0, p: int = 0) -> Floats:
    """Shares of the paths as sewn: two limbs are never tensioned quite alike."""
    shares = plans.shares[c, p].copy()
    if plans.path_count[c, p] == 2:
        shares[0] = np.clip(shares[0] + legs.losses[i, leg_.UNEVEN], 0.1, 0.9)
        shares[1] = 1.0 - shares[0]
    return shares


def leg_model(legs: Legs, plans: Operations, i: int = 0, c: int = 0, elastic: bool = True) -> LegModel:
    """Leg ``i`` with operation ``c``: lengths by the definition of the set stretch, activations by the losses."""
    body = Body(plans.elements, legs.points[i], legs.cylinders[i], legs.joint[i], legs.passive[i], elastic)
    moved = [p for p in range(2) if plans.donor[c, p] >= 0]
    actuators = actuator_rows()[: NATIVE + len(moved)]
    set_native(legs.muscles[i], legs.knee_moment_arm[i], plans.native, plans.taken[c], actuators)
    fix, losses = plans.fixing[c] + legs.execution[i, 1:], legs.losses[i]
    offset, activation = np.zeros(len(moved)), np.zeros(len(moved))
    for k, p in enumerate(moved):
        muscle, count, ends = plans.donor[c, p], plans.path_count[c, p], plans.ends[c, p]
        shares = shares_of(legs, plans, i, c, p)
        set_donor(legs.muscles[i, muscle], count, ends, shares, actuators[NATIVE + k])
        rest = path_length(body, *plans.native[muscle], 0.0, 0.0)
        new = sum(shares[s] * path_length(body, *ends[s], fix[0], fix[1]) for s in range(count))
        offset[k] = rest + plans.stretch[c] + legs.execution[i, 0] - new
        actuators["offset"][NATIVE + k] = offset[k]
        planned = plans.shares[c, p]
        more = sum(planned[s] * turning(body, *ends[s]) for s in range(count)) - turning(body, *plans.native[muscle])
        mass = losses[leg_.SCARRED_MASS] if plans.scarred[c, p] else 1.0
        passes = np.exp(-losses[leg_.FRICTION] * max(more, 0.0))
        activation[k] = legs.capacity[i, muscle] * losses[leg_.SCAR] * losses[leg_.LEARNED] * mass * passes
    return LegModel(body, actuators, offset, activation, np.empty((3, POSE_SIZE)))
