"""Protect: the weeks after the operation, stage by stage; release by a named role; dates as a calendar file."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass, field
from datetime import UTC, date, datetime
from functools import partial
from typing import Any

from nicegui import ui

from sinewright.app.desk import Desk
from sinewright.app.elements import Say, box, button, link, markup, whence
from sinewright.app.frame import Head, page
from sinewright.app.standing_plan import plan_that_stands
from sinewright.app.waiting import Waiting
from sinewright.app.worker import Frozen
from sinewright.errors import SinewrightError
from sinewright.export.patient import patient_page, planned_steps
from sinewright.protect.calendar import calendar_text, visits
from sinewright.protect.constructs import CONSTRUCTS
from sinewright.protect.protection import Wish
from sinewright.protect.result import Line, Protection
from sinewright.protect.stages import HOLD_TITLES, HOLDS, PACES, STAGES
from sinewright.store.chain import CLINICIANS, as_role
from sinewright.store.records import Document, OperationNote, Release, Stage, record_from
from sinewright.store.store import Kept

CALENDAR = "calendar of visits"
UNKNOWN = "choose"


@dataclass
class ProtectPage:
    """What this tab shows: the plan that stands, the operation as noted, the stages worked out and those kept."""

    desk: Desk
    name: str
    frozen: Frozen
    made_at: datetime
    note: Kept[OperationNote] | None
    stages: tuple[Kept[Stage], ...]
    given: dict[str, str] = field(default_factory=dict)
    found: Protection | None = None
    slots: dict[str, Any] = field(default_factory=dict)

    @property
    def wish(self) -> Wish | None:
        """What was chosen, once date and junction are."""
        on, construct = self.given.get("on", ""), self.given.get("construct", "")
        with suppress(ValueError):
            hold = next(each for each in HOLDS if each == self.given.get("hold", HOLDS[0]))
            pace = next(each for each in PACES if each == self.given.get("pace", "usual"))
            if construct in [each.name for each in CONSTRUCTS]:
                day = date.fromisoformat(on)
                return Wish(construct, hold=hold, pace=pace, operated_on=day, planned_mm=self.frozen.stretch_mm)
        return None


def register(desk: Desk) -> None:
    """Puts the page at its address."""

    @ui.page("/case/{name}/protect")
    async def protect(name: str) -> None:
        standing = await plan_that_stands(desk, name)
        if standing is None:
            return
        head, found = standing
        if found is None:
            with page("Protect", "protect", head), box("section", "card"):
                Say("h1", "Protect")
                Say("p", "No plan is frozen yet. The weeks after an operation are worked out from a frozen plan.")
                link("To the plan", f"/case/{head.name}/plan", "button main")
            return
        context = await desk.off(lambda: _read(desk, head.name, *found))
        build(context, head)


def _read(desk: Desk, name: str, frozen: Frozen, made_at: datetime) -> ProtectPage:
    notes = [each for each in desk.store.records(name, OperationNote) if each.record.plan == frozen.number]
    stages = tuple(each for each in desk.store.records(name, Stage) if each.record.plan == frozen.number)
    note = notes[-1] if notes else None
    given = {"hold": HOLDS[0], "pace": "usual"}
    if note is not None:
        given |= {"on": note.record.on.isoformat(), "construct": note.record.junction or ""}
        given |= dict(part.split(" ", 1) for part in (note.record.note or "").split("; ") if " " in part)
    return ProtectPage(desk, name, frozen, made_at, note, stages, given)


def build(context: ProtectPage, head: Head) -> None:
    """The whole page."""
    with page("Protect", "protect", head), box("div", "columns"):
        with box("div", "wide"), box("section", "card"):
            Say("h1", "The weeks after the operation")
            Say("p", "A date alone never opens a stage: a clinician does, after looking.", "watch")
            context.slots["wait"] = Waiting(partial(_found, context))
            context.slots["lines"] = box("div")
        with box("div", "side"):
            with box("section", "card"):
                Say("h2", "What was done")
                _form(context)
            context.slots["kept"] = box("section", "card")
            context.slots["signs"] = box("section", "card")
    context.slots["signs"].set_visibility(False)
    _kept(context)
    _work_out(context)


def _form(context: ProtectPage) -> None:
    names = {UNKNOWN: "choose"} | {each.name: each.title for each in CONSTRUCTS}
    with box("label", "search"):
        Say("span", "Date of the operation")
        made = box("input", type="date", value=context.given.get("on", ""))
        made.on("change", partial(_set, context, "on"), js_handler="(e) => emit(e.target.value)")
        context.slots["on"] = made
    _choice(context, "construct", "Junction", names)
    _choice(context, "hold", "Held in a", {each: each for each in HOLDS})
    _choice(context, "pace", "Pace", {each: each for each in PACES})
    context.slots["said"] = Say("p", "", "said hint", role="status")


def _choice(context: ProtectPage, name: str, label: str, words: dict[str, str]) -> None:
    with box("label", "search"):
        Say("span", label)
        made = box("select")
        made.on("change", partial(_set, context, name), js_handler="(e) => emit(e.target.value)")
        with made:
            for key, text in words.items():
                Say("option", text, value=key, selected="" if context.given.get(name) == key else None)


async def _set(context: ProtectPage, name: str, event: Any) -> None:
    context.given[name] = str(event.args or "")
    if name == "on":  # else the next drawing of the page would empty the field
        context.slots["on"].props["value"] = context.given["on"]
    wish = context.wish
    if wish is None:
        context.slots["said"].text = "Date and junction are both needed."
        return
    try:
        await context.desk.off(partial(_note, context, wish))
        context.slots["said"].text = "Stored with the operation."
    except SinewrightError as problem:
        context.slots["said"].text = f"Not stored. {problem}"
        return
    _work_out(context)


def _note(context: ProtectPage, wish: Wish) -> None:
    assert wish.operated_on is not None
    told = f"hold {wish.hold}; pace {wish.pace}"
    record = OperationNote(on=wish.operated_on, plan=context.frozen.number, junction=wish.construct, note=told)
    store, note = context.desk.store, context.note
    with store.write(context.desk.role) as unit:
        if note is None:
            unit.add(context.name, record)
        else:
            unit.change(context.name, note.number, note.version, record)
    context.note = _read(context.desk, context.name, context.frozen, context.made_at).note


def _work_out(context: ProtectPage) -> None:
    wish = context.wish
    if wish is None:
        context.slots["lines"].clear()
        with context.slots["lines"]:
            Say("p", "Give the date of the operation and the junction: the stages follow.", "empty")
        return
    key = (*context.frozen.key, repr(wish))
    context.slots["wait"].follow(context.desk.compute.ask("protect", context.frozen, wish, key=key))


def _found(context: ProtectPage, found: Protection) -> None:
    context.found = found
    slot = context.slots["lines"]
    slot.clear()
    with slot:
        for sentence in found.sentences:
            Say("p", sentence)
        with box("ol", "stages"):
            for line in found.lines:
                _line(line)
        with box("div", "bar"):
            button("Keep these stages", lambda: _keep(context), "main")
            button("Calendar file of the visits", lambda: _calendar(context))
            button("Patient page (PDF)", lambda: _patient(context))
        assumed = "\n".join(found.assumptions[:12])
        markup(whence("computed", f"{found.draws} virtual legs, seed {found.seed}. Assumptions:\n{assumed}"))
    signs = context.slots["signs"]
    signs.clear()
    signs.set_visibility(True)
    with signs:
        Say("h2", "Look for")
        for sign in found.signs:
            Say("p", f"{sign.see} {sign.do}", "watch")


def _line(line: Line) -> None:
    with box("li", "green" if line.green else "not-green"):
        when = f"week {line.week:g}" if line.week is not None else "no week can be given"
        day = f", {line.on.day} {line.on:%b %Y}" if line.on else ""
        Say("h3", f"{line.title}: {when}{day}")
        Say("p", line.what)
        held = "Keeps the margin" if line.green else "Does not keep the margin"
        numbers = (
            f"{held}: {line.activity} pulls {line.load_p50_N:.0f} N in the middle leg, "
            f"{line.load_p95_N:.0f} N in one of twenty; the weakest twentieth of junctions holds "
            f"{line.strength_p05_N:.0f} N."
        )
        Say("p", numbers, "hint")
        if line.reason:
            Say("p", f"{line.reason[:1].upper()}{line.reason[1:]}.", "watch")
        Say("p", f"Released by: {line.released_by}. Look first: {line.look_first}.", "hint")
        span = f"{line.published_low_week:g} to {line.published_high_week:g} weeks"
        markup(whence(f"published {span}", line.published_source))


async def _keep(context: ProtectPage) -> None:
    found = context.found
    if found is None:
        return

    def work() -> None:
        plan, dated = context.frozen.number, [line for line in found.lines if line.week is not None]
        with context.desk.store.write(context.desk.role) as unit:
            for line in dated:
                tables = {"title": line.title[:120], "from_week": line.week, "plan": plan, "allowed": line.what[:1000]}
                unit.add(context.name, record_from(Stage, tables))

    if not context.stages:
        await context.desk.off(work)
        await _again(context)


async def _again(context: ProtectPage) -> None:
    context.stages = (
        await context.desk.off(lambda: _read(context.desk, context.name, context.frozen, context.made_at))
    ).stages
    _kept(context)


def _kept(context: ProtectPage) -> None:
    slot = context.slots["kept"]
    slot.clear()
    with slot:
        Say("h2", "Stages kept, and released")
        if not context.stages:
            Say("p", "None is kept yet. Kept stages stay as they are for this plan.", "hint")
        with box("ol", "stages"):
            for stage in context.stages:
                _stage(context, stage)


def roles_for(title: str) -> tuple[str, ...]:
    """The roles that may release a stage, as the plan of protection names them; every clinician for another title."""
    named = next((each.released_by for each in STAGES if each.title == title), "")
    if title in HOLD_TITLES.values():
        named = next(each.released_by for each in STAGES if each.key == "hold")
    return tuple(role for role in CLINICIANS if role in named) or CLINICIANS


def _stage(context: ProtectPage, stage: Kept[Stage]) -> None:
    record = stage.record
    with box("li", "green" if record.released else ""):
        Say("h3", f"{record.title}, from week {record.from_week:g}")
        if record.released:
            Say("p", f"Released {record.released.on.isoformat()} by the {record.released.role}.")
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


async def _release(context: ProtectPage, stage: Kept[Stage], role: str) -> None:
    def work() -> None:
        release = Release(on=date.today(), role=as_role(role))
        with context.desk.store.write(release.role) as unit:
            unit.release(context.name, stage.number, stage.version, release)

    try:
        await context.desk.off(work)
    except SinewrightError as problem:
        context.slots["said"].text = f"Not released. {problem}"
    await _again(context)


async def _calendar(context: ProtectPage) -> None:
    """Writes the calendar anew over the one given out before, so that moved visits move in the diary too."""
    found = context.found
    if found is None:
        return

    def work() -> str:
        store = context.desk.store
        earlier = [each for each in store.records(context.name, Document) if each.record.title == CALENDAR]
        before = store.document(context.name, earlier[-1].number).decode("utf-8") if earlier else None
        text = calendar_text(visits(found), before, datetime.now(UTC))
        if text != before:
            record = Document(title=CALENDAR, media_type="text/calendar", plan=context.frozen.number)
            with store.write(context.desk.role) as unit:
                unit.add(context.name, record, text.encode("utf-8"))
        return text

    text = await context.desk.off(work)
    ui.download.content(text, "visits.ics", "text/calendar")


async def _patient(context: ProtectPage) -> None:
    """The page for patient and therapist, with the steps as they stand here."""
    found, said = context.found, context.slots["said"]
    if found is None:
        return
    said.text = "The patient page is being made."
    key = (*context.frozen.key, context.made_at)
    job = context.desk.compute.ask("planned", context.frozen, context.made_at, key=key)
    await context.desk.off(job.ended.wait)
    if job.state != "done":
        said.text = f"No page was made. {job.problem}"
        return
    make = partial(patient_page, job.result, operation_on=found.operated_on, steps=planned_steps(found))
    try:
        sheets = await context.desk.off(make)
    except SinewrightError as problem:
        said.text = f"No page was made. {problem}"
        return
    said.text = "The patient page is made."
    ui.download.content(sheets[0], "patient.pdf", "application/pdf")
