"""Set tension and settled tension of a plan apart: what a scale would read, what stays, what the junction keeps.

A muscle and tendon held at one length lose part of their tension within minutes to hours without losing a millimetre
(row own-protect-early-relaxation, an assumption: no test of a moved muscle was read). Then the junction creeps under
load, by millimetres (rows of cyclic tests behind the settling of the legs).
"""

from __future__ import annotations

from dataclasses import replace

from sinewright.arrays import Floats
from sinewright.case import Case
from sinewright.choose.sewing import as_sewn
from sinewright.doubt.sample import spread_of
from sinewright.doubt.virtual import draw
from sinewright.plan import find_choice
from sinewright.protect.load import Held, hold, set_tension
from sinewright.results import FixingTension, OperationSummary
from sinewright.solve.leg import SETTLING_BONE, SETTLING_WEAVE, Legs
from sinewright.transfer.plans import SewnOperation
from sinewright.units import m, mm
from sinewright.wording.directions import LENGTH, PULL


def tension_of(held: Held, in_bone: bool | None = None) -> FixingTension:
    """Tension of the relaxed donor in the posture of fixing [N] and creep [mm] over the virtual legs.

    ``in_bone``: how the junction is sewn; None for what the operation itself says.
    """
    found = set_tension(held)
    parts = (found.at_once, found.after_relaxation, found.settled, mm(_creep(held, in_bone)))
    return FixingTension(*[spread_of(part) for part in parts])


def _creep(held: Held, in_bone: bool | None) -> Floats:
    """What the junction loses [m], (N,); for two junctions of different kind the mean of both."""
    assert held.sewn.moved is not None
    bony = [part.recipient.bone for part in held.sewn.moved.parts] if in_bone is None else [in_bone]
    out: Floats = held.legs.losses[:, [SETTLING_BONE if bone else SETTLING_WEAVE for bone in bony]].mean(axis=1)
    return out


def planned_tension(case: Case, sewn: SewnOperation, legs: Legs, elastic: bool, seed: int) -> FixingTension:
    """Set and settled tension of an operation as planned, on legs that are drawn already."""
    return tension_of(hold(case, legs, sewn, elastic=elastic, seed=seed, cast=None, stretch=None))


def tension_at(case: Case, choice: OperationSummary, draws: int, seed: int) -> FixingTension:
    """Set and settled tension of one operation at its set stretch, on the legs of ``weigh`` with these draws and seed.

    Raises InputError for a choice that is not possible.
    """
    sewn = replace(as_sewn(case, find_choice(case, choice.id)), stretch=m(choice.set_stretch_mm))
    return planned_tension(case, sewn, draw(case, draws, seed).legs, case.plan.tendon != "rigid", seed)


def tension_sentence(found: FixingTension) -> str:
    """Both tensions in one sentence."""
    return (
        f"Tension of the relaxed donor in the posture of fixing: set, read at once, {PULL.spread(found.at_once_N)}; "
        f"{PULL.spread(found.after_relaxation_N)} after early relaxation, which loses no millimetre (assumption, "
        f"own-protect-early-relaxation); settled, once the junction has crept by "
        f"{LENGTH.spread(found.creep_mm)}, {PULL.spread(found.settled_N)}."
    )
