"""Theatre: the frozen plan in large type, what was measured in, millimetres out, undo; the page to print.

Everything planned is read as it was frozen. Virtual legs are prepared behind it, for what is measured alone.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime, timedelta
from functools import partial
from typing import Any

from fastapi import Response
from nicegui import app, ui

from sinewright.app.elements import Say, TableEntryBox, box, button, link, markup, show_dangers, source_note
from sinewright.app.frame import CaseHead, page
from sinewright.app.frozen_sheet import Sheet, lay_sheet, page_of, sheet_of
from sinewright.app.open_case import frozen_of, plan_that_stands
from sinewright.app.services import Services
from sinewright.app.waiting import Waiting
from sinewright.app.where_from import EveryRow, legs, note_of, show_source_note
from sinewright.choose.sewing import as_sewn
from sinewright.errors import InputError, SinewrightError
from sinewright.export.planned import Planned
from sinewright.export.theatre import MASTER, theatre_page
from sinewright.learn.entries import ANGLES, PLAIN, Kind, Limb, TableReading, in_order
from sinewright.plan import find_choice
from sinewright.results import TableAnswer, Told
from sinewright.service.worker import FrozenPlan
from sinewright.store.table_record import Noted, keep_once, noted, take_back
from sinewright.units import deg
from sinewright.wording.directions import UP_DOWN

ASKED: tuple[tuple[Kind, str, str, tuple[str, ...]], ...] = (
    ("rest", "Foot rests", "°", ("up", "down")),
    ("mark", "Mark beyond start", "mm", ("tighter", "slacker")),
    ("tendon", "Tendon, mark to cut", "mm", ()),
    ("spring", "Spring scale at the mark", "N", ()),
    ("stimulated", "Foot while stimulated", "°", ("up", "down")),
    ("moved", "Junction set again by", "mm", ("tighter", "slacker")),
)
LESS = ("down", "slacker")
LIMB_WORDS: dict[str, Limb] = {"leg lying": "lying", "shank hanging": "hanging"}
MORE: tuple[Kind, ...] = ("moved", "tendon", "spring", "stimulated")
"""Readings that not every operation takes: they stand folded until one of them was entered."""
SILENT = "Nothing measured yet."
EXPECTED = (
    ("Clears the floor", "clears_swing"),
    ("Lifts to neutral", "lifts_to_neutral"),
    ("Lift,", "lift_deg"),
    ("Can still point", "pushdown_deg"),
    ("The forefoot", "lowers_foot"),
)
"""How the lines of what is expected open, and which number each holds."""
ENTRIES_NOTE = (
    "Typed on this page, each with the minute it was entered; one that was taken back stays, struck through, and no "
    "longer counts. The planned resting angle beside an entry is that of the frozen plan."
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
    sheet: Sheet | None = None
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
        store, number = services.store, frozen.number
        kept = await services.in_thread(lambda: (noted(store, head.name, number), sheet_of(store, head.name, number)))
        build(TheatrePage(services, head.name, frozen, made_at, *kept), head)

    @app.get("/case/{name}/theatre.pdf")
    async def printed(name: str) -> Response:
        try:
            found = frozen_of(await services.in_thread(lambda: services.store.plans(name.lower())), services.draws)
            if found is None:
                raise InputError("plan", "none", "a case with a frozen plan", "freeze one first")
            number = found[0].number
            kept = await services.in_thread(lambda: page_of(services.store, name.lower(), number))
            if kept is not None:
                return Response(kept, media_type="application/pdf")
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
    """The whole page: what is planned on the left, what was measured and what follows on the right."""
    with page("Theatre", "theatre", head), box("div", "theatre"):
        with box("div", "wide"):
            _planned_part(context)
            context.slots["order"] = box("section", "card")
            context.slots["rows"] = EveryRow()
        with box("div", "wide"):
            with box("section", "card follows"):
                Say("h2", "What follows", "sr")
                context.slots["wait-table"] = Waiting(partial(_answered, context))
                context.slots["answer"] = box("div", "answer", role="status")
            with box("section", "card"):
                Say("h2", "Measured")
                _entries_asked(context)
                context.slots["problem"] = box("div", "problems", role="alert")
                with box("div", "one-source") as measured:
                    context.slots["entries"] = box("ol", "entries")
                    note = source_note("typed", ENTRIES_NOTE, "the entries")
                    markup(note, tag="span", classes="entries-from")
                context.slots["measured"] = measured
                context.slots["undo"] = button("Take the last entry back", lambda: _undo(context), "big")
            context.slots["dangers"] = box("section", "card")
    _fill(context)
    _follow(context)


def _planned_part(context: TheatrePage) -> None:
    with box("section", "card"):
        context.slots["title"] = Say("h1", f"Plan {context.frozen.number}")
        context.slots["subtitle"] = Say("p", "", "hint")
        context.slots["wait"] = Waiting(partial(_lay, context))
        with box("div", "one-source"):
            context.slots["tiles"] = box("div", "tiles")
            context.slots["profile"] = markup("", classes="paper")
            with box("div", "bar"):
                link("Print", f"/case/{context.name}/theatre.pdf", "button", target="_blank")
                context.slots["drawn"] = box("span", "hint")


def _fill(context: TheatrePage) -> None:
    """What is planned, as it was frozen; a plan that was kept without its sheet is computed, this once."""
    if context.sheet is not None:
        _show(context, context.sheet)
        return
    frozen, key = context.frozen, (*context.frozen.key, context.made_at)
    job = context.services.compute.ask("planned", frozen, context.made_at, key=key, urgent=True)
    context.slots["wait"].follow(job)


async def _lay(context: TheatrePage, planned: Planned) -> None:
    try:
        context.sheet = await lay_sheet(context.services, context.name, planned, context.frozen)
    except SinewrightError as problem:
        context.slots["subtitle"].text = str(problem)
        return
    _show(context, context.sheet)
    _show_entries(context)


def _entries_asked(context: TheatrePage) -> None:
    entered = {each.entry.kind for each in context.entries}
    for asked in ASKED:
        if asked[0] not in MORE:
            _entry_box(context, *asked)
    with box("details", "more", open="" if entered.intersection(MORE) else None):
        Say("summary", f"{len(MORE)} more readings")
        for asked in ASKED:
            if asked[0] in MORE:
                _entry_box(context, *asked)


def _entry_box(context: TheatrePage, kind: Kind, label: str, unit: str, ways: tuple[str, ...]) -> None:
    made = TableEntryBox(kind, label, unit, ways, lambda event: _enter(context, event.args))
    made.props["keep"] = f"{context.name} {context.frozen.number}"
    if kind in ANGLES:
        made.posture(f"{context.knee_deg:g} as sewn", tuple(LIMB_WORDS) if kind == "rest" else ())
    context.slots[f"ask-{kind}"] = made


def _follow(context: TheatrePage) -> None:
    """Asks what follows from the entries; while none counts the page is silent, and the legs are prepared."""
    entries, key = tuple(each.entry for each in context.entries), context.frozen.key
    _show_entries(context)
    if not any(entry.counts for entry in entries):
        context.slots["wait-table"].drop(SILENT)
        with context.slots["answer"].clear():
            Say("p", SILENT, "hint")
        context.services.compute.ask("table", context.frozen, (), key=(*key, ()))
        return
    job = context.services.compute.ask("table", context.frozen, entries, key=(*key, entries), urgent=True)
    context.slots["wait-table"].follow(job)


def _show(context: TheatrePage, sheet: Sheet) -> None:
    content = sheet.shown
    context.rows = sheet.rows
    context.slots["title"].text = f"Plan {context.frozen.number}: {content['title']}"
    context.slots["subtitle"].text = content["subtitle"]
    context.slots["profile"].set_content(content["svg"])
    context.slots["rows"].show(context.rows)
    with context.slots["tiles"].clear():
        for tile in content["tiles"]:
            with box("div", "tile strong" if tile.get("strong") else "tile"):
                Say("b", tile["big"])
                Say("span", _short(tile["small"]))
    with context.slots["drawn"].clear():
        keys = (*_keys(content["tiles"], len(context.donors)), "drawn")
        notes = (note_of(key, context.frozen.case, context.donors, _computed(context)) for key in dict.fromkeys(keys))
        markup(source_note("computed", "\n\n".join(notes), "the planned numbers and the drawing"), tag="span")
    context.slots["dangers"].set_visibility(bool(sheet.dangers))
    with context.slots["dangers"].clear():
        show_dangers(sheet.dangers)
    _order(context, sheet)


def _short(small: str) -> str:
    """The small words of a tile: its first sentence, without the mark where the large words have said it.

    An interval is that of nine in ten everywhere, and its source says so.
    """
    first = small.partition(". ")[0].replace("nine of ten: ", "")
    return first.partition("; ")[2] if first.startswith("mark ") else first


def _computed(context: TheatrePage) -> str:
    return legs(context.frozen.draws, context.frozen.seed, context.rows)


def _keys(tiles: list[dict[str, Any]], donors: int) -> list[str]:
    """Which number each tile is: free tendon of every donor, reach where it is known, tension, resting angle."""
    keys = ["free_mm"] * donors + ["reach_margin_mm", "set_stretch_mm", "rest_on_table_deg"]
    if len(tiles) < len(keys):
        keys.remove("reach_margin_mm")
    return keys


def _source_note(context: TheatrePage, key: str, about: str) -> None:
    show_source_note(key, context.frozen.case, context.donors, _computed(context), about)


def _order(context: TheatrePage, sheet: Sheet) -> None:
    content = sheet.shown
    with context.slots["order"].clear():
        Say("h2", "In order")
        with box("div", "one-source"):
            with box("ol", "steps"):
                for step in content["steps"]:
                    Say("li", step)
            _source_note(context, "steps", "numbers of the steps")
        Say("p", MASTER, "watch")
        Say("h2", "If the resting angle is outside the range")
        with box("div", "one-source"):
            with box("dl", "facts"):
                for when, lying, hanging in content["wrong"]:
                    with box("div"):
                        Say("dt", when)
                        Say("dd", f"leg lying: {lying}; shank hanging: {hanging}")
            _source_note(context, "slope", "millimetres for each resting angle")
        for tile in content["tiles"]:
            if also := tile["small"].partition(". ")[2]:
                with box("p"):
                    Say("span", f"{also}. ")
                    _source_note(context, "set_stretch_mm", also)
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
            markup(source_note("sources", sheet.watch, "what to watch"), tag="span")


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
    _follow(context)


def _show_entries(context: TheatrePage, answer: TableAnswer | None = None) -> None:
    """Every entry, one that was taken back struck through; with the answer, what would explain a contradiction."""
    anything = any(each.entry.counts for each in context.entries)
    context.slots["measured"].set_visibility(bool(context.entries))
    context.slots["undo"].set_visibility(anything)
    told = answer.entries if answer else ()
    with context.slots["entries"].clear():
        for place, entry in enumerate(in_order(tuple(each.entry for each in context.entries))):
            with box("li", "" if entry.counts else "back"):
                words = f"{entry.at:%H:%M} {entry.words(context.knee_deg)}"
                Say("span", words if entry.counts else f"{words}, taken back")
                if planned := _planned_words(context, entry):
                    Say("span", f" planned {planned}", "hint")
                if place < len(told):
                    _explained(told[place])


def _planned_words(context: TheatrePage, entry: TableReading) -> str:
    """The planned resting angle beside one that was read in the same posture; nothing beside another reading."""
    spread = context.sheet.planned.get("rest_on_table_deg") if context.sheet else None
    same = entry.kind == "rest" and entry.limb == "lying" and entry.knee_deg in (None, context.knee_deg)
    return UP_DOWN.spread(spread) if spread is not None and same and entry.counts else ""


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
    """The first line large, what stands behind it below."""
    _show_entries(context, answer)
    context.slots["rows"].show((*context.rows, *answer.rows))
    with context.slots["answer"].clear(), box("div", "one-source"):
        for place, sentence in enumerate(answer.sentences):
            Say("p", sentence, "large lead" if not place else "")
        speaking = answer.speaking
        drawn = legs(speaking.draws, answer.seed, answer.rows)
        told = f"{drawn} {speaking.effective_sample_size:.0f} of them speak after the entries."
        show_source_note("table", context.frozen.case, context.donors, told, "the sentences above")
