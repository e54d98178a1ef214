"""What the junction carries in each activity, from the model, with all its doubt.

Everything is taken as sewn, before the junction settles: what settles carries less. The moved muscle is taken without
the losses of scar and learning, since the junction must stand what the muscle can do.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import pi
from typing import Literal, get_args

import numpy as np

from sinewright.arrays import Floats
from sinewright.case import Case
from sinewright.doubt.prior import PriorSampler
from sinewright.reference import Row, load
from sinewright.solve.junction import CARRIED, HELD, LIFTED, junction_load
from sinewright.solve.leg import Legs
from sinewright.transfer.plans import Operations, SewnOperation, build_plans
from sinewright.units import deg, rad
from sinewright.wording.directions import angle_words

Activity = Literal["cast", "stretch", "lift", "swing", "stand", "effort", "step_down"]
ACTIVITIES: tuple[Activity, ...] = get_args(Activity)
RIGHT_ANGLE = 0.5 * pi


@dataclass(frozen=True)
class Load:
    """One activity: title, what is done in words, tension [N] in every leg (NaN without balance), rows used."""

    activity: Activity
    title: str
    setup: str
    tension: Floats
    rows: tuple[str, ...]


@dataclass(frozen=True)
class Held:
    """One patient and operation as the activities need it; ``cast`` and ``stretch`` are ankle angles [rad]."""

    case: Case
    legs: Legs
    plans: Operations
    sewn: SewnOperation
    elastic: bool
    cast: float
    stretch: float
    sampler: PriorSampler

    def draw(self, row: str) -> Floats:
        """Even draws (N,) over the range of a row, in its unit."""
        found: Row = self.sampler.row(row)
        return self.sampler.stream(row).uniform(found.low, found.high, self.sampler.draws)

    def around(self, angle: float, row: str) -> Floats:
        """An ankle angle [rad] with the error of a row, (N,)."""
        sd = self.sampler.row(row).sd or 0.0
        return angle + rad(sd * self.sampler.stream(row).standard_normal(self.sampler.draws))

    def load(self, way: int, ankle: Floats, amount: Floats, knee: float = 0.0) -> Floats:
        """Tension [N] on the junction as sewn."""
        return junction_load(way, self.legs, self.plans, ankle=ankle, amount=amount, knee=knee, elastic=self.elastic)

    def none(self) -> Floats:
        """Zeros (N,)."""
        return np.zeros(self.sampler.draws)


def hold(
    case: Case, legs: Legs, sewn: SewnOperation, elastic: bool, seed: int, cast: float | None, stretch: float | None
) -> Held:
    """Prepare the loads of one operation; the cast holds the posture of fixing where nothing else is said [rad]."""
    sampler = PriorSampler(len(legs.points), seed)
    limit = rad(load().fit_value("own-protect-stretch-limit")) if stretch is None else stretch
    here = sewn.ankle if cast is None else cast
    return Held(case, legs, build_plans([sewn]), sewn=sewn, elastic=elastic, cast=here, stretch=limit, sampler=sampler)


def loads(held: Held) -> tuple[Load, ...]:
    """All activities, from the gentlest to the hardest usual order of stages."""
    out = []
    for activity in ACTIVITIES:
        before = set(held.sampler.used)
        title, setup, tension = MAKERS[activity](held)
        rows = tuple(id for id in held.sampler.used if id not in before)
        out.append(Load(activity, title, setup, tension, rows))
    return tuple(out)


def _cast(h: Held) -> tuple[str, str, Floats]:
    ankle = h.around(h.cast, "own-protect-cast-angle-error")
    told = f"muscle relaxed, ankle at {angle_words(deg(h.cast))}"
    return "resting in the cast", told, h.load(HELD, ankle, h.none())


def _stretch(h: Held) -> tuple[str, str, Floats]:
    ankle = h.around(h.stretch, "own-protect-stretch-limit")
    told = f"muscle relaxed, foot brought to {angle_words(deg(h.stretch))}"
    return "passive stretch", told, h.load(HELD, ankle, h.none())


def _lift(h: Held) -> tuple[str, str, Floats]:
    told = "the donor alone holds the hanging foot at neutral, knee at a right angle"
    return "active lift without resistance", told, h.load(CARRIED, h.none(), h.none(), RIGHT_ANGLE)


def _swing(h: Held) -> tuple[str, str, Floats]:
    given = h.case.person.mass_kg
    mass = np.full(h.sampler.draws, given.value) if given else h.sampler.normal("own-default-mass")
    moment = mass * h.sampler.value("ga-swing-moment-toe-off-bajelan2024")
    knee = rad(h.sampler.value("own-protect-swing-knee"))
    told = "the foot is held at neutral in the fastest part of swing"
    return "swing of a step", told, h.load(CARRIED, h.none(), moment, knee)


def _stand(h: Held) -> tuple[str, str, Floats]:
    told = "foot flat at neutral, the muscle keeps some of its old stance activity"
    return "standing and stance", told, h.load(HELD, h.none(), h.draw("own-protect-standing-effort"))


def _effort(h: Held) -> tuple[str, str, Floats]:
    told = "the muscle contracts as hard as it can, knee straight"
    return "lift with full effort", told, h.load(LIFTED, h.none(), np.ones(h.sampler.draws))


def _step_down(h: Held) -> tuple[str, str, Floats]:
    ankle = h.around(rad(load().fit_value("own-protect-step-down-angle")), "own-protect-step-down-angle")
    told = "the foot is pushed down while the muscle holds hard"
    return "stepping down or stumbling", told, h.load(HELD, ankle, h.draw("own-protect-step-down-effort"))


MAKERS: dict[Activity, Callable[[Held], tuple[str, str, Floats]]] = {
    "cast": _cast,
    "stretch": _stretch,
    "lift": _lift,
    "swing": _swing,
    "stand": _stand,
    "effort": _effort,
    "step_down": _step_down,
}


@dataclass(frozen=True)
class SetTension:
    """Tension of the relaxed donor in the posture of fixing [N], (N,): as read at once, after early relaxation (no
    millimetre is lost), with the junction settled."""

    at_once: Floats
    after_relaxation: Floats
    settled: Floats


def set_tension(h: Held) -> SetTension:
    """Set tension and settled tension apart."""
    ankle = np.full(h.sampler.draws, h.sewn.ankle)
    sewn, later = (
        junction_load(HELD, h.legs, h.plans, ankle=ankle, amount=h.none(), knee=0.0, elastic=h.elastic, settled=settled)
        for settled in (False, True)
    )
    return SetTension(sewn / (1.0 - h.sampler.between("own-protect-early-relaxation")), sewn, later)
