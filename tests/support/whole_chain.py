"""A patient's whole way, many times over: examined with error, weighed, sewn with error, read on the table, seen later.

At each station the truth is ranked among the virtual legs, and every share is held against what happens. The truth is
worked out by the solver for the one true leg.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field

import numpy as np

from sinewright.arrays import Floats
from sinewright.case import Case
from sinewright.doubt.virtual import Virtual, draw
from sinewright.errors import DoubtError
from sinewright.learn.beliefs import chain, weigh_legs
from sinewright.learn.expected import lift_later, rest_on_table
from sinewright.learn.prepare import lay_out
from sinewright.reference import load
from sinewright.solve import answer as a
from sinewright.solve.passive_torque import LOWER, UPPER
from sinewright.transfer.plans import SewnOperation, build_plans
from sinewright.units import deg

from .simulated_operations import entries_of, truth_of
from .simulated_patients import Simulated, next_possible

STATIONS = ("lift weighed", "rest weighed", "push weighed", "lift after the table", "rest after the table", "visit")
VISIT_ERROR = "own-active-reading-error"


@dataclass
class Ways:
    """Ranks of the truth (P, 6) by ``STATIONS``; shares said and what happened (P,); arc of the true ankle [deg] (P,);
    how many were refused, and why."""

    ranks: list[list[float]] = field(default_factory=list)
    said: list[float] = field(default_factory=list)
    happened: list[bool] = field(default_factory=list)
    arc: list[float] = field(default_factory=list)
    refused: list[str] = field(default_factory=list)

    def covered(self, share: float) -> Floats:
        """How often the middle ``share`` held the truth at each station."""
        ranks = np.array(self.ranks)
        out: Floats = np.nanmean(np.abs(ranks - 0.5) <= 0.5 * share, axis=0)
        return out


def ways(template: Case, donor: str, sewn: SewnOperation, patients: int, draws: int, seed: int) -> Ways:
    """Follow simulated patients of a template through one operation."""
    out, seeds = Ways(), iter(range(seed, seed + 100_000))
    while len(out.ranks) + len(out.refused) < patients:
        _follow(next_possible(template, donor, seeds), sewn, draws, seed + len(out.ranks), out)
    return out


def _follow(patient: Simulated, sewn: SewnOperation, draws: int, seed: int, out: Ways) -> None:
    try:
        virtual = draw(patient.case, draws, seed)
    except DoubtError as refusal:
        out.refused.append(str(refusal))
        return
    plans, rng = build_plans([sewn]), np.random.default_rng([seed, 41])
    true, wrong = a.answer(patient.truth, plans)
    answers, failed = a.answer(virtual.legs, plans)
    good = failed[:, 0] == 0
    if wrong[0, 0] or not good.any():
        return
    columns = [a.LIFT, a.REST, a.PUSH]
    weighed = [float((answers[good, 0, k] < true[0, 0, k]).mean()) for k in columns]
    out.said.append(float(np.mean((answers[good, 0, a.LIFT] >= 0.0) & (answers[good, 0, a.REACH] >= 0.0))))
    out.happened.append(bool(true[0, 0, a.LIFT] >= 0.0 and true[0, 0, a.REACH] >= 0.0))
    out.arc.append(float(deg(patient.truth.passive[0, UPPER] - patient.truth.passive[0, LOWER])))
    table = _on_the_table(patient, sewn, virtual, seed, rng)
    out.ranks.append([*weighed, *table, _seen_later(answers, good, true, rng)])


def _on_the_table(
    patient: Simulated, sewn: SewnOperation, virtual: Virtual, seed: int, rng: np.random.Generator
) -> Iterator[float]:
    """Ranks of final lift and rest after tendon, mark, rest and stimulation were read; NaN where refused."""
    prepared = lay_out(patient.case, sewn, virtual, elastic=True, seed=seed)
    truth = truth_of(prepared, patient.truth, seed)
    weighed = weigh_legs(prepared, chain(prepared, entries_of(truth, 0, rng)))
    if not weighed.enough or not truth.good[0]:
        yield from (np.nan, np.nan)
        return
    lift, rest = lift_later(prepared, weighed, 0.0), rest_on_table(prepared, weighed, 0.0)
    for found, true in ((lift, truth.lift_deg[0]), (rest, truth.rest_deg[0])):
        yield float(weighed.weight[found < true].sum() / weighed.weight.sum())


def _seen_later(answers: Floats, good: Floats, true: Floats, rng: np.random.Generator) -> float:
    """Rank of a lift that is read with error months later among what would be read of the legs."""
    error = load().fit_value(VISIT_ERROR)
    legs = deg(answers[good, 0, a.LIFT])
    read = deg(true[0, 0, a.LIFT]) + error * rng.standard_normal()
    return float(np.mean(legs + error * rng.standard_normal(len(legs)) < read))
