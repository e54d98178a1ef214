"""One operation of one patient, worked out once for every page: weighing, ruler, drawing and when it was made.

A page that speaks of one operation as planned is printed only of one that a person chose, else as a draft.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from sinewright.case import Case
from sinewright.choose.ruler import lay_ruler
from sinewright.errors import InputError
from sinewright.export.counts import Hundred, as_hundred
from sinewright.export.leg import DrawnLeg, drawn_leg
from sinewright.export.tightening import Correction, corrections
from sinewright.learn.prepare import lay_out
from sinewright.learn.session import Session
from sinewright.plan import Worked, find_choice, weighing_of, work
from sinewright.protect.constructs import find_construct
from sinewright.reference import load
from sinewright.results import Chance, Outcome, Ruler, Weighing
from sinewright.solve.chunks import Progress

STOP_ROW = "own-stop-chance"
CLEARS, LIFTS = "clears_swing", "lifts_to_neutral"


@dataclass(frozen=True)
class PlanReference:
    """A plan of the store: its number, and the number of the plan that took its place, if any."""

    number: int
    superseded_by: int | None = None


@dataclass(frozen=True)
class Planned:
    """Everything a page may print. `by_hand` is False when the choice is only the first under the patient's weights;
    `corrections`: what to do at which resting angle, as `table` says it; `draft`: print it though nobody chose it."""

    case: Case
    weighing: Weighing
    outcome: Outcome
    ruler: Ruler
    leg: DrawnLeg
    made_at: datetime
    by_hand: bool
    kept: PlanReference | None = None
    corrections: tuple[Correction, ...] = ()
    draft: bool = False

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
    return planned_of(worked, choice, made_at, kept)


def planned_of(worked: Worked, choice: str | None, made_at: datetime, kept: PlanReference | None = None) -> Planned:
    """The page's content from a case that is worked out; `choice` is a whole id, or None for the first."""
    case, seed = worked.case, worked.seed
    weighing = weighing_of(worked)
    outcome = _chosen(weighing, choice)
    sewn = next(plan for plan in worked.plans if plan.moved is not None and plan.moved.id == outcome.choice.id)
    legs = worked.virtual.legs
    table = Session(lay_out(case, sewn, worked.virtual, elastic=worked.elastic, seed=seed))
    return Planned(
        case,
        weighing,
        outcome,
        ruler=lay_ruler(worked.virtual, sewn, worked.elastic),
        leg=drawn_leg(case, sewn, legs, worked.elastic, seed),
        made_at=made_at,
        by_hand=choice is not None,
        kept=kept,
        corrections=corrections(table),
    )


def refuse_unchosen(planned: Planned) -> None:
    """Raises InputError for an operation that nobody chose, unless the page is to be a draft."""
    if not planned.by_hand and not planned.draft:
        raise not_chosen()


def not_chosen() -> InputError:
    """Why no page is printed without a choice."""
    allowed = "a number of the ladder, an id, whole dotted words of one, or a kept plan with a choice"
    advice = "`sinewright weigh CASE` prints the ladder; --draft prints the first one with DRAFT across the page"
    return InputError("--choice", "nothing", allowed, advice)


def refuse_construct(case: Case, choice: str, construct: str | None) -> None:
    """Raises InputError for a way of sewing that none of the operation's junctions can have."""
    if construct is None:
        return
    named, moved = find_construct(construct), find_choice(case, choice)
    ends = [part.recipient for part in moved.parts]
    if named.in_bone not in {end.bone for end in ends}:
        wants = "bone: tunnel, screw or anchor" if ends[0].bone else "tendon: weave or side-to-side"
        allowed = f"a junction to {wants}, since the operation ends at {ends[0].title}"
        raise InputError("--construct", named.title, allowed, "check operation and construct")


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
    if weighing.ladder and weighing.ladder[0] in weighing.without:
        told = "one that is named: not operating leads in the ladder"
        raise InputError("choice", "none", told, f"to print {able[0].choice.id} all the same, name it")
    return able[0]


def hundred_of(planned: Planned, key: str, outcome: Outcome | None = None) -> Hundred | None:
    """A chance as so many of 100 virtual legs; the interval is that of counting them. None where it was not computed.

    Parameters
    ----------
    planned : Planned
        Gives the operation, and how many independent legs were counted.
    key : str
        ``clears_swing`` or ``lifts_to_neutral``.
    outcome : Outcome, optional
        Another operation of the same weighing.
    """
    found: Chance | None = (outcome or planned.outcome).chances.get(key)
    return as_hundred(found) if found is not None else None


def stop_share() -> float:
    """Share of the virtual legs, 0 to 1, below which an operation is not offered."""
    return load().fit_value(STOP_ROW)


def falls_short(outcome: Outcome) -> tuple[str, ...]:
    """Which of clearing and lifting to neutral comes true in fewer legs than are asked for; empty when neither."""
    least = stop_share()
    return tuple(key for key in (CLEARS, LIFTS) if key in outcome.chances and outcome.chances[key].share < least)


def counted(planned: Planned) -> float:
    """How many independent virtual legs stand behind a share."""
    chance = planned.outcome.chances.get("lifts_to_neutral")
    return chance.independent if chance else float(planned.weighing.draws)
