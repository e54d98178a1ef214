"""From a case to a weighing: the whole chain on one screen.

case -> virtual legs -> operations that this patient allows -> set stretch -> answers -> goals met, order -> results.
"""

from collections.abc import Callable
from dataclasses import dataclass, field, replace

import numpy as np

from sinewright.arrays import Floats, Ints
from sinewright.case import Case, calf_procedure, cautions
from sinewright.choose import goals, judge, order, sewing, tension, turning
from sinewright.choose.asking import ask
from sinewright.choose.calf import Done, Lengthened, calf_trials, lengthen
from sinewright.choose.complete import complete
from sinewright.choose.find import find
from sinewright.choose.goals import weights_of
from sinewright.choose.ladder import Ladder, goals_in_words, ladder_of, sentences_about
from sinewright.choose.order import LEADERS
from sinewright.choose.present import (
    assumptions_of,
    caution,
    choice_of,
    outcome_of,
    set_aside,
    sources_of,
)
from sinewright.choose.push_off import PushOff, push_off
from sinewright.choose.resting import two_rests
from sinewright.choose.ruler import lay_ruler
from sinewright.choose.screen import reason_against
from sinewright.choose.sewing import as_sewn, sewn_for
from sinewright.choose.swinging import Swings, swing_page, swings_of, usual_margin_mm
from sinewright.choose.without import BRACE, NO_OPERATION, Without, outcomes_without, without
from sinewright.doubt.sensitivity import effects
from sinewright.doubt.virtual import Virtual, draw
from sinewright.errors import DoubtError, InputError
from sinewright.results import Answered, Asked, Leading, Outcome, Ruler, SwingPage, Weighing
from sinewright.solve import answer as a
from sinewright.solve.chunks import Progress
from sinewright.solve.leg import Legs
from sinewright.transfer.catalogue import Operation, catalogue
from sinewright.transfer.plans import SewnOperation, build_plans
from sinewright.units import deg
from sinewright.version import __version__

MOST_MARGIN_MM = 100.0
PAIRS = 384  # of draws for each doubt of a leading choice


@dataclass
class Later:
    """What is worked out when first asked for; nothing that may be replaced in a ``Worked`` (its case, by other goals
    or another name) changes it."""

    swings: Swings | None = None
    lengthened: tuple[Lengthened, ...] | None = None
    without: Without | None = None
    push: PushOff | None = None


@dataclass(frozen=True)
class Worked:
    """Everything computed for one case, before it is put into words; ``plans`` and the answers run alike."""

    case: Case
    virtual: Virtual
    plans: list[SewnOperation]
    answers: Floats
    failed: Ints
    elastic: bool
    seed: int
    later: Later = field(default_factory=Later, repr=False, compare=False)

    @property
    def swings(self) -> Swings:
        """The swing of every operation, computed when first asked for."""
        return self.swing_out()

    def swing_out(self, progress: Progress | None = None) -> Swings:
        """The swing of every operation; ``progress(done, total)`` is called as legs are finished."""
        if self.later.swings is None:
            self.later.swings = swings_of(
                self.case,
                self.virtual,
                self.plans,
                answers=self.answers,
                failed=self.failed,
                seed=self.seed,
                progress=progress,
            )
        return self.later.swings

    @property
    def lengthened(self) -> tuple[Lengthened, ...]:
        """Every operation with every calf procedure where the calf is short, computed when first asked for."""
        if self.later.lengthened is None:
            done = Done(self.plans, self.answers, self.failed, swings=self.swings, without=self.without, seed=self.seed)
            self.later.lengthened = lengthen(self.case, self.virtual, done)
        return self.later.lengthened

    def outcomes(self) -> list[Outcome]:
        """Every operation in words, without its swing."""
        legs = self.virtual
        return [outcome_of(legs, p, self.answers[:, i], self.failed[:, i]) for i, p in enumerate(self.plans)]

    @property
    def without(self) -> Without:
        """The leg as it is and in a brace, walking the same way."""
        if self.later.without is None:
            self.later.without = without(self.virtual, self.swings.drawn, self.swings.margin, self.elastic)
        return self.later.without

    @property
    def push(self) -> PushOff:
        """What pushes the foot down, and what the calf procedure leaves of it."""
        if self.later.push is None:
            self.later.push = push_off(self.case, self.virtual.legs, self.seed, self.elastic)
        return self.later.push

    def ladder(self, able: list[int]) -> Ladder:
        """Some of the operations, with not operating and the brace, under the patient's weights."""
        swings = self.swings
        some = replace(swings, answers=swings.answers[:, able], failed=swings.failed[:, able])
        plans = [self.plans[i] for i in able]
        return ladder_of(self.case, plans, self.answers[:, able], swings=some, push=self.push, without=self.without)


def work(case: Case, draws: int, seed: int, progress: Progress | None = None) -> Worked:
    """Draw the legs and answer every question for every operation that this patient allows."""
    virtual = draw(case, draws, seed)
    elastic = case.plan.tendon != "rigid"
    plans = sewn_for(case, virtual.legs, [moved for moved in catalogue() if reason_against(case, moved) is None])
    answers, failed = a.answer(virtual.legs, build_plans(plans), elastic, progress)
    return Worked(case, virtual, plans, answers=answers, failed=failed, elastic=elastic, seed=seed)


def weigh(case: Case, draws: int = 1000, seed: int = 1, progress: Progress | None = None) -> Weighing:
    """Weigh every operation for one case. ``progress(done, total)`` is called as legs are finished.

    The same case, draws and seed give the same result. Where the findings contradict each other no number is given, and
    ``refused`` says which finding to check; rules, other ways and what would open a choice stand all the same. Raises
    SolveError when no answer can be given.
    """
    try:
        return weighing_of(work(case, draws, seed, progress))
    except DoubtError as refusal:
        return refused(case, draws, seed, str(refusal))


def refused(case: Case, draws: int, seed: int, why: str) -> Weighing:
    """A weighing without numbers: what the rules say of a case whose findings contradict each other."""
    told = f"Not computed: {why}"
    weighing = Weighing(
        version=__version__,
        invented=case.invented,
        side=case.side,
        pseudonym=case.pseudonym,
        seed=seed,
        draws=draws,
        warnings=cautions(case),
        sources=(),
        assumptions=(),
        outcomes=tuple(set_aside(as_sewn(case, moved), reason_against(case, moved) or told) for moved in catalogue()),
        tendon="rigid" if case.plan.tendon == "rigid" else "elastic",
        goals=goals_in_words(None, weights_of(case), goals.scales()),
        calf_procedure=calf_procedure(case),
        calf_assumed=case.plan.calf_procedure is None and calf_procedure(case) != "none",
        refused=why,
    )
    return complete(case, None, weighing)


def weighing_of(worked: Worked, trials: bool = True) -> Weighing:
    """Everything computed for a case, in words; ``weigh`` without the computing.

    ``trials``: whether a short calf is worked out under every procedure too, beside the one the choices have.
    """
    case, virtual = worked.case, worked.virtual
    outcomes, ladder = ranked(worked)
    first = _leaders(ladder)
    snapping = two_rests(virtual, [plan for plan in worked.plans if plan.moved in first], worked.elastic)
    own = (*judge.ROWS, *sewing.ROWS, *tension.ROWS, *order.ROWS, *goals.ROWS, turning.MOST, *worked.push.rows)
    lengthened = worked.lengthened if trials else ()
    more = (row for one in lengthened for row in one.virtual.rows)
    rows = tuple(dict.fromkeys((*virtual.rows, *more, *worked.swings.drawn.rows, *own)))
    weighing = Weighing(
        version=__version__,
        invented=case.invented,
        side=case.side,
        pseudonym=case.pseudonym,
        seed=worked.seed,
        draws=len(worked.answers),
        warnings=(*cautions(case), *(caution(text) for text in (*virtual.warnings, *snapping))),
        sources=sources_of(rows),
        assumptions=assumptions_of(rows),
        outcomes=outcomes,
        tendon="elastic" if worked.elastic else "rigid",
        goals=goals_in_words(ladder, weights_of(case), goals.scales()),
        effective_sample_size=virtual.sample.effective_sample_size,
        basis=virtual.sample.basis(),
        calf=calf_trials(lengthened, calf_procedure(case), first),
        rows=rows,
        without=_without(worked, ladder),
        calf_procedure=calf_procedure(case),
        calf_assumed=case.plan.calf_procedure is None and calf_procedure(case) != "none",
        sentences=sentences_about(ladder, _titles(outcomes)),
    )
    return complete(case, virtual, weighing)


def _leaders(ladder: Ladder) -> tuple[Operation, ...]:
    """The first few choices of those that may lead, best first."""
    moved = [ladder.plans[i].moved for i in ladder.offered()[:LEADERS]]
    return tuple(each for each in moved if each is not None)


def _titles(outcomes: tuple[Outcome, ...]) -> dict[str, str]:
    words = {one.choice.id: f"{one.choice.title} {one.choice.subtitle}" for one in outcomes}
    return {**words, NO_OPERATION: "no operation", BRACE: "the brace"}


def _without(worked: Worked, ladder: Ladder) -> tuple[Outcome, ...]:
    """Not operating and the brace, with their places."""
    standings = ladder.standings()[len(ladder.plans) :]
    both = outcomes_without(worked.virtual, worked.without)
    return tuple(replace(one, standing=standing) for one, standing in zip(both, standings, strict=True))


def outcomes_of(worked: Worked) -> tuple[Outcome, ...]:
    """Every operation of the catalogue: computed, or set aside with its reason."""
    return ranked(worked)[0]


def ranked(worked: Worked) -> tuple[tuple[Outcome, ...], Ladder]:
    """Every operation of the catalogue, computed or set aside with its reason, and the ladder it stands in."""
    case, found = worked.case, worked.outcomes()
    if found:
        found = [worked.swings.add_to(outcome, i) for i, outcome in enumerate(found)]
    able = able_of(found)
    ladder = worked.ladder(able)
    for i, standing in zip(able, ladder.standings(), strict=False):  # the last two are those of not operating
        found[i] = replace(found[i], standing=standing)
    done = {outcome.choice.id: outcome for outcome in found}
    every = tuple(
        done[moved.id] if moved.id in done else set_aside(as_sewn(case, moved), reason_against(case, moved) or "")
        for moved in catalogue()
    )
    return every, ladder


def able_of(outcomes: list[Outcome]) -> list[int]:
    """Places of the operations that can be offered."""
    return [i for i, outcome in enumerate(outcomes) if outcome.status != "set aside"]


def find_choice(case: Case, choice: str) -> Operation:
    """The operation with this id, or with an abbreviation that fits no other.

    Raises InputError when there is none, when several fit, or when it is set aside for this patient.
    """
    ids = {moved.id: moved for moved in catalogue()}
    moved = ids[find(choice, tuple(ids))]
    against = reason_against(case, moved)
    if against:
        more = f"{against} The choice ladder (`sinewright weigh`) shows what can be offered."
        raise InputError("choice", moved.id, "an operation that is not set aside for this patient", more)
    return moved


def rule_out(case: Case, choice: str, draws: int = 1000, seed: int = 1) -> Ruler:
    """The tension ruler of one choice, on the same legs as ``weigh`` with these draws and seed.

    Raises InputError for a choice that is not possible.
    """
    return ruler_of(case, find_choice(case, choice), draw(case, draws, seed))


def ruler_of(case: Case, moved: Operation, virtual: Virtual) -> Ruler:
    """The tension ruler of one operation on legs that are drawn already."""
    return lay_ruler(virtual, sewn_for(case, virtual.legs, [moved])[0], case.plan.tendon != "rigid")


def swing_out(
    case: Case,
    choice: str,
    draws: int = 1000,
    seed: int = 1,
    speed: float | None = None,
    margin_mm: float | None = None,
) -> SwingPage:
    """The swing of one choice beside other feet, on the same legs as ``weigh`` with these draws and seed.

    ``speed`` [m/s] and ``margin_mm``: none for the usual ones. Raises InputError for a choice, speed or margin that is
    not possible.
    """
    moved, virtual = find_choice(case, choice), draw(case, draws, seed)
    plan = sewn_for(case, virtual.legs, [moved])[0]
    margin = usual_margin_mm() if margin_mm is None else margin_mm
    if not 0.0 <= margin <= MOST_MARGIN_MM:
        allowed = f"0 to {MOST_MARGIN_MM:g} mm"
        raise InputError("--margin-mm", f"{margin:g} mm", allowed, "Give the clearance under the sole to ask for.")
    return swing_page(case, virtual, plan, choice=choice_of(plan), seed=seed, speed=speed, margin_mm=margin)


def ask_next(case: Case, draws: int = 1000, seed: int = 1, progress: Progress | None = None) -> Asked:
    """What to measure next, and what the lift of the leading choices hangs on."""
    return asked_of(work(case, draws, seed, progress), progress)


def asked_of(worked: Worked, progress: Progress | None = None) -> Asked:
    """``ask_next`` for what is computed already."""
    case, seed = worked.case, worked.seed
    able = able_of(worked.outcomes())
    questions: tuple[Answered, ...] = ()
    leading: tuple[Leading, ...] = ()
    if able:
        ladder = worked.ladder(able)
        offered = ladder.offered() or ladder.operations()
        first = [able[place] for place in offered[:LEADERS]]
        leaders = [worked.plans[i] for i in first]
        lift = np.where(worked.failed[:, first[0]] == 0, deg(worked.answers[:, first[0], a.LIFT]), np.nan)
        moves = effects(case, _lifts_of(leaders, worked.elastic), PAIRS, seed, progress=progress)
        questions = ask(case, worked.virtual, ladder.met.some(offered), lift, seed)
        leading = tuple(Leading(choice_of(plan), found) for plan, found in zip(leaders, moves, strict=True))
    return Asked(
        version=__version__,
        invented=case.invented,
        side=case.side,
        pseudonym=case.pseudonym,
        seed=seed,
        draws=len(worked.answers),
        effective_sample_size=worked.virtual.sample.effective_sample_size,
        questions=questions,
        leading=leading,
    )


def _lifts_of(leaders: list[SewnOperation], elastic: bool) -> Callable[[Legs], Floats]:
    """Lift [deg] of some operations as a function of the legs, (N, K); NaN where no balance was found."""
    plans = build_plans(leaders)

    def lifts(legs: Legs) -> Floats:
        answers, failed = a.answer(legs, plans, elastic)
        return np.where(failed == 0, deg(answers[:, :, a.LIFT]), np.nan)

    return lifts
