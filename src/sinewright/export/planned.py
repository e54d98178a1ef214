"""One operation of one patient, worked out once for every page: weighing, ruler, drawing and when it was made."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from sinewright.case import Case
from sinewright.choose.ruler import lay_ruler
from sinewright.errors import InputError
from sinewright.export.counts import Hundred, of_hundred
from sinewright.export.leg import DrawnLeg, drawn_leg
from sinewright.plan import find_choice, weighing_of, work
from sinewright.results import Outcome, Ruler, Weighing
from sinewright.solve.chunks import Progress


@dataclass(frozen=True)
class PlanReference:
    """A plan of the store: its number, and the number of the plan that took its place, if any."""

    number: int
    superseded_by: int | None = None


@dataclass(frozen=True)
class Planned:
    """Everything a page may print. `by_hand` is False when the choice is only the first under the patient's weights."""

    case: Case
    weighing: Weighing
    outcome: Outcome
    ruler: Ruler
    leg: DrawnLeg
    made_at: datetime
    by_hand: bool
    kept: PlanReference | None = None

    def title_of(self, choice: str) -> str:
        """Title and subtitle of another choice of this weighing; empty when there is none."""
        for each in self.weighing.outcomes:
            if each.choice.id == choice:
                return f"{each.choice.title}, {each.choice.subtitle}"
        return ""


def plan_page(
    case: Case,
    choice: str | None,
    made_at: datetime,
    draws: int = 1000,
    seed: int = 1,
    kept: PlanReference | None = None,
    progress: Progress | None = None,
) -> Planned:
    """Work out one operation for print. Raises InputError when it, or every operation, is set aside."""
    if case.side not in ("right", "left"):
        raise InputError("side", repr(case.side), "right or left", "a page without a side is never printed")
    if choice is not None:
        choice = find_choice(case, choice).id
    worked = work(case, draws, seed, progress)
    weighing = weighing_of(worked)
    outcome = _chosen(weighing, choice)
    sewn = next(plan for plan in worked.plans if plan.moved is not None and plan.moved.id == outcome.choice.id)
    legs = worked.virtual.legs
    return Planned(
        case,
        weighing,
        outcome,
        ruler=lay_ruler(worked.virtual, sewn, worked.elastic),
        leg=drawn_leg(case, sewn, legs, worked.elastic, seed),
        made_at=made_at,
        by_hand=choice is not None,
        kept=kept,
    )


def leading(weighing: Weighing) -> list[Outcome]:
    """Choices that can be offered, first under the patient's weights first."""
    able = [each for each in weighing.outcomes if each.standing is not None and each.status != "set aside"]
    return sorted(able, key=lambda each: (_place(each), each.choice.id))


def _place(outcome: Outcome) -> tuple[int, float]:
    assert outcome.standing is not None
    return outcome.standing.place, -outcome.standing.utility.p50


def _chosen(weighing: Weighing, choice: str | None) -> Outcome:
    if choice is not None:
        found = next(each for each in weighing.outcomes if each.choice.id == choice)
        if found.status == "set aside":
            raise InputError("choice", f'"{choice}"', "an operation that is not set aside", found.reason)
        return found
    able = leading(weighing)
    if not able:
        advice = "weigh prints the reason beside each choice"
        raise InputError("choice", "none", "a case with an operation that is not set aside", advice)
    return able[0]


def chance_of_lift(planned: Planned, outcome: Outcome | None = None) -> Hundred:
    """How many of 100 virtual legs lift to neutral or above and reach; the interval is that of counting them.

    Of the operation of this plan, or of another `outcome` of its weighing.
    """
    found = (outcome or planned.outcome).chances.get("lifts_to_neutral")
    number = counted(planned)
    return of_hundred((found.share if found else 0.0) * number, number)


def counted(planned: Planned) -> float:
    """How many independent virtual legs stand behind a share: never more than were drawn or agree."""
    return max(
        1.0, min(float(planned.weighing.draws), planned.weighing.effective_sample_size or float(planned.weighing.draws))
    )
