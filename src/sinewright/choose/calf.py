"""What lengthening the calf in the same sitting would do, when the calf is short: every operation with every procedure.

A screen on some of the legs puts the operations in order for each procedure; whatever leads under one of them is then
worked out on all legs under every procedure, so that like stands beside like.
"""

from dataclasses import dataclass, field, replace

import numpy as np

from sinewright.arrays import Floats, Ints
from sinewright.case import Case, calf_procedure, changed, short_calf
from sinewright.choose.ladder import ladder_of
from sinewright.choose.order import LEADERS
from sinewright.choose.present import outcome_of, set_aside
from sinewright.choose.push_off import PushOff, push_off
from sinewright.choose.screen import reason_against
from sinewright.choose.sewing import as_sewn, sewn_for
from sinewright.choose.swinging import Swings, swing_along
from sinewright.choose.without import Without
from sinewright.doubt.virtual import Virtual, with_calf
from sinewright.results import CALF_PROCEDURES, CalfTrial, Outcome
from sinewright.solve import answer as a
from sinewright.transfer.catalogue import Operation, catalogue
from sinewright.transfer.plans import SewnOperation, build_plans

SCREENED = 128  # legs of the screen


@dataclass
class Lengthened:
    """One procedure: the case and the legs with it, and what can be offered (C operations), screened on a few legs.

    Not frozen: an outcome on all legs is worked out when it is first asked for, and remembered.

    ``found``: outcomes on those legs; ``answers`` (n, C, 12); ``swings`` of the same; ``tried``: operations screened;
    ``refined``: outcomes on all legs, by id, as far as they were asked for.
    """

    case: Case
    virtual: Virtual
    tried: int
    plans: tuple[SewnOperation, ...]
    found: tuple[Outcome, ...]
    answers: Floats
    swings: Swings
    push: PushOff
    without: Without
    refined: dict[str, Outcome] = field(default_factory=dict)

    def leaders(self) -> tuple[Operation, ...]:
        """What leads of the operations that may lead, best first."""
        if not self.plans:
            return ()
        found = ladder_of(
            self.case, list(self.plans), self.answers, swings=self.swings, push=self.push, without=self.without
        )
        moved = [self.plans[i].moved for i in found.offered()[:LEADERS]]
        return tuple(each for each in moved if each is not None)

    def outcome(self, moved: Operation) -> Outcome:
        """One operation on all legs; how often it clears is that of the screen."""
        if moved.id not in self.refined:
            self.refined[moved.id] = self._refine(moved)
        return self.refined[moved.id]

    def _refine(self, moved: Operation) -> Outcome:
        against = reason_against(self.case, moved)
        if against:
            return set_aside(as_sewn(self.case, moved), against)
        plan = sewn_for(self.case, self.virtual.legs, [moved])
        answers, failed = a.answer(self.virtual.legs, build_plans(plan), self.case.plan.tendon != "rigid")
        outcome = outcome_of(self.virtual, plan[0], answers[:, 0], failed[:, 0])
        ids = [each.choice.id for each in self.found]
        return self.with_chances(outcome, ids.index(moved.id)) if moved.id in ids else outcome

    def with_chances(self, outcome: Outcome, place: int) -> Outcome:
        """The outcome on all legs of what stands at a place, with the chances of its swing on the screen's legs."""
        return replace(outcome, chances={**self.swings.add_to(self.found[place], place).chances, **outcome.chances})


@dataclass(frozen=True)
class Done:
    """What a weighing has worked out with the procedure of its plan: answers (N, C, 12), failed (N, C) and swings."""

    plans: list[SewnOperation]
    answers: Floats
    failed: Ints
    swings: Swings
    without: Without
    seed: int


def lengthen(case: Case, virtual: Virtual, done: Done) -> tuple[Lengthened, ...]:
    """Every calf procedure in the order of CALF_PROCEDURES, screened; nothing when the calf is not short.

    The legs and their way of walking are those of the weighing, each operation sewn as the legs after that procedure
    allow and ask for. The gain the plan expects holds for the procedure it names; another has its own.
    """
    if short_calf(case) is None:
        return ()
    planned = calf_procedure(case)
    return tuple(
        _as_weighed(case, virtual, done) if each == planned else _screen(case, each, virtual, done)
        for each in CALF_PROCEDURES
    )


def calf_trials(
    lengthened: tuple[Lengthened, ...], planned: str, first: tuple[Operation, ...]
) -> tuple[CalfTrial, ...]:
    """Each procedure with what leads under any of them. ``first``: what leads in the weighing itself, with the
    procedure ``planned``."""
    if not lengthened:
        return ()
    leaders = [one.leaders() for one in lengthened]
    leaders[CALF_PROCEDURES.index(planned)] = first
    shown = list(dict.fromkeys(moved for each in leaders for moved in each))
    return tuple(
        CalfTrial(
            procedure,
            tuple(one.outcome(moved) for moved in shown),
            tuple(moved.id for moved in each),
            one.tried,
            len(one.answers),
        )
        for procedure, one, each in zip(CALF_PROCEDURES, lengthened, leaders, strict=True)
    )


def _as_weighed(case: Case, virtual: Virtual, done: Done) -> Lengthened:
    """The procedure of the plan: nothing is worked out again."""
    few = slice(0, SCREENED)
    some = virtual.take(few)
    found = [outcome_of(some, plan, done.answers[few, i], done.failed[few, i]) for i, plan in enumerate(done.plans)]
    able = [i for i, outcome in enumerate(found) if outcome.status != "set aside"]
    swung = done.swings.few(few, able)
    screened = Lengthened(
        case,
        virtual,
        len(done.plans),
        plans=tuple(done.plans[i] for i in able),
        found=tuple(found[i] for i in able),
        answers=done.answers[few, able],
        swings=swung,
        push=push_off(case, some.legs, done.seed, case.plan.tendon != "rigid"),
        without=done.without.take(few),
    )
    for place, i in enumerate(able):
        outcome = outcome_of(virtual, done.plans[i], done.answers[:, i], done.failed[:, i])
        screened.refined[outcome.choice.id] = screened.with_chances(outcome, place)
    return screened


def _screen(case: Case, procedure: str, before: Virtual, done: Done) -> Lengthened:
    gain = case.plan.calf_gain_deg if procedure == calf_procedure(case) else None
    tried = changed(case, {"plan.calf_procedure": procedure, "plan.calf_gain_deg": gain})
    virtual = with_calf(before, tried)
    operations = [moved for moved in catalogue() if reason_against(tried, moved) is None]
    few = np.arange(min(SCREENED, len(virtual.legs.points)))
    some = virtual.take(few)
    plans = sewn_for(tried, virtual.legs, operations)
    answers, failed = a.answer(some.legs, build_plans(plans), tried.plan.tendon != "rigid")
    found = [outcome_of(some, plan, answers[:, i], failed[:, i]) for i, plan in enumerate(plans)]
    able = [i for i, outcome in enumerate(found) if outcome.status != "set aside"]
    offered, answers = tuple(plans[i] for i in able), answers[:, able]
    swings = swing_along(done.swings.drawn, some, list(offered), answers=answers, failed=failed[:, able], places=few)
    push = push_off(tried, some.legs, done.seed, tried.plan.tendon != "rigid")
    return Lengthened(
        tried,
        virtual,
        len(plans),
        plans=offered,
        found=tuple(found[i] for i in able),
        answers=answers,
        swings=swings,
        push=push,
        without=done.without.take(few),
    )
