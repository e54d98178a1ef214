"""What matters to this patient, draw by draw: each goal met from 0 (not at all) to 1 (fully), for every choice.

The scales are own choices, printed with the result; the weights are the patient's (``[goals]`` of the case), and the
surgeon sees and changes them. No goal hides in another: each stands in its own column.
"""

from dataclasses import dataclass

import numpy as np

from sinewright.arrays import Bools, Floats, Ints
from sinewright.case import Case
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
USUAL_WEIGHT = 5.0  # of a goal the patient has not weighed
LIFT_FULL_DEG, LIFT_NONE_DEG = 10.0, -10.0
PUSH_FULL_DEG, PUSH_NONE_DEG = -30.0, 0.0
HINDFOOT_NONE_DEG = 15.0
PULL_FULL_N, PULL_NONE_N = 300.0, 900.0  # pull on the junction in full lift

SCALES = {
    "no_brace": "share of virtual legs whose sole clears the floor in swing without a brace and whose tendon reaches",
    "lift": "0 at 10 degrees down or where the tendon does not reach, 1 at 10 degrees up",
    "push_off": "0 when the calf cannot push below neutral, 1 at 30 degrees down",
    "straight_hindfoot": "1 when the hindfoot stays straight in lift, 0 at 15 degrees of turn",
    "safe_junction": "1 when the pull on the junction in full lift is 300 N or less, 0 at 900 N",
    "second_chance": "how well the best remaining operation would meet the first goal",
    "small_operation": "1 for one donor and one way, a quarter less for each further donor, membrane window or tunnel",
}


@dataclass(frozen=True)
class Met:
    """Goals met (N, C, 7) in 0..1 in the order of GOALS, NaN where a leg found no balance; weights (7,) adding to 1."""

    met: Floats
    weights: Floats

    @property
    def utility(self) -> Floats:
        """Weighted mean over the goals, (N, C)."""
        out: Floats = self.met @ self.weights
        return out

    @property
    def means(self) -> Floats:
        """Mean of each goal over the legs, (C, 7)."""
        out: Floats = np.nanmean(self.met, axis=0)
        return out


def weights_of(case: Case) -> Floats:
    """The patient's weights, adding to 1. A case that weighs everything 0 counts as not weighed."""
    given = [getattr(case.goals, name) for name in GOALS]
    raw = np.array([USUAL_WEIGHT if w is None else w for w in given], dtype=np.float64)
    return raw / raw.sum() if raw.sum() > 0.0 else np.full(len(GOALS), 1.0 / len(GOALS))


def goals_met(answers: Floats, failed: Ints, plans: list[SewnOperation], weights: Floats, clears: Bools) -> Met:
    """Goals met by every leg and choice: ``answers`` (N, C, 12) and ``failed`` (N, C) from ``solve.answer``; ``clears``
    (N, C) from its swing."""
    lift, push = deg(answers[:, :, a.LIFT]), deg(answers[:, :, a.PUSH])
    met = np.empty((*answers.shape[:2], len(GOALS)))
    reaches = answers[:, :, a.REACH] >= 0.0
    held = clears & reaches
    met[:, :, 0] = held
    met[:, :, 1] = reaches * np.clip((lift - LIFT_NONE_DEG) / (LIFT_FULL_DEG - LIFT_NONE_DEG), 0.0, 1.0)
    met[:, :, 2] = np.clip((push - PUSH_NONE_DEG) / (PUSH_FULL_DEG - PUSH_NONE_DEG), 0.0, 1.0)
    met[:, :, 3] = 1.0 - np.clip(np.abs(deg(answers[:, :, a.SUBTALAR_IN_LIFT])) / HINDFOOT_NONE_DEG, 0.0, 1.0)
    met[:, :, 4] = 1.0 - np.clip((answers[:, :, a.PULL] - PULL_FULL_N) / (PULL_NONE_N - PULL_FULL_N), 0.0, 1.0)
    met[:, :, 5] = second_chance(held.mean(axis=0), plans)
    met[:, :, 6] = [small(plan) for plan in plans]
    met[failed > 0] = np.nan
    return Met(met, weights)


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
    return max(0.0, 1.0 - 0.25 * further)
