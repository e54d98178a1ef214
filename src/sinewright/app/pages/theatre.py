"""Theatre: the frozen plan in large type, what was measured in, millimetres out, undo; the page to print."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime, timedelta
from functools import partial
from typing import Any

from fastapi import Response
from nicegui import app, ui

from sinewright.app.elements import Say, TableEntryBox, box, button, link, markup, source_note
from sinewright.app.frame import CaseHead, page
from sinewright.app.open_case import frozen_of, plan_that_stands
from sinewright.app.services import Services
from sinewright.app.waiting import Waiting
from sinewright.app.where_from import EveryRow, cautions_note, legs, show_source_note
from sinewright.choose.sewing import as_sewn
from sinewright.errors import InputError, SinewrightError
from sinewright.export.planned import Planned
from sinewright.export.theatre import MASTER, theatre_content, theatre_page
from sinewright.learn.entries import ANGLES, PLAIN, Kind, Limb, TableReading
from sinewright.plan import find_choice
from sinewright.results import TableAnswer, Told
from sinewright.service.worker import FrozenPlan
from sinewright.store.table_record import Noted, keep_once, noted, take_back
from sinewright.units import deg

ASKED: tuple[tuple[Kind, str, str, tuple[str, ...]], ...] = (
    ("rest", "Foot rests", "°", ("up", "down")),
    ("mark", "Mark beyond its start point", "mm", ("tighter", "slacker")),
    ("tendon", "Free tendon, mark to cut", "mm", ()),
    ("spring", "Spring scale at the mark", "N", ()),
    ("stimulated", "Foot while stimulated", "°", ("up", "down")),
    ("moved", "Junction set again by", "mm", ("tighter", "slacker")),
)
LESS = ("down", "slacker")
LIMB_WORDS: dict[str, Limb] = {"leg lying": "lying", "shank hanging": "hanging"}
EXPECTED = (("Lift", "lift_deg"), ("Push-down", "pushdown_deg"), ("To neutral", "lifts_to_neutral"))
"""How the lines of what is expected open, and which number each holds."""
ENTRIES_NOTE = (
    "Typed on this page, each with the minute it was entered; one that was taken back stays, struck through, and no "
    "longer counts. What was expected is computed on the virtual legs of the plan before the entry."
)
LONGEST = timedelta(hours=36)
"""An entry that a tab kept while the machine slept still belongs to this operation."""


@dataclass
class TheatrePage:
    """What this tab shows: the plan that stands, what was entered for it, and the answer."""

    services: Services
    name: str
    frozen: FrozenPlan
    made_at: datetime
    entries: tuple[Noted, ...]
    rows: tuple[str, ...] = ()
    slots: dict[str, Any] = field(default_factory=dict)

    @property
    def knee_deg(self) -> float:
        """Knee flexion while sewing: what an angle without a knee of its own means."""
        return round(deg(as_sewn(self.frozen.case, None).knee), 6)

    @property
    def donors(self) -> tuple[str, ...]:
        """The muscles that are moved."""
        return tuple(part.donor.muscle for part in find_choice(self.frozen.case, self.frozen.choice).parts)


def register(services: Services) -> None:
    """Puts the page and its printed form at their addresses."""

    @ui.page("/case/{name}/theatre")
    async def theatre(name: str) -> None:
        standing = await plan_that_stands(services, name)
        if standing is None:
            return
        head, found = standing
        if found is None:
            _nothing(head)
            return
        frozen, made_at = found
        entries = await services.in_thread(lambda: noted(services.store, head.name, frozen.number))
        build(TheatrePage(services, head.name, frozen, made_at, entries), head)

    @app.get("/case/{name}/theatre.pdf")
    async def printed(name: str) -> Response:
        try:
            found = frozen_of(await services.in_thread(lambda: services.store.plans(name.lower())), services.draws)
            if found is None:
                raise InputError("plan", "none", "a case with a frozen plan", "freeze one first")
            job = services.compute.ask("planned", *found, key=(*found[0].key, found[1]))
            await services.in_thread(job.ended.wait)
            if job.state != "done":
                return Response(job.problem or "stopped", 503, media_type="text/plain")
            (sheet,) = await services.in_thread(lambda: theatre_page(job.result))
            return Response(sheet, media_type="application/pdf")
        except SinewrightError as problem:
            return Response(str(problem), 404, media_type="text/plain")


def _nothing(head: CaseHead) -> None:
    with page("Theatre", "theatre", head):
        Say("h1", "Theatre")
        with box("section", "card"):
            Say("p", "No plan is frozen yet. The theatre page shows a frozen plan, and nothing else.", "large")
            link("To the plan", f"/case/{head.name}/plan", "button main")


def build(context: TheatrePage, head: CaseHead) -> None:
    """The whole page."""
    frozen = context.frozen
    with page("Theatre", "theatre", head), box("div", "theatre"):
        with box("div", "wide"):
            with box("section", "card"):
                context.slots["title"] = Say("h1", f"Plan {frozen.number}")
                context.slots["subtitle"] = Say("p", "", "hint")
                Say("p", MASTER, "watch")
                context.slots["wait"] = Waiting(partial(_planned, context))
                context.slots["tiles"] = box("div", "tiles")
                with box("div", "one-source"):
                    context.slots["profile"] = markup("", classes="paper")
                    context.slots["drawn"] = box("p", "hint")
                link("Print the page (PDF)", f"/case/{context.name}/theatre.pdf", "button", target="_blank")
            context.slots["order"] = box("section", "card")
            context.slots["rows"] = EveryRow()
        with box("div", "wide"):
            with box("section", "card"):
                Say("h2", "Measured on the table")
                _entries_asked(context)
                context.slots["problem"] = box("div", "problems", role="alert")
                with box("div", "one-source"):
                    context.slots["entries"] = box("ol", "entries")
                    context.slots["entries-from"] = markup(
                        source_note("typed here", ENTRIES_NOTE, "the entries"), tag="span", classes="entries-from"
                    )
                button("Take the last entry back", lambda: _undo(context), "big")
            with box("section", "card"):
                Say("h2", "What follows")
                context.slots["wait-table"] = Waiting(partial(_answered, context))
                context.slots["answer"] = box("div", "answer", role="status")
    context.slots["order"].set_visibility(False)
    key = (*frozen.key, context.made_at)
    context.slots["wait"].follow(context.services.compute.ask("planned", frozen, context.made_at, key=key))
    _show_entries(context, None)
    _ask(context)


def _entries_asked(context: TheatrePage) -> None:
    knee = f"{context.knee_deg:g} as sewn"
    for kind, label, unit, ways in ASKED:
        made = TableEntryBox(kind, label, unit, ways, lambda event: _enter(context, event.args))
        made.props["keep"] = f"{context.name} {context.frozen.number}"
        if kind in ANGLES:
            made.posture(knee, tuple(LIMB_WORDS) if kind == "rest" else ())
        context.slots[f"ask-{kind}"] = made


def _ask(context: TheatrePage) -> None:
    entries = tuple(each.entry for each in context.entries)
    job = context.services.compute.ask(
        "table", context.frozen, entries, key=(*context.frozen.key, entries), urgent=True
    )
    context.slots["wait-table"].follow(job)


def _planned(context: TheatrePage, planned: Planned) -> None:
    content = theatre_content(planned, "a4", (), True)
    context.slots["title"].text = f"{content['title']} · plan {context.frozen.number}"
    context.slots["subtitle"].text = content["subtitle"]
    context.slots["profile"].set_content(content["svg"])
    context.rows = planned.weighing.rows
    context.slots["rows"].show(context.rows)
    with context.slots["drawn"]:
        Say("span", "Lengths and angles in the drawing ")
        _source_note(context, "drawn", "lengths and angles in the drawing")
    with context.slots["tiles"]:
        for tile, key in zip(content["tiles"], _keys(content["tiles"], len(context.donors)), strict=True):
            with box("div", "tile strong" if tile.get("strong") else "tile"):
                Say("b", tile["big"])
                Say("span", tile["small"])
                _source_note(context, key, tile["big"])
    _order(context, content, planned)


def _keys(tiles: list[dict[str, Any]], donors: int) -> list[str]:
    """Which number each tile is: free tendon of every donor, reach where it is known, tension, resting angle."""
    keys = ["free_mm"] * donors + ["reach_margin_mm", "set_stretch_mm", "rest_on_table_deg"]
    if len(tiles) < len(keys):
        keys.remove("reach_margin_mm")
    return keys


def _source_note(context: TheatrePage, key: str, about: str) -> None:
    frozen = context.frozen
    show_source_note(key, frozen.case, context.donors, legs(frozen.draws, frozen.seed, context.rows), about)


def _order(context: TheatrePage, content: dict[str, Any], planned: Planned) -> None:
    slot = context.slots["order"]
    slot.set_visibility(True)
    with slot:
        Say("h2", "In order")
        with box("div", "one-source"):
            with box("ol", "steps"):
                for step in content["steps"]:
                    Say("li", step)
            _source_note(context, "steps", "numbers of the steps")
        Say("h2", "If the resting angle is outside the range")
        with box("div", "one-source"):
            with box("dl", "facts"):
                for when, then in content["wrong"]:
                    with box("div"):
                        Say("dt", when)
                        Say("dd", then)
            _source_note(context, "slope", "millimetres for each degree")
        for text in content["expected"]:
            with box("p"):
                Say("span", f"{text} ")
                _source_note(context, next(key for opening, key in EXPECTED if text.startswith(opening)), text)
        with box("p"):
            Say("span", f"{content['reserve']} ")
            _source_note(context, "reserve", "what is still possible")
        Say("h2", "Watch")
        with box("div", "one-source"):
            for text in content["cautions"]:
                Say("p", text, "watch")
            note = cautions_note((*planned.outcome.rules, *planned.weighing.rules), planned.weighing.warnings)
            markup(source_note("sources", note, "what to watch"), tag="span")


async def _enter(context: TheatrePage, told: dict[str, Any]) -> None:
    problem, asked = context.slots["problem"], context.slots.get(f"ask-{told.get('kind')}")
    problem.clear()
    services, number = context.services, context.frozen.number
    try:
        entry = _entry(told)
        await services.in_thread(lambda: keep_once(services.store, services.role, context.name, number, entry))
    except SinewrightError as refused_:
        with problem:
            Say("p", str(refused_), "problem")
        if asked is not None:
            asked.refused()
        return
    if asked is not None:
        asked.kept(told.get("at", ""))
    await _again(context)


def _entry(told: dict[str, Any]) -> TableReading:
    """An entry from the page: its size, its direction as a word, and for an angle how the limb lay."""
    kind = next((each[0] for each in ASKED if each[0] == told.get("kind")), None)
    if kind is None:
        raise InputError("kind", str(told.get("kind")), ", ".join(each[0] for each in ASKED), "reload the page")
    size, way = float(told["size"]), str(told.get("way", ""))
    if kind not in PLAIN and size != 0.0 and not way:
        raise InputError(kind, f"{size:g}", "a direction as a word", "say up or down, tighter or slacker")
    value, at = -size if way in LESS else size, _moment(told.get("at"))
    if kind not in ANGLES:
        return TableReading(kind, value, at)
    knee, limb = told.get("knee"), LIMB_WORDS.get(str(told.get("limb") or "leg lying"))
    if limb is None:
        raise InputError("limb", str(told.get("limb")), ", ".join(LIMB_WORDS), "say how the shank lay")
    return TableReading(kind, value, at, None if knee is None else float(knee), limb)


def _moment(given: object) -> datetime:
    """When an entry was first sent, by the clock of this machine; now where the page did not say."""
    now = datetime.now().replace(microsecond=0)
    if not given:
        return now
    try:
        at = datetime.fromisoformat(str(given))
    except ValueError:
        at = None
    if at is None or at.tzinfo is not None or abs(now - at) > LONGEST:
        allowed = f"a moment within {LONGEST.total_seconds() / 3600:g} hours of now"
        raise InputError("at", str(given)[:40], allowed, "type the reading again")
    return at


async def _undo(context: TheatrePage) -> None:
    now = datetime.now().replace(microsecond=0)
    await context.services.in_thread(
        lambda: take_back(context.services.store, context.services.role, context.name, context.frozen.number, now)
    )
    await _again(context)


async def _again(context: TheatrePage) -> None:
    context.entries = await context.services.in_thread(
        lambda: noted(context.services.store, context.name, context.frozen.number)
    )
    _show_entries(context, None)
    _ask(context)


def _show_entries(context: TheatrePage, answer: TableAnswer | None) -> None:
    slot = context.slots["entries"]
    slot.clear()
    with slot:
        for each in context.entries if answer is None else ():
            words = f"{each.entry.at:%H:%M} {each.entry.words(context.knee_deg)}"
            Say("li", words if each.entry.counts else f"{words}, taken back", "" if each.entry.counts else "back")
        for told in answer.entries if answer else ():
            with box("li", "" if told.counts else "back"):
                Say("span", f"{told.at[11:16]} {told.words}{'' if told.counts else ', taken back'}")
                if told.expected:
                    Say("span", f" expected {told.expected}", "hint")
                _explained(told)


def _explained(told: Told) -> None:
    """What would explain a reading that contradicts the rest: what fits first, the rest when it is asked for."""
    for reason in told.explanations:
        if reason.fits:
            Say("p", reason.text, "problem")
    for fits, words in ((None, "may be, the numbers cannot tell"), (False, "tried, does not explain it")):
        left = [reason.text for reason in told.explanations if reason.fits is fits]
        if left:
            with box("details", "more"):
                Say("summary", f"{len(left)} more: {words}")
                for text in left:
                    Say("p", text, "hint")


def _answered(context: TheatrePage, answer: TableAnswer) -> None:
    _show_entries(context, answer)
    slot = context.slots["answer"]
    slot.clear()
    context.slots["rows"].show((*context.rows, *answer.rows))
    with slot, box("div", "one-source"):
        for sentence in answer.sentences:
            Say("p", sentence, "large")
        speaking = answer.speaking
        drawn = legs(speaking.draws, answer.seed, answer.rows)
        told = f"{drawn} {speaking.effective_sample_size:.0f} of them speak after the entries."
        show_source_note("table", context.frozen.case, context.donors, told, "the sentences above")
