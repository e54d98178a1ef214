"""Plan: one operation to scale, how tight, in which posture, what 5 mm more or less would do; freezing it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property, partial
from typing import Any

from fastapi import Request
from nicegui import ui

from sinewright.app.elements import Say, box, link, markup, named_note, source_note
from sinewright.app.examination import Examination
from sinewright.app.frame import CaseHead, page
from sinewright.app.freezing import Freezing, Ready
from sinewright.app.how_sewn import HowSewn, calf_first, show_exchange
from sinewright.app.ladder_rows import ordered, why
from sinewright.app.leg_view import LegView
from sinewright.app.open_case import open_case
from sinewright.app.services import SEED, Services
from sinewright.app.waiting import Waiting
from sinewright.app.where_from import POSTURE as POSTURE_ROWS
from sinewright.app.where_from import EveryRow, legs, note_of, show_views
from sinewright.case import Case, digest
from sinewright.choose.answer import answer_of
from sinewright.choose.find import find, is_number
from sinewright.errors import InputError
from sinewright.export.ruler_picture import BANDS, draw_bands
from sinewright.protect.tension import tension_sentence
from sinewright.results import Fired, Outcome, Spread, Weighing
from sinewright.service.worker import LIVE_DRAWS, Sewing
from sinewright.store.plans import KeptPlan
from sinewright.transfer.catalogue import catalogue
from sinewright.wording.columns import RULER_COLUMNS, Column
from sinewright.wording.counts import in_hundred
from sinewright.wording.operations import short_way
from sinewright.wording.standing import Worths

SLIDER_ROWS = ("own-tension-kept", "own-sewing-pull", *POSTURE_ROWS)


@dataclass
class PlanPage:
    """What this tab shows: the case, the operation, its ruler and drawing, and what a slider asks for meanwhile."""

    services: Services
    exam: Examination
    choice: str
    kept: tuple[KeptPlan, ...]
    sewing: Sewing | None = None
    weighing: Weighing | None = None
    moved: dict[str, float] = field(default_factory=dict)
    sewn_for: str = ""
    weighed_for: str = ""
    slots: dict[str, Any] = field(default_factory=dict)

    @cached_property
    def leg(self) -> LegView:
        """The drawing and the solid of this tab."""
        return LegView(self.services, self.exam.case.side)

    @cached_property
    def how(self) -> HowSewn:
        """The controls of this tab."""
        return HowSewn(partial(_move, self), partial(_keep, self), partial(_undo, self))

    @cached_property
    def freezing(self) -> Freezing:
        """The card that freezes."""
        ready, note = partial(_ready, self), partial(_source_note, self)
        return Freezing(self.services, self.exam, self.kept, ready, note)

    @property
    def case(self) -> Case:
        """The case with what the sliders say now, stored or not."""
        plan = self.exam.case.plan.model_copy(update=self.moved)
        return self.exam.case.model_copy(update={"plan": plan})

    @property
    def fresh(self) -> bool:
        """True when drawing, ruler and weighing are all those of the case as it is stored now."""
        return digest(self.exam.case) == self.sewn_for == self.weighed_for and self.outcome is not None

    @property
    def outcome(self) -> Outcome | None:
        """What the weighing says about this operation."""
        found = self.weighing.outcomes if self.weighing else ()
        return next((each for each in found if each.choice.id == self.choice), None)


def register(services: Services) -> None:
    """Puts the page at its address."""

    @ui.page("/case/{name}/plan")
    async def plan(name: str, request: Request) -> None:
        opened = await open_case(services, name)
        if opened is None:
            return
        exam, head = opened
        kept = await services.in_thread(lambda: services.store.plans(exam.stored.name))
        last = next((found for each in kept[::-1] if (found := each.chosen)), None)
        choice = request.query_params.get("choice", "") or (last.id if last else "")
        try:
            choice = meant(choice)
        except InputError as problem:
            _unknown(head, problem)
            return
        build(PlanPage(services, exam, choice, kept), head)


def meant(choice: str) -> str:
    """The operation that an address names: an id, whole dotted words of it, or a number of the ladder as it is.

    Raises
    ------
    InputError
        When no operation, or more than one, is called so.
    """
    if not choice or is_number(choice):
        return choice.strip().lower()
    return find(choice, tuple(moved.id for moved in catalogue()))


def _unknown(head: CaseHead, problem: InputError) -> None:
    with page("Plan", "plan", head), box("section", "card"):
        Say("h1", "No such operation")
        Say("p", str(problem))
        link("To the choices", f"/case/{head.name}/choices", "button main")


def build(context: PlanPage, head: CaseHead) -> None:
    """The whole page; without a choice the first under the patient's weights is taken."""
    with page("Plan", "plan", head):
        _calf_strip(context)
        _columns(context)
    context.slots["outcome"].set_visibility(False)
    if context.choice and not is_number(context.choice):
        _sew(context)
    else:
        _ask_weighing(context)


def _calf_strip(context: PlanPage) -> None:
    """A calf procedure that is set stays in view, whatever else of the page is looked at."""
    with box("p", "calf-strip") as strip:
        context.slots["calf-words"] = Say("span", "")
        context.slots["calf-from"] = box("span")
    context.slots["calf-strip"] = strip
    strip.set_visibility(False)


def _columns(context: PlanPage) -> None:
    """Drawing left; what is set, the ruler that it moves and the press that freezes right; what explains it below."""
    with box("div", "planning") as planning:
        with box("div", "wide"), box("section", "card one-source"):
            context.leg.build()
        with box("div", "wide"):
            with box("section", "card") as sliders:
                context.slots["title"] = Say("h1", "Plan")
                context.slots["subtitle"] = Say("p", "", "hint")
                context.slots["wait"] = Waiting(partial(_sewn, context), partial(_unsewn, context))
                context.slots["wait-weigh"] = Waiting(partial(_weighed, context))
                with box("div") as controls:
                    context.how.before_mark = partial(_ruler, context)
                    context.how.build(context.exam.case)
            with box("section", "card") as freezing:
                context.freezing.build()
            with box("section", "card") as folds:
                _folds(context)
            context.slots["outcome"] = box("section", "card outcome")
            context.slots["rows"] = EveryRow()
    context.slots |= {"planning": planning, "sliders": sliders, "freezing": freezing}
    context.slots |= {"controls": controls, "folds": folds}


def _ruler(context: PlanPage) -> None:
    """The bands, and beside each its number."""
    with box("div", "ruler-beside one-source"):
        context.slots["ruler"] = markup("", classes="paper ruler")
        _table(context)


def _folds(context: PlanPage) -> None:
    """What is said in full, and what would do the same in other postures: closed until it is asked for."""
    with box("details", "more"):
        Say("summary", "Step by step")
        with box("div", "one-source"):
            context.slots["words"] = box("ul", "instruction")
            context.slots["ruler-from"] = box("span", "hint")
    with box("details", "more"):
        Say("summary", "Other postures")
        with box("div", "one-source"):
            context.slots["exchange"] = box("div")
            context.slots["exchange-from"] = box("span", "hint")


def _sew(context: PlanPage) -> None:
    case, draws = context.case, context.services.draws
    about = digest(case)
    context.slots["wait-weigh"].drop(digest(context.exam.case))  # else this would stand behind it
    context.services.compute.ask("ready", case, SEED, key=("ready",))
    job = context.services.compute.ask(
        "sew", case, context.choice, draws, SEED, key=(about, context.choice, draws, SEED)
    )
    context.slots["wait"].follow(job, about)
    context.freezing.clear()
    _allow(context)


def _unsewn(context: PlanPage) -> None:
    """It cannot be sewn as it is set, or was stopped: nothing of another way of sewing stays beside what is set."""
    context.sewing, context.sewn_for = None, ""
    context.slots["planning"].classes("unsewn")
    context.slots["calf-strip"].set_visibility(False)
    context.freezing.clear()
    context.how.unsewn(context.case)
    _allow(context)


async def _sewn(context: PlanPage, sewing: Sewing) -> None:
    context.sewing, context.sewn_for = sewing, context.slots["wait"].about
    context.slots["planning"].classes(remove="unsewn")
    ruler = sewing.ruler
    context.choice = ruler.choice.id  # an address may hold an abbreviation
    context.slots["title"].text = ruler.choice.title
    choice = ruler.choice
    context.slots["subtitle"].text = short_way(choice.route, choice.recipient, choice.subtitle)
    context.slots["ruler"].set_content(draw_bands(ruler, context.exam.case.side))
    with context.slots["words"].clear():
        tension = sewing.leg.tension
        for sentence in (*ruler.sentences[:-1], *((tension_sentence(tension),) if tension else ())):
            Say("li", sentence)
    with context.slots["exchange"].clear():
        show_exchange(ruler)
    context.how.follow(sewing, context.case, context.moved)
    _calf_words(context, sewing.calf_gain_deg)
    _numbers(context, ruler.chosen.quantities, f"{context.services.draws} virtual legs")
    _marks(context)
    await context.leg.sewn(sewing)
    _ask_weighing(context)


def _marks(context: PlanPage) -> None:
    """Where the numbers of drawing, ruler and table come from; anew once the weighing knows every row."""
    for key, place in context.slots["source-note"].items():
        with place.clear():
            markup(named_note(_label(key), _note(context, key)), tag="span")
    with context.slots["ruler-from"].clear():
        _source_note(context, "ruler", "what the ruler shows")
    with context.slots["exchange-from"].clear():
        _source_note(context, "exchange", "what does the same in other postures")
    with context.slots["calf-from"].clear():
        _source_note(context, "calf_gain", "the gain of the calf")
    context.how.marks(context.exam.case, _computed(context), SLIDER_ROWS)
    with context.leg.slots["source-note"].clear():
        _source_note(context, "drawn", "lengths and angles in the drawing")


def _ask_weighing(context: PlanPage) -> None:
    case = context.exam.case
    context.slots["wait-weigh"].follow(context.services.weighing(case), digest(case))
    _allow(context)


def _weighed(context: PlanPage, weighing: Weighing) -> None:
    context.weighing, context.weighed_for = weighing, context.slots["wait-weigh"].about
    if not context.choice or is_number(context.choice):
        _pick(context, weighing)
        return
    context.slots["rows"].show((*weighing.rows, "own-ruler-kept"))
    if context.sewing is not None:
        _marks(context)
    _outcome(context)
    _allow(context)


def _pick(context: PlanPage, weighing: Weighing) -> None:
    """The operation with the number of the ladder that was asked for, else the first under the patient's weights."""
    able = [each for each in ordered(weighing.outcomes, "worth") if each.status != "set aside"]
    if context.choice:
        ways = {way.number: way.id for rung in answer_of(weighing).rungs for way in rung.ways}
        if context.choice not in ways:
            _nothing(context, f'No operation of this ladder has the number "{context.choice}".')
            return
        context.choice = ways[context.choice]
    elif able:
        context.choice = able[0].choice.id
    else:
        _nothing(context, "Every operation is set aside for this patient.")
        return
    _sew(context)


def _nothing(context: PlanPage, words: str) -> None:
    """Nothing can be sewn: what there would be to move or freeze goes, the way to the reasons stays."""
    context.slots["subtitle"].text = words
    context.slots["planning"].classes("nothing")
    for name in ("controls", "freezing", "folds"):
        context.slots[name].set_visibility(False)
    with context.slots["sliders"]:
        link("To the choices: why, and the other ways", f"/case/{context.exam.stored.name}/choices", "button main")


def _calf_words(context: PlanPage, gain_deg: float) -> None:
    words = calf_first(context.case, gain_deg)
    context.slots["calf-words"].text = f"{words} "
    context.slots["calf-strip"].set_visibility(bool(words))


async def _move(context: PlanPage, name: str, value: float) -> None:
    """Numbers while a slider moves, on fewer legs; what the plan leaves open follows."""
    context.moved[name] = value
    await _live(context)


async def _live(context: PlanPage) -> None:
    if context.sewing is None or context.slots.get("asking"):
        return
    context.slots["asking"] = True
    try:
        asked = ""
        while asked != digest(context.case):
            asked = digest(context.case)
            await _answer(context, asked)
    finally:
        context.slots["asking"] = False


async def _answer(context: PlanPage, about: str) -> None:
    """One answer on the first legs: calf, posture and tension of that moment, chosen anew where the plan is open."""
    assert context.sewing is not None
    key = (about, context.choice, context.services.draws, SEED)
    job = context.services.compute.ask("live", context.sewing.first, context.case, context.choice, key=key, urgent=True)
    await context.services.in_thread(job.ended.wait)
    if job.state != "done" or context.sewing is None or about == context.sewn_for:  # the ruler itself came first
        return
    few = min(LIVE_DRAWS, context.services.draws)
    _numbers(context, job.result.quantities, f"{few} virtual legs, while you move")
    context.how.follow(job.result, context.case, context.moved)
    _calf_words(context, job.result.calf_gain_deg)


async def _keep(context: PlanPage, values: dict[str, Any]) -> None:
    """Stores wishes, None to leave one open, as one version; answers at once on a few legs and lays the ruler again."""
    exam = context.exam
    done = await context.services.in_thread(
        lambda: exam.edit_together({f"plan.{name}": each for name, each in values.items()})
    )
    for name in values:
        context.moved.pop(name, None)
    words = f"Stored, version {exam.stored.version}." if done else f"Not stored. {' '.join(exam.problems.values())}"
    _stands(context, words, done)
    await _live(context)


async def _undo(context: PlanPage) -> None:
    exam = context.exam
    told = await context.services.in_thread(exam.undo)
    words = f"Taken back; version {exam.stored.version}." if told else "Nothing to take back."
    if told:
        context.moved.clear()
    _stands(context, words, bool(told))
    await _live(context)


def _stands(context: PlanPage, words: str, changed: bool) -> None:
    """The page says what became of an entry, and follows it."""
    context.how.said(words)
    context.how.show(context.case, context.moved)
    if not changed:
        context.how.back()
    elif context.choice:
        _sew(context)


def _key(column: Column) -> str:
    return "rest_on_table_deg" if column.key == "rest_deg" else column.key


def _label(key: str) -> str:
    if key == "rest_on_table_deg":
        return "foot rests on the table"
    return next(column.label for column in RULER_COLUMNS if column.key == key)


def _beside() -> list[str]:
    """The numbers in the order of the bands that they stand beside, then the one that has no band."""
    bands = [band.key for band in BANDS]
    return [*bands, *(key for key in map(_key, RULER_COLUMNS) if key not in bands)]


def _table(context: PlanPage) -> None:
    """The numbers that follow; built once, so that a note stays open while a slider moves."""
    cells: dict[str, tuple[Say, Say]] = {}
    context.slots["cells"], context.slots["source-note"] = cells, {}
    with box("table", "answers"):
        context.slots["basis"] = Say("caption", "What follows", "hint sr")
        with box("tbody"):
            for key in _beside():
                with box("tr"):
                    with box("th", scope="row") as named:
                        Say("span", _label(key))
                    context.slots["source-note"][key] = named
                    with box("td"):
                        cells[key] = Say("b", ""), Say("span", "")


def _numbers(context: PlanPage, quantities: Mapping[str, Spread], basis: str) -> None:
    context.slots["basis"].text = f"What follows, on {basis}"
    for column in RULER_COLUMNS:
        key = _key(column)
        middle, wide = column.cell(quantities.get(key), "°")
        cells = context.slots["cells"][key]
        cells[0].text, cells[1].text = middle, f" {wide}" if wide else ""


def _source_note(context: PlanPage, key: str, about: str) -> None:
    """The mark beside a number of the operation as it is sewn."""
    markup(source_note("computed", _note(context, key), about), tag="span")


def _note(context: PlanPage, key: str) -> str:
    assert context.sewing is not None
    donors = context.sewing.ruler.choice.donor.split(" + ")
    return note_of(key, context.exam.case, donors, _computed(context))


def _computed(context: PlanPage) -> str:
    return legs(context.services.draws, SEED, context.weighing.rows if context.weighing else ())


def _outcome(context: PlanPage) -> None:
    slot, outcome, weighing = context.slots["outcome"], context.outcome, context.weighing
    slot.clear()
    if outcome is None or weighing is None:
        return
    slot.set_visibility(True)
    with slot:
        Say("h2", "What this choice means")
        if outcome.reason:
            with box("p"):
                Say("span", f"{outcome.status.capitalize()}: {outcome.reason} ")
                for each in why(outcome, context.exam.case, _computed(context)):
                    markup(source_note("computed", each["note"], each["label"]), "span")
        with box("dl", "facts"):
            clears = outcome.chances.get("clears_swing")
            if clears is not None:
                _fact(context, "Clears the floor without a brace", in_hundred(clears), "clears_swing")
            titles = Worths.of(weighing).titles or {}
            if outcome.standing is not None:
                left = titles.get(outcome.standing.reserve, "nothing of the list")
                _fact(context, "If it fails, still possible", left, "reserve")
        flags = outcome.balance.flags if outcome.balance else ()
        if outcome.rules or flags:
            with box("details", "more"):
                Say("summary", f"What to watch: {len(outcome.rules) + len(flags)}")
                _watch(context, outcome.rules, flags)


def _watch(context: PlanPage, rules: Sequence[Fired], flags: Sequence[str]) -> None:
    """What the rules say about this operation in full; its dangers stand beside the press in a few words, unfolded."""
    for rule in rules:
        with box("p", "watch"):
            Say("span", f"{rule.text[:1].upper()}{rule.text[1:]} ")
            show_views(rule.views)
    for text in flags:
        with box("p", "watch"):
            Say("span", f"{text[:1].upper()}{text[1:]} ")
            if context.sewing is not None:
                _source_note(context, "outward_after_Nm" if "out" in text else "inward_after_Nm", text)


def _fact(context: PlanPage, name: str, words: str, key: str) -> None:
    with box("div"):
        Say("dt", name)
        with box("dd"):
            Say("span", f"{words} ")
            if context.sewing is not None:
                _source_note(context, key, name)


def _allow(context: PlanPage) -> None:
    context.freezing.allow()


def _ready(context: PlanPage) -> Ready | None:
    """What can be frozen: drawing, ruler and weighing of the case as it is stored now."""
    sewing, weighing, outcome = context.sewing, context.weighing, context.outcome
    if sewing is None or weighing is None or outcome is None or not context.fresh:
        return None
    return Ready(sewing, weighing, outcome)
