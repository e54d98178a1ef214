"""What runs in the worker process: the calculations by name, each telling how far it is and stopping when told to."""

from __future__ import annotations

import signal
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from multiprocessing.connection import Connection
from typing import TYPE_CHECKING, Any

from sinewright.errors import SinewrightError

if TYPE_CHECKING:
    from sinewright.case import Case
    from sinewright.choose.ruler import Ruler
    from sinewright.doubt.virtual import Virtual
    from sinewright.export.leg import DrawnLeg
    from sinewright.export.planned import Planned
    from sinewright.learn.entries import Entry
    from sinewright.learn.result import TableAnswer
    from sinewright.learn.session import Session
    from sinewright.plan import Asked, Worked
    from sinewright.protect.protection import Wish
    from sinewright.protect.result import Protection
    from sinewright.results import Spread, Weighing

LIVE_DRAWS = 120
"""Virtual legs behind the numbers that follow a slider while it moves; the ruler itself uses all of them."""


class StoppedError(Exception):
    """Nobody waits for this calculation any more."""


@dataclass(frozen=True)
class Sewing:
    """One operation worked out for the plan page: its ruler, and what is drawn of it."""

    ruler: Ruler
    leg: DrawnLeg


@dataclass(frozen=True)
class Frozen:
    """A frozen plan as the theatre needs it: the case as it was, the operation, its set stretch [mm]."""

    case: Case
    choice: str
    stretch_mm: float
    draws: int
    seed: int
    number: int

    @property
    def key(self) -> tuple[object, ...]:
        """Everything that an answer depends on."""
        from sinewright.case import digest

        return digest(self.case), self.choice, self.stretch_mm, self.draws, self.seed, self.number


class Desk:
    """The worker's own memory: the last legs, so that a change of weights does not draw them again."""

    def __init__(self, pipe: Connection) -> None:
        self.pipe = pipe
        self._worked: tuple[object, Worked] | None = None
        self._virtual: tuple[object, Virtual] | None = None
        self._session: tuple[object, Session] | None = None

    def stage(self, words: str) -> None:
        """Says what comes now."""
        self.look()
        self.pipe.send(("stage", words))

    def progress(self, done: int, total: int) -> None:
        """Says how far it is; raises StoppedError when nobody waits."""
        self.look()
        self.pipe.send(("progress", done, total))

    def look(self) -> None:
        """Raises StoppedError when nobody waits."""
        if self.pipe.poll() and self.pipe.recv() == "stop":
            raise StoppedError

    def worked(self, case: Case, draws: int, seed: int) -> Worked:
        """Everything computed for a case; what matters to the patient does not change it."""
        from dataclasses import replace

        from sinewright.case import digest
        from sinewright.case.wishes import Goals
        from sinewright.plan import work

        key = (digest(case.model_copy(update={"goals": Goals()})), draws, seed)
        if self._worked is None or self._worked[0] != key:
            self._worked = (key, work(case, draws, seed, self.progress))
            self._virtual = (_legs_key(case, draws, seed), self._worked[1].virtual)
        return replace(self._worked[1], case=case)

    def virtual(self, case: Case, draws: int, seed: int) -> Virtual:
        """The legs of a case; how a tendon is to be sewn does not change them."""
        from sinewright.doubt.virtual import draw

        key = _legs_key(case, draws, seed)
        if self._virtual is None or self._virtual[0] != key:
            self.stage(f"drawing {draws} virtual legs that agree with the examination")
            self._virtual = (key, draw(case, draws, seed))
        return self._virtual[1]

    def session(self, asked: Frozen) -> Session:
        """The table of a frozen plan, ready for entries."""
        from sinewright.learn.prepare import prepare
        from sinewright.learn.session import Session
        from sinewright.units import m

        key = asked.key
        if self._session is None or self._session[0] != key:
            self.stage("laying the table of this operation")
            stretch = m(asked.stretch_mm)
            made = prepare(asked.case, asked.choice, asked.draws, asked.seed, stretch, self.progress)
            self._session = (key, Session(made))
        return self._session[1]


def _legs_key(case: Case, draws: int, seed: int) -> object:
    from sinewright.case import digest
    from sinewright.case.wishes import Goals

    sewing = ("fixing_ankle_deg", "fixing_subtalar_deg", "fixing_knee_deg", "set_stretch_mm", "junction_overlap_mm")
    plan = case.plan.model_copy(update=dict.fromkeys(sewing))
    return digest(case.model_copy(update={"goals": Goals(), "plan": plan})), draws, seed


def _warm(desk: Desk) -> None:
    desk.stage("getting ready")
    import sinewright.plan  # noqa: F401  (its import is what takes time)


def _weigh(desk: Desk, case: Case, draws: int, seed: int) -> Weighing:
    from sinewright.compiled import prepared

    first = "" if prepared() else "; the first run of this version takes about half a minute more"
    desk.stage(f"drawing {draws} virtual legs that agree with the examination{first}")
    from sinewright.plan import weighing_of

    worked = desk.worked(case, draws, seed)
    desk.stage("following each foot through a step, and putting the answers in order")
    return weighing_of(worked)


def _ask(desk: Desk, case: Case, draws: int, seed: int) -> Asked:
    desk.stage("working out what to measure next")
    from sinewright.plan import asked_of

    return asked_of(desk.worked(case, draws, seed), desk.progress)


def _sew(desk: Desk, case: Case, choice: str, draws: int, seed: int) -> Sewing:
    from dataclasses import replace

    from sinewright.export.leg import drawn_leg
    from sinewright.plan import as_sewn, find_choice, ruler_of
    from sinewright.units import m

    moved = find_choice(case, choice)
    legs = desk.virtual(case, draws, seed).legs
    desk.stage("laying the tension ruler: every two millimetres, and 5 mm either side")
    ruler = ruler_of(case, moved, legs)
    sewn = replace(as_sewn(case, moved), stretch=m(ruler.chosen.stretch_mm))
    return Sewing(ruler, drawn_leg(case, sewn, legs, case.plan.tendon != "rigid", seed))


def _live(desk: Desk, case: Case, choice: str, draws: int, seed: int) -> dict[str, Spread]:
    """What one tension and posture would do, on the first of the legs, for a slider that moves."""
    from sinewright.choose.present import spreads_of
    from sinewright.plan import as_sewn, find_choice
    from sinewright.solve.answer import answer
    from sinewright.transfer.plans import lay_plans

    every = desk.virtual(case, draws, seed).legs
    legs = type(every)(*(part[:LIVE_DRAWS] for part in every))
    answers, failed = answer(legs, lay_plans([as_sewn(case, find_choice(case, choice))]), case.plan.tendon != "rigid")
    good = failed[:, 0] == 0
    return spreads_of(answers[good, 0], legs.normal_lift[good])


def _planned(desk: Desk, asked: Frozen, made_at: datetime) -> Planned:
    """Everything a printed page of a frozen plan needs."""
    from dataclasses import replace

    from sinewright.case import changed
    from sinewright.export.planned import Kept, Planned
    from sinewright.plan import find_choice

    sewing = _sew(desk, changed(asked.case, {"plan.set_stretch_mm": asked.stretch_mm}), asked.choice, *_draws(asked))
    weighing = _weigh(desk, asked.case, *_draws(asked))
    choice = find_choice(asked.case, asked.choice).id
    outcome = next(each for each in weighing.outcomes if each.choice.id == choice)
    outcome = replace(outcome, choice=sewing.ruler.choice, quantities=sewing.ruler.chosen.quantities)
    return Planned(asked.case, weighing, outcome, sewing.ruler, sewing.leg, made_at, True, Kept(asked.number))


def _draws(asked: Frozen) -> tuple[int, int]:
    return asked.draws, asked.seed


def _table(desk: Desk, asked: Frozen, entries: tuple[Entry, ...]) -> TableAnswer:
    """What the virtual legs say to everything entered on the table."""
    return desk.session(asked).add(*entries).answer()


def _protect(desk: Desk, asked: Frozen, wish: Wish) -> Protection:
    """The weeks after the operation of a frozen plan."""
    desk.stage("what the junction carries, against what it stands as it heals")
    from sinewright.protect.protection import protection

    return protection(asked.case, asked.choice, wish, *_draws(asked))


def _checks(desk: Desk) -> Any:
    desk.stage("holding published claims against the program")
    from sinewright.evidence.registry import CHECKS
    from sinewright.evidence.result import result_of
    from sinewright.evidence.scene import Scene

    scene, found = Scene(), []
    for done, check in enumerate(CHECKS):
        desk.progress(done, len(CHECKS))
        found.append(result_of(check, scene))
    return tuple(found)


CALCULATIONS: dict[str, Callable[..., Any]] = {
    "warm": _warm, "weigh": _weigh, "ask": _ask, "sew": _sew, "live": _live, "planned": _planned,
    "table": _table, "protect": _protect, "checks": _checks,
}  # fmt: skip


def serve(pipe: Connection) -> None:
    """Answers one request after the other until the pipe closes."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    desk = Desk(pipe)
    while True:
        try:
            request = pipe.recv()
        except EOFError:
            return
        if request == "stop":
            continue  # it came after the end of what it meant
        name, arguments = request
        try:
            pipe.send(("result", CALCULATIONS[name](desk, *arguments)))
        except StoppedError:
            pipe.send(("stopped",))
        except SinewrightError as problem:
            pipe.send(("error", problem))
        except Exception as problem:
            pipe.send(("error", type(problem).__name__))
