"""What matters to this patient, draw by draw: each goal met from 0 (not at all) to 1 (fully), for every choice.

The scales are own choices, printed with the result; the weights are the patient's (``[goals]`` of the case), and the
surgeon sees and changes them. No goal hides in another: each stands in its own column.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from sinewright.arrays import Bools, Floats, Ints
from sinewright.case import Case
from sinewright.reference import load
from sinewright.solve import answer as a
from sinewright.transfer.plans import SewnOperation
from sinewright.units import deg

GOALS = (
    "no_brace",
    "lift",
    "push_off",
    "straight_hindfoot",
    "safe_junction",
    "second_chance",
    "small_operation",
)
NO_BRACE, LIFT, PUSH_OFF, STRAIGHT, SAFE, SECOND, SMALL = range(len(GOALS))
USUAL_WEIGHT = "own-goal-usual-weight"  # rows: weight of a goal the patient has not weighed, ends of the scales
LIFT_FULL, LIFT_NONE = "own-goal-lift-full", "own-goal-lift-none"
PUSH_FULL, PUSH_NONE = "own-goal-push-full", "own-goal-push-none"
HINDFOOT_NONE = "own-goal-hindfoot-none"
PULL_FULL, PULL_NONE = "own-goal-pull-full", "own-goal-pull-none"
SMALL_STEP = "own-goal-small-step"
ROWS = (
    USUAL_WEIGHT, LIFT_FULL, LIFT_NONE, PUSH_FULL, PUSH_NONE, HINDFOOT_NONE, PULL_FULL, PULL_NONE, SMALL_STEP,
    "own-goal-push-from", "own-goal-push-to",
)  # fmt: skip


def scales() -> dict[str, str]:
    """How the scale of each goal is read, with the ends of its rows."""
    end = load().fit_value
    return {
        "no_brace": "share of virtual legs whose sole clears the floor in swing without a brace and whose tendon "
        "reaches",
        "lift": f"0 at {-end(LIFT_NONE):.0f} degrees down or where the tendon does not reach, 1 at "
        f"{end(LIFT_FULL):.0f} degrees up",
        "push_off": f"work of push-off: 1 when none of today's is lost, 0 when {100 * (1 - end(PUSH_NONE)):.0f} % is",
        "straight_hindfoot": f"1 when the hindfoot stays straight in lift, 0 at {end(HINDFOOT_NONE):.0f} degrees of "
        "turn",
        "safe_junction": f"1 when the pull on the junction in full lift is {end(PULL_FULL):.0f} N or less, 0 at "
        f"{end(PULL_NONE):.0f} N",
        "second_chance": "how well the best remaining operation would meet the first goal",
        "small_operation": "1 for one donor and one way, a quarter less for each further donor, membrane window or "
        "tunnel",
    }


FLOOR = (
    "In a leg whose sole does not clear and whose lift stays below neutral only clearing and lift count: nothing else "
    "makes up for a foot that still drops."
)


@dataclass(frozen=True)
class Met:
    """Goals met (N, C, 7) in 0..1 in the order of GOALS, NaN where a leg found no balance; weights (7,) adding to 1.

    ``lifts`` (N, C): the sole clears, or the foot comes to neutral, and the tendon reaches. Where it does not, goals
    other than clearing and lift count nothing (FLOOR).
    """

    met: Floats
    weights: Floats
    lifts: Bools

    @property
    def utility(self) -> Floats:
        """Weighted mean over the goals with the floor, (N, C)."""
        return self.utility_under(self.weights)

    def utility_under(self, weights: Floats) -> Floats:
        """The same under other weights (7,) that add to 1."""
        only = self.met[:, :, : LIFT + 1] @ weights[: LIFT + 1]
        out: Floats = np.where(self.lifts | ~np.isfinite(only), self.met @ weights, only)
        return out

    def some(self, choices: Sequence[int]) -> Met:
        """Some of the choices, in the order given."""
        return Met(self.met[:, choices], self.weights, self.lifts[:, choices])

    @property
    def means(self) -> Floats:
        """Mean of each goal over the legs, (C, 7)."""
        out: Floats = np.nanmean(self.met, axis=0)
        return out

    @property
    def clearing(self) -> Floats:
        """Share of the legs that clear and reach, (C,)."""
        return self.means[:, NO_BRACE]

    @property
    def lifting(self) -> Floats:
        """Share of the legs that clear or come to neutral, and reach, (C,)."""
        good = np.isfinite(self.met[:, :, NO_BRACE])
        out: Floats = (self.lifts & good).sum(axis=0) / np.maximum(good.sum(axis=0), 1)
        return out


def usual_weight() -> float:
    """Weight of a goal that the patient has not weighed."""
    return load().fit_value(USUAL_WEIGHT)


def weights_of(case: Case) -> Floats:
    """The patient's weights, adding to 1. A case that weighs everything 0 counts as not weighed."""
    given = [getattr(case.goals, name) for name in GOALS]
    usual = usual_weight()
    raw = np.array([usual if w is None else w for w in given], dtype=np.float64)
    return raw / raw.sum() if raw.sum() > 0.0 else np.full(len(GOALS), 1.0 / len(GOALS))


def goals_met(
    answers: Floats, failed: Ints, plans: list[SewnOperation], weights: Floats, clears: Bools, push_kept: Floats
) -> Met:
    """Goals met by every leg and choice: ``answers`` (N, C, 12) and ``failed`` (N, C) from ``solve.answer``; ``clears``
    (N, C) from its swing; ``push_kept`` (N, C): work of push-off over today's, see ``choose.push_off``."""
    end, lift = load().fit_value, deg(answers[:, :, a.LIFT])
    met = np.empty((*answers.shape[:2], len(GOALS)))
    reaches = answers[:, :, a.REACH] >= 0.0
    held = clears & reaches
    met[:, :, NO_BRACE] = held
    met[:, :, LIFT] = reaches * between(lift, end(LIFT_NONE), end(LIFT_FULL))
    met[:, :, PUSH_OFF] = between(push_kept, end(PUSH_NONE), end(PUSH_FULL))
    met[:, :, STRAIGHT] = between(np.abs(deg(answers[:, :, a.SUBTALAR_IN_LIFT])), end(HINDFOOT_NONE), 0.0)
    met[:, :, SAFE] = between(answers[:, :, a.PULL], end(PULL_NONE), end(PULL_FULL))
    met[:, :, SECOND] = second_chance(held.mean(axis=0), plans)
    met[:, :, SMALL] = [small(plan) for plan in plans]
    met[failed > 0] = np.nan
    return Met(met, weights, held | (reaches & (lift >= 0.0)))


def between(value: Floats, none: float, full: float) -> Floats:
    """Place of a value on a scale, 0 at ``none`` or beyond and 1 at ``full`` or beyond."""
    out: Floats = np.clip((value - none) / (full - none), 0.0, 1.0)
    return out


def second_chance(clears: Floats, plans: list[SewnOperation]) -> Floats:
    """For each choice the best chance among the operations that stay possible without its muscles, (C,)."""
    out = np.zeros(len(plans))
    for i, plan in enumerate(plans):
        others = [clears[j] for j, other in enumerate(plans) if stays_possible(plan, other)]
        out[i] = max(others, default=0.0)
    return out


def stays_possible(done: SewnOperation, other: SewnOperation) -> bool:
    """Whether ``other`` can still be done after ``done`` has failed: none of its muscles or tendons is spent."""
    if done.moved is None or other.moved is None:
        return False
    spent = set(done.moved.taken) | {t for part in done.moved.parts for t in part.recipient.tendons}
    needed = set(other.moved.taken) | {t for part in other.moved.parts for t in part.recipient.tendons}
    return not spent & needed


def small(plan: SewnOperation) -> float:
    """1 for the smallest operation, a quarter less for each further donor, membrane window or bone tunnel."""
    if plan.moved is None:
        return 1.0
    parts = plan.moved.parts
    further = len(plan.moved.taken) - 1
    further += any(part.route.needs_membrane for part in parts) + any(part.recipient.bone for part in parts)
    return max(0.0, 1.0 - load().fit_value(SMALL_STEP) * further)
