"""What is worked out before the operation, so that an entry on the table is answered at once."""

from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np

from sinewright.arrays import Floats
from sinewright.case import Case
from sinewright.choose.present import choice_of
from sinewright.choose.sewing import as_sewn, sewn_for
from sinewright.doubt.virtual import Virtual, draw, joined
from sinewright.plan import find_choice
from sinewright.reference import load
from sinewright.results import OperationSummary
from sinewright.solve.chunks import Progress
from sinewright.solve.leg import LEARNED, SCAR, SETTLING_BONE, SETTLING_WEAVE, Legs
from sinewright.solve.table import Table, build_table, free_tendon, relaxed_tension
from sinewright.transfer.plans import SewnOperation, build_plans
from sinewright.units import m, mm

ROWS_MM = np.arange(
    -30.0, 21.0, 5.0
)  # around the planned stretch: settling and slackening reach further than tightening
FINE_MM = np.arange(-20.0, 21.0)  # where the set stretch itself may lie
USUAL_DRAWS = 1000  # of ``weigh``: the plan whose set stretch is meant
STREAM = 17  # of the random numbers of this room
OTHER_SEED = 7919  # between the seeds of legs that are drawn later


@dataclass
class Prepared:
    """One patient and one operation, ready for the table. Not frozen: ``memory`` grows as postures are asked for.

    ``fine`` (F,) set stretches [m] on which beliefs stand; ``relaxed`` (N, F) tension [N] of the relaxed donor there;
    ``free`` (N,) tendon from the belly to the cut [m]; ``gain`` (N,) what scar and learning leave of the pull;
    ``settling`` (N,) what the junction will lose [m]; ``chance`` (3, N) numbers between 0 and 1 by which
    each leg picks its set stretch; ``times``: how often legs were drawn; ``memory`` columns of the
    table already brought to a posture.
    """

    case: Case
    choice: OperationSummary
    sewn: SewnOperation
    elastic: bool
    virtual: Virtual
    table: Table
    fine: Floats
    relaxed: Floats
    free: Floats
    gain: Floats
    settling: Floats
    chance: Floats
    seed: int
    times: int = 1
    memory: dict[tuple[str, float, str], list[Floats]] = field(default_factory=dict, repr=False, compare=False)

    @property
    def draws(self) -> int:
        """Number of virtual legs."""
        return len(self.virtual.sample)


def prepare(
    case: Case, choice: str, draws: int = 1000, seed: int = 1, planned: float | None = None,
    progress: Progress | None = None,
) -> Prepared:  # fmt: skip
    """Draw the legs as ``weigh`` does and lay their table. ``planned``: set stretch of the plan [m]; without it that of
    the case, else the one that ``weigh`` chooses with its usual number of draws and this seed.

    Raises InputError for a choice that is not possible, DoubtError when too few legs agree with the examination.
    """
    moved = find_choice(case, choice)
    virtual = draw(case, draws, seed)
    elastic = case.plan.tendon != "rigid"
    if planned is not None:
        sewn = replace(as_sewn(case, moved), stretch=planned)
    else:
        legs = virtual.legs if draws == USUAL_DRAWS else draw(case, USUAL_DRAWS, seed).legs
        sewn = sewn_for(case, legs, [moved])[0]
    return lay_out(case, sewn, virtual, elastic=elastic, seed=seed, progress=progress)


def lay_out(
    case: Case, sewn: SewnOperation, virtual: Virtual, elastic: bool, seed: int, progress: Progress | None = None
) -> Prepared:
    """The table of given legs for an operation as planned."""
    legs = virtual.legs
    around = sewn.stretch + m(ROWS_MM)
    plans = build_plans([replace(sewn, stretch=float(s)) for s in around])
    fine = sewn.stretch + m(FINE_MM)
    return Prepared(
        case,
        choice_of(sewn),
        sewn,
        elastic=elastic,
        virtual=virtual,
        table=build_table(
            legs, plans, float(around[0]), step=float(around[1] - around[0]), elastic=elastic, progress=progress
        ),
        fine=fine,
        relaxed=relaxed_tension(legs, plans, fine, elastic),
        free=free_tendon(legs, plans),
        gain=legs.losses[:, SCAR] * legs.losses[:, LEARNED],
        settling=settling_of(sewn, legs),
        chance=np.random.default_rng([seed, STREAM]).random((3, len(legs.points))),
        seed=seed,
    )


def enlarged(prepared: Prepared, progress: Progress | None = None) -> Prepared:
    """As many legs again, drawn with another seed, and their table beside the first."""
    times = prepared.times + 1
    more = draw(prepared.case, prepared.draws // prepared.times, prepared.seed + OTHER_SEED * prepared.times)
    beside = lay_out(
        prepared.case, prepared.sewn, more, elastic=prepared.elastic, seed=prepared.seed + times, progress=progress
    )

    def both(name: str, axis: int = 0) -> Floats:
        return np.concatenate([getattr(prepared, name), getattr(beside, name)], axis=axis)

    table: list[Any] = [
        np.concatenate([one, other]) if isinstance(one, np.ndarray) and isinstance(other, np.ndarray) else one
        for one, other in zip(prepared.table, beside.table, strict=True)
    ]
    return replace(
        prepared,
        virtual=joined(prepared.virtual, more),
        table=Table(*table),
        relaxed=both("relaxed"),
        free=both("free"),
        gain=both("gain"),
        settling=both("settling"),
        chance=both("chance", axis=1),
        times=times,
        memory={},
    )


def settling_of(sewn: SewnOperation, legs: Legs) -> Floats:
    """Creep of the junction [m], (N,); for two junctions of different kind the mean of both."""
    assert sewn.moved is not None
    parts = [SETTLING_BONE if part.recipient.bone else SETTLING_WEAVE for part in sewn.moved.parts]
    out: Floats = legs.losses[:, parts].mean(axis=1)
    return out


def number(id: str) -> float:
    """A number of ours, in the unit of its row."""
    return load().fit_value(id)


def planned_mm(prepared: Prepared) -> float:
    """Set stretch of the plan [mm]."""
    return mm(prepared.sewn.stretch)
