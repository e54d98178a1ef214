"""Everything that can be offered in one order, not operating among it: goals met, tiers, places."""

from dataclasses import dataclass

import numpy as np

from sinewright.arrays import Floats
from sinewright.case import Case
from sinewright.choose.goals import GOALS, Met, goals_met, weights_of
from sinewright.choose.order import WITHOUT, Order, order, reserve, tiers_of
from sinewright.choose.push_off import PushOff, share_kept
from sinewright.choose.rules import costs_of, rules_of_operation
from sinewright.choose.swinging import Swings
from sinewright.choose.turning import turns_inward
from sinewright.choose.without import IDS, Without, joined
from sinewright.doubt.sample import Sample
from sinewright.results import Costs, Goal, Spread, Standing
from sinewright.solve import answer as a
from sinewright.transfer.catalogue import Operation
from sinewright.transfer.plans import SewnOperation
from sinewright.units import deg

TWICE, HALF = 2.0, 0.5


@dataclass(frozen=True)
class Ladder:
    """The operations that can be offered, in the order of ``plans``, and after them not operating and the brace.

    ``met`` and ``order`` run over both; ``ids`` names them.
    """

    sample: Sample
    plans: list[SewnOperation]
    met: Met
    order: Order

    @property
    def ids(self) -> tuple[str, ...]:
        """Ids of all rows, operations first."""
        return (*(plan.moved.id for plan in self.plans if plan.moved is not None), *IDS)

    def operations(self) -> tuple[int, ...]:
        """Operations (as places in ``plans``), best first."""
        return tuple(i for i in self.order.places if i < len(self.plans))

    def offered(self) -> tuple[int, ...]:
        """Operations of the leading tier, best first; none when not operating leads."""
        tier = self.order.tiers[self.order.places[0]]
        return tuple(i for i in self.operations() if self.order.tiers[i] == tier) if tier != WITHOUT else ()

    def standings(self) -> tuple[Standing, ...]:
        """Where each row stands, in the order of ``ids``."""
        utility, placed, means = self.met.utility, self.order, self.met.means
        place = {at: k + 1 for k, at in enumerate(placed.places)}
        out = []
        for i in range(len(self.ids)):
            left = reserve(i, self.plans, self.operations(), placed.tiers) if i < len(self.plans) else None
            finite = np.isfinite(utility[:, i])
            spread = self.sample.spread(utility[:, i], finite) if finite.any() else Spread(0.0, 0.0, 0.0, 0.0, 0.0)
            out.append(
                Standing(
                    {name: float(x) for name, x in zip(GOALS, np.nan_to_num(means[i]), strict=True)},
                    spread,
                    float(utility[finite, i].mean()) if finite.any() else 0.0,
                    place=place[i],
                    rank=placed.rank[i],
                    first_better=placed.first_better[i],
                    behind=placed.behind[i],
                    behind_error=placed.behind_error[i],
                    tied=placed.tied[i],
                    pareto_front=placed.pareto_front[i],
                    reserve=self.ids[left] if left is not None else "",
                    tier=TIERS[placed.tiers[i]],
                )
            )
        return tuple(out)

    def first_under(self, weights: Floats) -> int:
        """The first row under other weights."""
        return order(self.met, self.order.tiers, self.sample, self.met.utility_under(weights)).places[0]


TIERS = (
    "lifts",
    "lifts, with a danger",
    "not operating",
    "not to be offered",
    "no better than today",
    "below the floor",
)


def ladder_of(
    case: Case, plans: list[SewnOperation], answers: Floats, swings: Swings, push: PushOff, without: Without
) -> Ladder:
    """The ladder of operations whose answers (N, C, 12) and swings run alike."""
    kept = share_kept(push, plans, answers[:, :, a.PUSH])
    met = goals_met(answers, swings.failed, plans, weights=weights_of(case), clears=swings.clears, push_kept=kept)
    turn = np.where(np.isfinite(met.met[:, :, 0]), deg(answers[:, :, a.SUBTALAR_IN_LIFT]), np.nan)
    costs = [_costs(case, plan.moved, turn[:, i]) for i, plan in enumerate(plans) if plan.moved is not None]
    tiers = (
        *tiers_of(met, costs, without.today, swings.sample),
        *(WITHOUT for _ in IDS),
    )
    both = joined(met, without)
    return Ladder(swings.sample, plans, both, order(both, tiers, swings.sample))


def _costs(case: Case, moved: Operation, turn_deg: Floats) -> Costs:
    """What the rules and the turn of the foot in lift take from an operation."""
    ruled = costs_of(rules_of_operation(case, moved))
    turned = turns_inward(turn_deg) and not case.plan.overrides.turns_inward
    return "first place" if turned and ruled == "nothing" else ruled


def sentences_about(ladder: Ladder, title: dict[str, str]) -> tuple[str, ...]:
    """What leads against not operating, whether others are too close to call, and how far the weights decide."""
    found, first = ladder.order, ladder.order.places[0]
    out = []
    if found.tiers[first] == WITHOUT:
        out.append("Nothing that can be offered clears the floor oftener than the leg does today: no operation leads.")
        return tuple(out)
    today = ladder.met.clearing[len(ladder.plans)]
    clears = ladder.met.clearing[first]
    out.append(f"The first choice clears in {100 * clears:.0f} of 100 legs, without an operation {100 * today:.0f} do.")
    close = sum(1 for i in ladder.offered() if found.rank[i] == 1) - 1
    if close > 0:
        out.append(
            f"{close} more {'is' if close == 1 else 'are'} too close to call; among them what clears oftener leads."
        )
    out.append(_weights(ladder, title))
    return tuple(out)


def _weights(ladder: Ladder, title: dict[str, str]) -> str:
    """How far the first choice hangs on the weights: each in turn doubled and halved."""
    first, changes = ladder.order.places[0], list[str]()
    for g, name in enumerate(GOALS):
        for factor, told in ((TWICE, "twice"), (HALF, "half")):
            weights = ladder.met.weights.copy()
            weights[g] *= factor
            other = ladder.first_under(weights / weights.sum())
            if other != first:
                changes.append(f"{told} the weight of {name.replace('_', ' ')} puts {title[ladder.ids[other]]} first")
    if not changes:
        return "Twice or half the weight of any one goal leaves the first choice first."
    return f"The weights matter: {'; '.join(changes)}."


def goals_in_words(ladder: Ladder | None, weights: Floats, scales: dict[str, str]) -> tuple[Goal, ...]:
    """The goals with weights and scales, and how much each decides here: its weight times what it differs by among what
    can be offered."""
    swing = np.zeros(len(GOALS))
    if ladder is not None and ladder.plans:
        offered = ladder.offered() or ladder.operations()
        means = ladder.met.means[list(offered)]
        swing = np.nan_to_num(np.nanmax(means, axis=0) - np.nanmin(means, axis=0))
    decides = weights * swing
    total = decides.sum()
    decides = decides / total if total > 0.0 else decides
    return tuple(
        Goal(name, float(w), scales[name], float(s), float(d))
        for name, w, s, d in zip(GOALS, weights, swing, decides, strict=True)
    )
