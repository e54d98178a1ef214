"""Simulated operations: a leg that is known, sewn with an error that is known, read with errors of the stated size.

Over many of them the true final lift must take every rank among the updated legs equally often. The truth is worked out
by the solver itself, not by the table that the update looks things up in.
"""

from dataclasses import dataclass, replace
from datetime import datetime

import numpy as np

from sinewright.arrays import Bools, Floats
from sinewright.learn.beliefs import chain, weigh_legs
from sinewright.learn.entries import TableReading
from sinewright.learn.expected import lift_later, rest_on_table
from sinewright.learn.prepare import Prepared, number
from sinewright.reference import load
from sinewright.solve import answer as a
from sinewright.solve.leg import LEARNED, SCAR, SETTLING_BONE, SETTLING_WEAVE, Legs
from sinewright.solve.table import free_tendon
from sinewright.transfer.plans import build_plans
from sinewright.units import deg, mm

AT = datetime(2026, 3, 5, 9, 0)
WHAT = ("lift", "rest on the table")


@dataclass(frozen=True)
class Truth:
    """True values of P operations: set stretch [mm], rest on the table, stimulated angle, final lift [deg], free tendon
    [mm], drive of the stimulator; ``good`` where a balance was found."""

    set_stretch_mm: Floats
    rest_deg: Floats
    stimulated_deg: Floats
    lift_deg: Floats
    free_mm: Floats
    good: Bools


def truth_of(prepared: Prepared, legs: Legs, seed: int) -> Truth:
    """The truth of legs (P) that are not among the prepared ones, each with its own error of the set stretch.

    Rest is read with the knee of the plan, the stimulated angle with the knee straight.
    """
    rng = np.random.default_rng([seed, 29])
    execution = legs.execution.copy()
    execution[:, 3] = 0.0
    legs = legs._replace(execution=execution)
    plans = build_plans([prepared.sewn])
    out, failed = a.answer(legs, plans, prepared.elastic)
    row = load().row("own-protect-stimulator-drive")
    losses = legs.losses.copy()
    losses[:, SCAR], losses[:, LEARNED] = rng.uniform(row.low, row.high, len(losses)), 1.0
    losses[:, [SETTLING_WEAVE, SETTLING_BONE]] = 0.0
    driven, missed = a.answer(legs._replace(losses=losses), plans, prepared.elastic)
    return Truth(
        mm(prepared.sewn.stretch + execution[:, 0]),
        deg(out[:, 0, a.REST_TABLE]),
        deg(driven[:, 0, a.LIFT]),
        deg(out[:, 0, a.LIFT]),
        mm(free_tendon(legs, plans)),
        (failed[:, 0] == 0) & (missed[:, 0] == 0),
    )


def entries_of(truth: Truth, i: int, rng: np.random.Generator) -> tuple[TableReading, ...]:
    """What would be read at one operation, with errors of the stated size."""

    def read(value: float, row: str) -> float:
        return float(value + number(row) * rng.standard_normal())

    return (
        TableReading("tendon", read(truth.free_mm[i], "own-protect-tendon-length-error"), AT),
        TableReading("mark", read(truth.set_stretch_mm[i], "own-protect-ruler-error"), AT),
        TableReading("rest", read(truth.rest_deg[i], "own-protect-table-angle-error"), AT),
        TableReading("stimulated", read(truth.stimulated_deg[i], "own-protect-table-angle-error"), AT, 0.0),
    )


@dataclass(frozen=True)
class Ranks:
    """Rank of the truth among the updated legs, 0..1, for lift and rest on the table (P, 2); effective sample
    sizes (P,);
    how many operations were refused because too few legs agreed."""

    rank: Floats
    effective_sample_size: Floats
    refused: int


def ranks(prepared: Prepared, legs: Legs, seed: int) -> Ranks:
    """Rank the truth of every leg (P) among the prepared legs after an update with all four readings."""
    truth, rng = truth_of(prepared, legs, seed), np.random.default_rng([seed, 31])
    out, effective, refused = [], [], 0
    for i in np.flatnonzero(truth.good):
        here = replace(prepared, chance=np.random.default_rng([seed, int(i)]).random(prepared.chance.shape))
        weighed = weigh_legs(here, chain(here, entries_of(truth, int(i), rng)))
        effective.append(weighed.effective_sample_size)
        if not weighed.enough:
            refused += 1
            continue
        found = (lift_later(here, weighed, 0.0), rest_on_table(here, weighed, 0.0))
        true = (truth.lift_deg[i], truth.rest_deg[i])
        total = weighed.weight.sum()
        out.append([float(weighed.weight[f < t].sum() / total) for f, t in zip(found, true, strict=True)])
    return Ranks(np.array(out), np.array(effective), refused)
