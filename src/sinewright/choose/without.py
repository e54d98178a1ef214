"""Not operating: the leg as it is, and the leg in a brace, on the same legs and the same walk as every operation."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sinewright.arrays import Bools, Floats, Indices, Ints
from sinewright.choose.goals import GOALS, LIFT, LIFT_FULL, LIFT_NONE, NO_BRACE, PUSH_OFF, SECOND, Met, between
from sinewright.choose.present import spreads_of
from sinewright.doubt.sample import Sample
from sinewright.doubt.virtual import Virtual
from sinewright.doubt.walk import NOTHING_MOVED, Drawn
from sinewright.reference import load
from sinewright.results import OperationSummary, Outcome, Posture, Spread
from sinewright.solve import answer as a
from sinewright.solve import swing as sw
from sinewright.solve.swing_held import held
from sinewright.transfer.plans import build_plans
from sinewright.units import deg

NO_OPERATION, BRACE = "no_operation", "brace"
IDS = (NO_OPERATION, BRACE)
NOT_OF_A_TRANSFER = ("reach_margin_mm", "junction_pull_N")


@dataclass(frozen=True)
class Without:
    """The leg as it is: answers (N, 12) and swing (N, 11), what failed (N,); swing in a brace (N, 11), what failed."""

    answers: Floats
    failed: Ints
    swing: Floats
    braced: Floats
    braced_failed: Ints
    brace_angle: Floats
    margin: float

    def take(self, index: Indices | slice) -> Without:
        """Some of the legs, by their places."""
        return Without(
            answers=self.answers[index],
            failed=self.failed[index],
            swing=self.swing[index],
            braced=self.braced[index],
            braced_failed=self.braced_failed[index],
            brace_angle=self.brace_angle[index],
            margin=self.margin,
        )

    @property
    def clears(self) -> Bools:
        """Legs (N,) that clear the floor as they are."""
        return self.swing[:, sw.CLEARANCE] >= self.margin

    @property
    def clears_braced(self) -> Bools:
        """Legs (N,) that clear the floor in a brace."""
        return self.braced[:, sw.CLEARANCE] >= self.margin

    @property
    def today(self) -> Floats:
        """1 where the leg clears as it is, NaN where it was not solved, (N,)."""
        return np.where(self.failed > 0, np.nan, self.clears)


def without(virtual: Virtual, drawn: Drawn, margin: float, elastic: bool) -> Without:
    """The legs before any procedure, walking as they do with every operation."""
    nothing, walk = build_plans([NOTHING_MOVED]), drawn.walk
    answers, failed = a.answer(virtual.now, nothing, elastic)
    subtalar = answers[:, :, a.REST_SUBTALAR]
    swing, bad = sw.swing(
        virtual.now, nothing, walk, pushdown=answers[:, :, a.PUSH], rest_subtalar=subtalar, margin=margin
    )
    braced, braced_bad = held(virtual.now, walk, walk.brace, np.zeros(len(walk.brace)), margin)
    not_solved = np.where(failed[:, 0] > 0, 1, bad[:, 0]).astype(np.int32)
    return Without(
        answers=answers[:, 0],
        failed=not_solved,
        swing=swing[:, 0],
        braced=braced,
        braced_failed=braced_bad,
        brace_angle=walk.brace,
        margin=margin,
    )


def joined(met: Met, found: Without) -> Met:
    """The goals met by the operations (N, C, 7) with two more choices behind them: no operation, and the brace."""
    n = len(met.met)
    more, end = np.ones((n, len(IDS), len(GOALS))), load().fit_value
    lift = np.stack([deg(found.answers[:, a.LIFT]), deg(found.brace_angle)], axis=1)
    more[:, :, NO_BRACE] = np.stack([found.clears, np.zeros(n)], axis=1)
    more[:, :, LIFT] = between(lift, end(LIFT_NONE), end(LIFT_FULL))
    more[:, 1, PUSH_OFF] = 0.0  # a brace that holds the foot square lets it push no further down
    more[:, :, SECOND] = float(met.clearing.max()) if met.met.shape[1] else 0.0
    more[found.failed > 0, 0] = np.nan
    more[found.braced_failed > 0, 1] = np.nan
    lifts = np.stack([found.clears | (lift[:, 0] >= 0.0), found.clears_braced], axis=1)
    return Met(np.concatenate([met.met, more], axis=1), met.weights, np.concatenate([met.lifts, lifts], axis=1))


def outcomes_without(virtual: Virtual, found: Without) -> tuple[Outcome, Outcome]:
    """Both in words, without their standing."""
    return _as_it_is(virtual, found), _in_a_brace(virtual.sample, found)


def _summary(id: str, title: str, subtitle: str) -> OperationSummary:
    return OperationSummary(
        id, "", "", "", fixing=Posture(0.0, 0.0, 0.0), set_stretch_mm=0.0, title=title, subtitle=subtitle
    )


def _as_it_is(virtual: Virtual, found: Without) -> Outcome:
    choice = _summary(NO_OPERATION, "No operation", "the leg as it is today, without a brace")
    good, sample = found.failed == 0, virtual.sample
    share = float(np.mean(~good))
    if not good.any():
        return Outcome(choice, "doubtful", "No virtual leg found a balance.", {}, share)
    spreads = spreads_of(sample, found.answers, virtual.now.normal_lift, good)
    quantities = {name: spread for name, spread in spreads.items() if name not in NOT_OF_A_TRANSFER}
    chances = {
        "lifts_to_neutral": sample.chance(found.answers[:, a.LIFT] >= 0.0, good),
        "clears_swing": sample.chance(found.clears, good),
    }
    more = _swing(sample, found.swing, good)
    return Outcome(choice, "workable", "", {**quantities, **more}, share, chances=chances)


def _in_a_brace(sample: Sample, found: Without) -> Outcome:
    choice = _summary(BRACE, "Brace", "no operation, the foot held by a stiff brace; clearing is that in the brace")
    good = found.braced_failed == 0
    share = float(np.mean(~good))
    if not good.any():
        return Outcome(choice, "doubtful", "No virtual leg was solved.", {}, share)
    chances = {"clears_swing": sample.chance(found.clears_braced, good)}
    return Outcome(choice, "workable", "", _swing(sample, found.braced, good), share, chances=chances)


def _swing(sample: Sample, found: Floats, good: Bools) -> dict[str, Spread]:
    columns = {"swing_ankle_deg": sw.MID, "heel_strike_deg": sw.STRIKE, "steppage_hip_deg": sw.EXTRA_HIP}
    return {name: sample.spread(deg(found[:, column]), good) for name, column in columns.items()}
