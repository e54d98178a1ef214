"""What runs in the worker process: the calculations by name, each telling how far it is and stopping when told to."""

from __future__ import annotations

import contextlib
import os
import signal
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from multiprocessing.connection import Connection
from typing import TYPE_CHECKING, Any, TypeVar

from cachetools import LRUCache

from sinewright.errors import SinewrightError

if TYPE_CHECKING:
    from sinewright.case import Case
    from sinewright.doubt.virtual import Virtual
    from sinewright.export.leg import DrawnLeg
    from sinewright.export.planned import Planned
    from sinewright.export.solid import SolidLeg
    from sinewright.learn.entries import TableReading
    from sinewright.learn.session import Session
    from sinewright.plan import Worked
    from sinewright.protect.protection import Wish
    from sinewright.results import Asked, OperationSummary, Protection, Ruler, Spread, TableAnswer, Weighing

LIVE_DRAWS = 128
"""Virtual legs behind the numbers that follow a slider while it moves; the ruler itself uses all of them. As many as a
tension is chosen on (``choose.tension.LEGS``), so that what follows is what will be sewn."""
QUICK, THEATRE = frozenset(("ready", "live", "draw")), frozenset(("table", "sheet"))
"""What a hand on a slider waits for, and what theatre waits for: each has a worker of its own."""
RANKS = {"sew": -1, "planned": -1, "protect": -1, "ask": 1, "checks": 2}
AHEAD = 5
"""Whose turn comes sooner: the short before a weighing; what to measure next after it, and the evidence last. `AHEAD`
is the rank of drawings that nobody asked for yet."""
CASES, TABLES, GIVES_WAY = 16, 4, 10
"""Cases and tables that are remembered; how far (``nice``) long work gives way to the pages."""
Made = TypeVar("Made")
Frame = tuple[str, dict[str, Any]]  # the drawing as SVG and the solid as plain content


class StoppedError(Exception):
    """Nobody waits for this calculation any more."""


@dataclass(frozen=True)
class Sewing:
    """One operation worked out for the plan page: its ruler, what is drawn of it, and the first of its virtual legs,
    which answer while a slider moves. `overlap_mm`: tendon used up at the junction;
    `calf_gain_deg`: what the calf procedure adds, see ``calf_gain``."""

    ruler: Ruler
    leg: DrawnLeg
    first: Virtual
    overlap_mm: float
    calf_gain_deg: float


@dataclass(frozen=True)
class Following:
    """What one way of sewing would do on a few legs while a slider moves: spreads, tension and posture as sewn then."""

    quantities: dict[str, Spread]
    choice: OperationSummary
    calf_gain_deg: float


@dataclass(frozen=True)
class FrozenPlan:
    """A frozen plan as the theatre needs it: the case as it was, the operation, its set stretch [mm]."""

    case: Case
    choice: str
    set_stretch_mm: float
    draws: int
    seed: int
    number: int

    @property
    def key(self) -> tuple[object, ...]:
        """Everything that an answer depends on."""
        from sinewright.case import digest

        return digest(self.case), self.choice, self.set_stretch_mm, self.draws, self.seed, self.number


def whose(arguments: tuple[object, ...]) -> object:
    """The name of the case that a calculation is about, None where it is about none: turns are shared by case."""
    from sinewright.case import Case

    found = arguments[0] if arguments else None
    case = found.case if isinstance(found, FrozenPlan) else found
    return case.pseudonym if isinstance(case, Case) else None


def kept_or_made(kept: LRUCache[object, Any], key: object, make: Callable[[], Made]) -> Made:
    """What is kept under `key`, else what `make` gives, which is kept from then on."""
    if key not in kept:
        kept[key] = make()
    value: Made = kept[key]
    return value


class Workspace:
    """The worker's own memory: legs of the last cases, so that a change of weights does not draw them again."""

    def __init__(self, pipe: Connection) -> None:
        self.pipe = pipe
        self._worked: LRUCache[object, Any] = LRUCache(CASES)
        self._virtual: LRUCache[object, Any] = LRUCache(CASES)
        self._sessions: LRUCache[object, Any] = LRUCache(TABLES)

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
        """Everything computed for a case; neither its name nor what matters to the patient changes it."""
        from dataclasses import replace

        from sinewright.case import digest
        from sinewright.case.wishes import Goals
        from sinewright.plan import work

        key = (digest(case.model_copy(update={"goals": Goals(), "pseudonym": ""})), draws, seed)
        worked = kept_or_made(self._worked, key, lambda: work(case, draws, seed, self.progress))
        kept_or_made(self._virtual, _legs_key(case, draws, seed), lambda: worked.virtual)
        if worked.later.swings is None:
            self.stage("following each foot through a step")
            worked.swing_out(self.progress)
        return replace(worked, case=case)  # shares what is worked out later

    def virtual(self, case: Case, draws: int, seed: int) -> Virtual:
        """The legs of a case; how a tendon is to be sewn does not change them, a calf procedure is done to them."""
        from sinewright.doubt.virtual import draw, with_calf

        def make() -> Virtual:
            self.stage(f"drawing {draws} virtual legs that agree with the examination")
            return draw(case, draws, seed)

        return with_calf(kept_or_made(self._virtual, _legs_key(case, draws, seed), make), case)

    def session(self, asked: FrozenPlan) -> Session:
        """The table of a frozen plan, ready for entries."""

        def make() -> Session:
            from sinewright.learn.prepare import prepare
            from sinewright.learn.session import Session
            from sinewright.units import m

            self.stage("laying the table of this operation")
            stretch = m(asked.set_stretch_mm)
            return Session(
                prepare(asked.case, asked.choice, asked.draws, seed=asked.seed, planned=stretch, progress=self.progress)
            )

        return kept_or_made(self._sessions, asked.key, make)


def _legs_key(case: Case, draws: int, seed: int) -> object:
    from sinewright.case import digest
    from sinewright.case.wishes import Goals

    sewing = ("fixing_ankle_deg", "fixing_subtalar_deg", "fixing_knee_deg", "set_stretch_mm", "junction_overlap_mm")
    calf = ("calf_procedure", "calf_gain_deg")
    plan = case.plan.model_copy(update=dict.fromkeys((*sewing, *calf)))
    return digest(case.model_copy(update={"goals": Goals(), "pseudonym": "", "plan": plan})), draws, seed


def _warm(workspace: Workspace) -> None:
    workspace.stage("getting ready")
    import sinewright.plan  # noqa: F401  (its import is what takes time)


def _weigh(workspace: Workspace, case: Case, draws: int, seed: int) -> Weighing:
    from sinewright.case.needed import refuse_empty
    from sinewright.compiled import prepared

    refuse_empty(case)
    first = "" if prepared() else "; the first run of this version takes about half a minute more"
    workspace.stage(f"drawing {draws} virtual legs that agree with the examination{first}")
    from sinewright.plan import weighing_of

    worked = workspace.worked(case, draws, seed)
    workspace.stage("putting the answers in order")
    return weighing_of(worked)


def _ask(workspace: Workspace, case: Case, draws: int, seed: int) -> Asked:
    workspace.stage("working out what to measure next")
    from sinewright.plan import asked_of

    return asked_of(workspace.worked(case, draws, seed), workspace.progress)


def _sew(workspace: Workspace, case: Case, choice: str, draws: int, seed: int) -> Sewing:
    from dataclasses import replace

    from sinewright.choose.sewing import as_sewn
    from sinewright.export.leg import drawn_leg
    from sinewright.plan import find_choice, ruler_of
    from sinewright.units import m, mm

    moved = find_choice(case, choice)
    virtual = workspace.virtual(case, draws, seed)
    workspace.stage("laying the tension ruler: every two millimetres, and 5 mm either side")
    ruler = ruler_of(case, moved, virtual)
    sewn = replace(as_sewn(case, moved), stretch=m(ruler.chosen.set_stretch_mm))
    leg = drawn_leg(case, sewn, virtual.legs, case.plan.tendon != "rigid", seed)
    overlap = mm(leg.tendons(leg.fixing)[0].overlap)
    return Sewing(ruler, leg, _first(virtual), overlap, calf_gain(virtual))


def _first(virtual: Virtual) -> Virtual:
    """The first few legs."""
    return virtual.take(slice(LIVE_DRAWS))


def calf_gain(virtual: Virtual) -> float:
    """What the calf procedure adds to the passive limit up, knee straight, in the middle of the legs [deg]."""
    from sinewright.doubt.sample import middle
    from sinewright.solve.passive_torque import UPPER
    from sinewright.units import deg

    return float(middle(deg(virtual.legs.passive[:, UPPER] - virtual.now.passive[:, UPPER])))


def _ready(workspace: Workspace, case: Case, seed: int) -> bool:
    """Loads what answers a slider, before the first one moves; True, so that it is not asked for again."""
    from sinewright.doubt.virtual import draw

    return draw(case, LIVE_DRAWS, seed) is not None


def _live(workspace: Workspace, first: Virtual, case: Case, choice: str) -> Following:
    """What the plan as it stands would do, on some legs, for a slider that moves: after its calf procedure, in its
    posture, with the tension that it names or that would be chosen."""
    from sinewright.choose.present import choice_of, spreads_of
    from sinewright.choose.sewing import sewn_for
    from sinewright.doubt.virtual import with_calf
    from sinewright.plan import find_choice
    from sinewright.solve.answer import answer
    from sinewright.transfer.plans import build_plans

    virtual = with_calf(first, case)
    (sewn,) = sewn_for(case, virtual.legs, [find_choice(case, choice)])
    answers, failed = answer(virtual.legs, build_plans([sewn]), case.plan.tendon != "rigid")
    good = failed[:, 0] == 0
    quantities = spreads_of(virtual.sample, answers[:, 0], virtual.legs.normal_lift, good)
    return Following(quantities, choice_of(sewn), calf_gain(virtual))


def _draw(workspace: Workspace, sewing: Sewing, solid: SolidLeg, foot: tuple[float, float]) -> Frame:
    return frame_of(sewing, solid, foot)


def frame_of(sewing: Sewing, solid: SolidLeg, foot: tuple[float, float]) -> Frame:
    """The drawing to scale and the solid, with the foot at some angles [deg]."""
    from sinewright.export.gauge import ExpectedRest
    from sinewright.export.profile import ProfileView, draw_profile
    from sinewright.export.solid import plain_solid

    rest = sewing.ruler.chosen.quantities.get("rest_on_table_deg")
    shown = ProfileView(foot[0], foot[1], headed=False, expected=ExpectedRest(rest) if rest else None)
    return draw_profile(sewing.leg, shown), plain_solid(solid.at(*foot))


def _planned(workspace: Workspace, asked: FrozenPlan, made_at: datetime) -> Planned:
    """Everything a printed page of a frozen plan needs."""
    from dataclasses import replace

    from sinewright.case import changed
    from sinewright.export.tightening import corrections

    sewing = _sew(
        workspace, changed(asked.case, {"plan.set_stretch_mm": asked.set_stretch_mm}), asked.choice, *_draws(asked)
    )
    found = planned_of(asked, _weigh(workspace, asked.case, *_draws(asked)), sewing, made_at)
    return replace(found, corrections=corrections(workspace.session(asked)))


def planned_of(asked: FrozenPlan, weighing: Weighing, sewing: Sewing, made_at: datetime) -> Planned:
    """What a printed page of a frozen plan needs, put together from what was computed before."""
    from dataclasses import replace

    from sinewright.export.planned import Planned, PlanReference

    outcome = next(each for each in weighing.outcomes if each.choice.id == sewing.ruler.choice.id)
    outcome = replace(outcome, choice=sewing.ruler.choice, quantities=sewing.ruler.chosen.quantities)
    return Planned(
        asked.case,
        weighing,
        outcome,
        ruler=sewing.ruler,
        leg=sewing.leg,
        made_at=made_at,
        by_hand=True,
        kept=PlanReference(asked.number),
    )


def _sheet(workspace: Workspace, planned: Planned, asked: FrozenPlan) -> tuple[dict[str, Any], bytes | None]:
    """What theatre shows of a frozen plan, and its printed page; None where it does not fit on one side."""
    from dataclasses import replace

    from sinewright.errors import InputError
    from sinewright.export.theatre import theatre_content, theatre_page
    from sinewright.export.tightening import corrections

    planned = replace(planned, corrections=planned.corrections or corrections(workspace.session(asked)))
    shown = theatre_content(planned, "a4", (), True)
    try:
        (page,) = theatre_page(planned)
    except InputError:  # said in words to whoever prints it
        return shown, None
    return shown, page


def _draws(asked: FrozenPlan) -> tuple[int, int]:
    return asked.draws, asked.seed


def _table(workspace: Workspace, asked: FrozenPlan, entries: tuple[TableReading, ...]) -> TableAnswer:
    """What the virtual legs say to everything entered on the table."""
    return workspace.session(asked).add(*entries).answer()


def _protect(workspace: Workspace, asked: FrozenPlan, wish: Wish) -> Protection:
    """The weeks after the operation of a frozen plan."""
    workspace.stage("what the junction carries, against what it stands as it heals")
    from sinewright.protect.protection import protection

    return protection(asked.case, asked.choice, wish, *_draws(asked))


def _checks(workspace: Workspace) -> Any:
    workspace.stage("holding published claims against the program")
    from sinewright.evidence.registry import CHECKS
    from sinewright.evidence.result import result_of
    from sinewright.evidence.scene import Scene

    scene, found = Scene(), []
    for done, check in enumerate(CHECKS):
        workspace.progress(done, len(CHECKS))
        found.append(result_of(check, scene))
    return tuple(found)


CALCULATIONS: dict[str, Callable[..., Any]] = {
    "warm": _warm, "weigh": _weigh, "ask": _ask, "sew": _sew, "ready": _ready, "live": _live, "draw": _draw,
    "planned": _planned, "sheet": _sheet, "table": _table, "protect": _protect, "checks": _checks,
}  # fmt: skip


def serve_long(pipe: Connection) -> None:
    """As ``serve``, giving way to whatever draws the pages."""
    with contextlib.suppress(AttributeError, OSError):  # not every system has it
        os.nice(GIVES_WAY)
    serve(pipe)


def serve(pipe: Connection) -> None:
    """Answers one request after the other until the pipe closes."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    workspace = Workspace(pipe)
    while True:
        try:
            request = pipe.recv()
        except EOFError:
            return
        if request == "stop":
            continue  # it came after the end of what it meant
        name, arguments = request
        try:
            pipe.send(("result", CALCULATIONS[name](workspace, *arguments)))
        except StoppedError:
            pipe.send(("stopped",))
        except SinewrightError as problem:
            pipe.send(("error", problem))
        except Exception as problem:
            pipe.send(("error", type(problem).__name__))
