"""Protect: the weeks after the operation, stage by stage; release by a named role; dates as a calendar file."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import UTC, date, datetime
from functools import partial
from typing import Any

from nicegui import ui

from sinewright.app.calendar_grid import by_date, calendar_markup, dates_note, show_line, undated, weeks_note
from sinewright.app.calendar_grid import sentence as calendar_sentence
from sinewright.app.elements import Say, box, button, link, markup, source_note
from sinewright.app.frame import CaseHead, day, page
from sinewright.app.open_case import plan_that_stands
from sinewright.app.protect_form import (
    Given,
    ProtectForm,
    given_in,
    note_with,
    planned_junction,
    planned_otherwise,
    question,
    wish_in,
)
from sinewright.app.services import Services
from sinewright.app.waiting import Waiting
from sinewright.app.where_from import EveryRow
from sinewright.choose.sewing import as_sewn
from sinewright.errors import SinewrightError
from sinewright.export.patient import patient_page, planned_steps
from sinewright.protect.calendar import calendar_text, visits
from sinewright.protect.protection import Wish
from sinewright.protect.stages import HOLD_TITLES, STAGES
from sinewright.results import Protection
from sinewright.service.worker import FrozenPlan
from sinewright.store.chain import CLINICIANS, as_role
from sinewright.store.records import Document, OperationNote, Release, Stage, record_from
from sinewright.store.store import KeptRecord
from sinewright.units import deg
from sinewright.wording.known import KNOWN_WORDS
from sinewright.wording.weeks import week_words

KEPT = "kept"
"""Where the kept stages stand on the page."""
NO_WEEK = (
    "No stage can be given a week with this junction and these wishes, so there is none to keep. Look at the pull in "
    "the hold first: a less tight plan, another posture or another junction changes it."
)
CALENDAR = "calendar of visits"
KEPT_NOTE = "The week under Stage by stage when these stages were kept; a later calculation does not move it."


@dataclass
class ProtectPage:
    """What this tab shows: the plan that stands, the operation as noted, the stages worked out and those kept."""

    services: Services
    name: str
    frozen: FrozenPlan
    made_at: datetime
    note: KeptRecord[OperationNote] | None
    stages: tuple[KeptRecord[Stage], ...]
    given: Given = field(default_factory=dict)
    found: Protection | None = None
    slots: dict[str, Any] = field(default_factory=dict)

    @property
    def wish(self) -> Wish | None:
        """What was chosen, once date and junction are. Raises InputError for an entry that cannot be."""
        return wish_in(self.given, self.frozen.set_stretch_mm)


def register(services: Services) -> None:
    """Puts the page at its address."""

    @ui.page("/case/{name}/protect")
    async def protect(name: str) -> None:
        standing = await plan_that_stands(services, name)
        if standing is None:
            return
        head, found = standing
        if found is None:
            with page("Protect", "protect", head), box("section", "card"):
                Say("h1", "Protect")
                Say("p", "No plan is frozen yet. The weeks after an operation are worked out from a frozen plan.")
                link("To the plan", f"/case/{head.name}/plan", "button main")
            return
        context = await services.in_thread(lambda: _read(services, head.name, *found))
        build(context, head)


def _read(services: Services, name: str, frozen: FrozenPlan, made_at: datetime) -> ProtectPage:
    notes = [each for each in services.store.records(name, OperationNote) if each.record.plan == frozen.number]
    stages = tuple(each for each in services.store.records(name, Stage) if each.record.plan == frozen.number)
    note = notes[-1] if notes else None
    return ProtectPage(
        services,
        name,
        frozen,
        made_at=made_at,
        note=note,
        stages=stages,
        given=given_in(note.record if note else None, planned_junction(frozen).name),
    )


def build(context: ProtectPage, head: CaseHead) -> None:
    """The whole page."""
    form = ProtectForm(context.given, partial(_set, context), deg(as_sewn(context.frozen.case, None).ankle))
    context.slots["form"] = form
    with page("Protect", "protect", head), box("div", "columns filled-first"):
        with box("div", "side"):
            _to_fill(context, form)
            context.slots["kept"] = box("section", "card", id=KEPT, tabindex="-1")
        with box("div", "wide"):
            with box("section", "card"):
                Say("h1", "The weeks after the operation")
                Say("p", "A date alone never opens a stage: a clinician does, after looking.", "watch")
                context.slots["wait"] = Waiting(partial(_found, context))
                context.slots["calendar"] = box("div")
            context.slots["signs"] = box("section", "card")
            context.slots["lines"] = box("section", "card")
            context.slots["rows"] = EveryRow()
    context.slots["signs"].set_visibility(False)
    context.slots["lines"].set_visibility(False)
    _kept(context)
    _work_out(context)


def _to_fill(context: ProtectPage, form: ProtectForm) -> None:
    """What must be given first, then what may stay as usual."""
    with box("section", "card"):
        Say("h2", "What was done")
        form.done()
        context.slots["asked"] = box("div", "asked", role="alert")
        context.slots["said"] = Say("p", "", "said hint", role="status")
    with box("section", "card"), box("details", "more", open="" if planned_otherwise(context.given) else None):
        with box("summary"):
            Say("span", "How the weeks are planned", "h2")
            Say("span", "As usual, unless changed here", "hint")
        form.planned()
        with box("details", "more", open="" if any("week." in name for name in context.given) else None):
            Say("summary", "Own weeks of the stages")
            Say("p", "Weeks after the operation; empty keeps the published ones.", "hint")
            form.own_weeks()


async def _set(context: ProtectPage, name: str, text: str) -> None:
    """One entry: checked, stored with the operation, and the weeks worked out anew."""
    context.slots["asked"].clear()
    if name == "construct" and (asked := question(context.frozen, text)):
        _ask_first(context, asked, text)
        return
    await _take(context, name, text)


def _ask_first(context: ProtectPage, asked: str, text: str) -> None:
    """Another junction than planned is stored only once it is said that it was sewn so."""

    async def as_planned() -> None:
        form = context.slots["form"]
        context.slots["asked"].clear()
        form.choose("construct", context.given.get("construct", ""))

    async def otherwise() -> None:
        context.slots["asked"].clear()
        await _take(context, "construct", text)

    context.slots["said"].text = "Not stored yet: answer the question first."
    with context.slots["asked"]:
        Say("p", asked, "problem")
        with box("div", "bar"):
            button("Yes, it was sewn so", otherwise)
            button("No, leave it", as_planned)


async def _take(context: ProtectPage, name: str, text: str) -> None:
    before, form, said = context.given.get(name, ""), context.slots["form"], context.slots["said"]
    context.given[name] = text
    form.tell(name, "")
    try:
        form.fit()
        wish = context.wish
        if wish is None:
            said.text = "Date and junction are both needed."
            return
        await context.services.in_thread(partial(_note, context, wish))
        said.text = "Stored with the operation."
    except SinewrightError as problem:
        context.given[name] = before
        form.tell(name, f"Not stored. {problem}")
        said.text = "Not stored: see beside the entry."
        return
    _work_out(context)


def _note(context: ProtectPage, wish: Wish) -> None:
    store, note = context.services.store, context.note
    record = note_with(wish, context.frozen.number, note.record if note else None)
    with store.write(context.services.role) as unit:
        if note is None:
            unit.add(context.name, record)
        else:
            unit.change(context.name, note.number, note.version, record)
    context.note = _read(context.services, context.name, context.frozen, context.made_at).note


def _work_out(context: ProtectPage) -> None:
    try:
        wish = context.wish
    except SinewrightError as problem:  # of an earlier version, which checked less
        context.slots["said"].text = str(problem)
        return
    if wish is None:
        with context.slots["calendar"].clear():
            Say("p", "Give the date of the operation: the stages follow.", "empty")
        return
    key = (*context.frozen.key, repr(wish))
    context.slots["wait"].follow(context.services.compute.ask("protect", context.frozen, wish, key=key))


def _found(context: ProtectPage, found: Protection) -> None:
    found = by_date(found)
    context.found = found
    slot = context.slots["calendar"].clear()
    with slot:
        with box("div", "one-source"):
            for sentence in found.sentences:
                Say("p", sentence)
            markup(source_note("computed", weeks_note(found), "the weeks"), "span")
        if found.operated_on is not None:
            Say("h2", "On the calendar")
            Say("p", calendar_sentence(found.lines, found.operated_on), "sr")
            with box("div", "one-source"):
                markup(calendar_markup(found.lines, found.operated_on))
                if undated(found.lines):
                    Say("p", undated(found.lines), "watch")
                markup(source_note("computed", dates_note(found), "the days on the calendar"), "span")
    slot = context.slots["lines"].clear()
    slot.set_visibility(True)
    with slot:
        Say("h2", "Stage by stage")
        with box("ol", "stages"):
            for place, line in enumerate(found.lines, 1):
                show_line(found, place, line)
        dated = any(line.week is not None for line in found.lines)
        if not dated:
            Say("p", NO_WEEK, "watch")
        with box("div", "bar"):
            if dated and not context.stages:
                keep = button("Keep these stages", lambda: _keep(context), "main")
                keep.props["title"] = "Kept stages stay as they are for this plan; each then waits for its release."
                context.slots["keep"] = keep
            button("Calendar file of the visits", lambda: _calendar(context))
            button("Patient page (PDF)", lambda: _patient(context))
    context.slots["rows"].show(found.rows)
    signs = context.slots["signs"].clear()
    signs.set_visibility(True)
    with signs:
        Say("h2", "Look for")
        for sign in found.signs:
            with box("p", "watch"):
                Say("span", f"{sign.see} {sign.do} ")
                note = f"For the {sign.reader} to watch. {KNOWN_WORDS[sign.known].capitalize()}."
                markup(source_note(KNOWN_WORDS[sign.known], note, sign.see), "span")


async def _keep(context: ProtectPage) -> None:
    found = context.found
    if found is None:
        return

    def work() -> None:
        plan, dated = context.frozen.number, [line for line in found.lines if line.week is not None]
        with context.services.store.write(context.services.role) as unit:
            for line in dated:
                tables = {"title": line.title[:120], "from_week": line.week, "plan": plan, "allowed": line.what[:1000]}
                unit.add(context.name, record_from(Stage, tables))

    if not context.stages:
        await context.services.in_thread(work)
        await _again(context)
        context.slots["keep"].set_visibility(False)
        ui.run_javascript(f"document.getElementById('{KEPT}').focus()")


async def _again(context: ProtectPage) -> None:
    context.stages = (
        await context.services.in_thread(lambda: _read(context.services, context.name, context.frozen, context.made_at))
    ).stages
    _kept(context)


def _kept(context: ProtectPage) -> None:
    slot = context.slots["kept"]
    slot.clear()
    slot.set_visibility(bool(context.stages))
    with slot:
        Say("h2", "Stages kept, and released")
        with box("ol", "stages"):
            for stage in context.stages:
                _stage(context, stage)


def roles_for(title: str) -> tuple[str, ...]:
    """The roles that may release a stage, as the plan of protection names them; every clinician for another title."""
    named = next((each.released_by for each in STAGES if each.title == title), "")
    if title in HOLD_TITLES.values():
        named = next(each.released_by for each in STAGES if each.key == "hold")
    return tuple(role for role in CLINICIANS if role in named) or CLINICIANS


def _stage(context: ProtectPage, stage: KeptRecord[Stage]) -> None:
    record = stage.record
    with box("li", "green" if record.released else ""):
        with box("h3"):
            Say("span", f"{record.title}, from {week_words(record.from_week)} ")
            markup(source_note("as kept", KEPT_NOTE, record.title), "span")
        if record.released:
            Say("p", f"Released {day(record.released.on)} by the {record.released.role}.")
            return
        with box("div", "bar"):
            with box("label", "search"):
                Say("span", "Released by the")
                role = box("select")
                roles = roles_for(record.title)
                with role:
                    for each in roles:
                        Say("option", each, value=each)
            chosen: dict[str, str] = {"role": roles[0]}
            role.on("change", lambda e: chosen.update(role=str(e.args)), js_handler="(e) => emit(e.target.value)")
            button("Release", lambda: _release(context, stage, chosen["role"]), aria_label=f"Release {record.title}")


async def _release(context: ProtectPage, stage: KeptRecord[Stage], role: str) -> None:
    def work() -> None:
        release = Release(on=date.today(), role=as_role(role))
        with context.services.store.write(release.role) as unit:
            unit.release(context.name, stage.number, stage.version, release)

    try:
        await context.services.in_thread(work)
    except SinewrightError as problem:
        context.slots["said"].text = f"Not released. {problem}"
    await _again(context)


async def _calendar(context: ProtectPage) -> None:
    """Writes the calendar anew over the one given out before, so that moved visits move in the diary too."""
    found = context.found
    if found is None:
        return

    def work() -> str:
        store = context.services.store
        earlier = [each for each in store.records(context.name, Document) if each.record.title == CALENDAR]
        before = store.document(context.name, earlier[-1].number).decode("utf-8") if earlier else None
        text = calendar_text(visits(found), before, datetime.now(UTC))
        if text != before:
            record = Document(title=CALENDAR, media_type="text/calendar", plan=context.frozen.number)
            with store.write(context.services.role) as unit:
                unit.add(context.name, record, text.encode("utf-8"))
        return text

    text = await context.services.in_thread(work)
    ui.download.content(text, "visits.ics", "text/calendar")


async def _patient(context: ProtectPage) -> None:
    """The page for patient and therapist, with the steps as they stand here."""
    found, said = context.found, context.slots["said"]
    if found is None:
        return
    said.text = "The patient page is being made."
    key = (*context.frozen.key, context.made_at)
    job = context.services.compute.ask("planned", context.frozen, context.made_at, key=key)
    await context.services.in_thread(job.ended.wait)
    if job.state != "done":
        said.text = f"No page was made. {job.problem}"
        return
    make = partial(patient_page, job.result, operation_on=found.operated_on, steps=planned_steps(found))
    try:
        sheets = await context.services.in_thread(make)
    except SinewrightError as problem:
        said.text = f"No page was made. {problem}"
        return
    said.text = "The patient page is made."
    ui.download.content(sheets[0], "patient.pdf", "application/pdf")
