"""Theatre: the frozen plan in large type, what was measured in, millimetres out, undo; the page to print."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime
from functools import partial
from typing import Any

from fastapi import Response
from nicegui import app, ui

from sinewright.app.desk import Desk
from sinewright.app.elements import Say, TableEntry, box, button, link, markup
from sinewright.app.frame import Head, page
from sinewright.app.standing_plan import frozen_of, plan_that_stands
from sinewright.app.table_record import Noted, keep, noted, take_back
from sinewright.app.waiting import Waiting
from sinewright.app.worker import Frozen
from sinewright.errors import InputError, SinewrightError
from sinewright.export.planned import Planned
from sinewright.export.theatre import MASTER, theatre_content, theatre_page
from sinewright.learn.entries import Entry, Kind, Limb
from sinewright.learn.result import TableAnswer

ASKED: tuple[tuple[Kind, str, str, tuple[str, ...]], ...] = (
    ("rest", "Foot rests, leg lying", "°", ("up", "down")),
    ("mark", "Mark past its own rest", "mm", ("tighter", "slacker")),
    ("tendon", "Free tendon, mark to cut", "mm", ()),
    ("spring", "Spring scale at the mark", "N", ()),
    ("stimulated", "Foot while stimulated", "°", ("up", "down")),
    ("moved", "Junction set again by", "mm", ("tighter", "slacker")),
)
LESS = ("down", "slacker")


@dataclass
class TheatrePage:
    """What this tab shows: the plan that stands, what was entered for it, and the answer."""

    desk: Desk
    name: str
    frozen: Frozen
    made_at: datetime
    entries: tuple[Noted, ...]
    slots: dict[str, Any] = field(default_factory=dict)


def register(desk: Desk) -> None:
    """Puts the page and its printed form at their addresses."""

    @ui.page("/case/{name}/theatre")
    async def theatre(name: str) -> None:
        standing = await plan_that_stands(desk, name)
        if standing is None:
            return
        head, found = standing
        if found is None:
            _nothing(head)
            return
        frozen, made_at = found
        entries = await desk.off(lambda: noted(desk.store, head.name, frozen.number))
        build(TheatrePage(desk, head.name, frozen, made_at, entries), head)

    @app.get("/case/{name}/theatre.pdf")
    async def printed(name: str) -> Response:
        try:
            found = frozen_of(await desk.off(lambda: desk.store.plans(name.lower())), desk.draws)
            if found is None:
                raise InputError("plan", "none", "a case with a frozen plan", "freeze one first")
            job = desk.compute.ask("planned", *found, key=(*found[0].key, found[1]))
            await desk.off(job.ended.wait)
            if job.state != "done":
                return Response(job.problem or "stopped", 503, media_type="text/plain")
            (sheet,) = await desk.off(lambda: theatre_page(job.result))
            return Response(sheet, media_type="application/pdf")
        except SinewrightError as problem:
            return Response(str(problem), 404, media_type="text/plain")


def _nothing(head: Head) -> None:
    with page("Theatre", "theatre", head):
        Say("h1", "Theatre")
        with box("section", "card"):
            Say("p", "No plan is frozen yet. The theatre page shows a frozen plan, and nothing else.", "large")
            link("To the plan", f"/case/{head.name}/plan", "button main")


def build(context: TheatrePage, head: Head) -> None:
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
                context.slots["profile"] = markup("", classes="paper")
                link("Print the page (PDF)", f"/case/{context.name}/theatre.pdf", "button", target="_blank")
            context.slots["order"] = box("section", "card")
        with box("div", "wide"):
            with box("section", "card"):
                Say("h2", "Measured on the table")
                for kind, label, unit, ways in ASKED:
                    TableEntry(kind, label, unit, ways, lambda event: _enter(context, event.args))
                context.slots["problem"] = box("div", "problems", role="alert")
                context.slots["entries"] = box("ol", "entries")
                button("Take the last entry back", lambda: _undo(context), "big")
            with box("section", "card"):
                Say("h2", "What follows")
                context.slots["wait-table"] = Waiting(partial(_answered, context))
                context.slots["answer"] = box("div", "answer", role="status")
    context.slots["order"].set_visibility(False)
    key = (*frozen.key, context.made_at)
    context.slots["wait"].follow(context.desk.compute.ask("planned", frozen, context.made_at, key=key))
    _show_entries(context, None)
    _ask(context)


def _ask(context: TheatrePage) -> None:
    entries = tuple(each.entry for each in context.entries)
    job = context.desk.compute.ask("table", context.frozen, entries, key=(*context.frozen.key, entries), urgent=True)
    context.slots["wait-table"].follow(job)


def _planned(context: TheatrePage, planned: Planned) -> None:
    content = theatre_content(planned, "a4", (), True)
    context.slots["title"].text = f"{content['title']} · plan {context.frozen.number}"
    context.slots["subtitle"].text = content["subtitle"]
    context.slots["profile"].set_content(content["svg"])
    with context.slots["tiles"]:
        for tile in content["tiles"]:
            with box("div", "tile strong" if tile.get("strong") else "tile"):
                Say("b", tile["big"])
                Say("span", tile["small"])
    _order(context, content)


def _order(context: TheatrePage, content: dict[str, Any]) -> None:
    slot = context.slots["order"]
    slot.set_visibility(True)
    with slot:
        Say("h2", "In order")
        with box("ol", "steps"):
            for step in content["steps"]:
                Say("li", step)
        Say("h2", "If the foot hangs wrong")
        with box("dl", "facts"):
            for when, then in content["wrong"]:
                with box("div"):
                    Say("dt", when)
                    Say("dd", then)
        for text in (*content["expected"], content["reserve"]):
            Say("p", text)
        Say("h2", "Watch")
        for text in content["cautions"]:
            Say("p", text, "watch")


async def _enter(context: TheatrePage, told: dict[str, Any]) -> None:
    problem = context.slots["problem"]
    problem.clear()
    try:
        entry = _entry(told)
        await context.desk.off(
            lambda: keep(context.desk.store, context.desk.role, context.name, context.frozen.number, entry)
        )
    except SinewrightError as refused_:
        with problem:
            Say("p", str(refused_), "problem")
        return
    await _again(context)


def _entry(told: dict[str, Any]) -> Entry:
    """An entry from the page: its size, and its direction as a word."""
    kind = next((each[0] for each in ASKED if each[0] == told.get("kind")), None)
    if kind is None:
        raise InputError("kind", str(told.get("kind")), ", ".join(each[0] for each in ASKED), "reload the page")
    size, way = float(told["size"]), str(told.get("way", ""))
    if kind not in ("tendon", "spring") and size != 0.0 and not way:
        raise InputError(kind, f"{size:g}", "a direction as a word", "say up or down, tighter or slacker")
    limb: Limb = "lying"
    value = -size if way in LESS else size
    return Entry(kind, value, datetime.now().replace(microsecond=0), limb=limb)


async def _undo(context: TheatrePage) -> None:
    now = datetime.now().replace(microsecond=0)
    await context.desk.off(
        lambda: take_back(context.desk.store, context.desk.role, context.name, context.frozen.number, now)
    )
    await _again(context)


async def _again(context: TheatrePage) -> None:
    context.entries = await context.desk.off(lambda: noted(context.desk.store, context.name, context.frozen.number))
    _show_entries(context, None)
    _ask(context)


def _show_entries(context: TheatrePage, answer: TableAnswer | None) -> None:
    slot = context.slots["entries"]
    slot.clear()
    with slot:
        for each in context.entries if answer is None else ():
            words = f"{each.entry.at:%H:%M} {each.entry.words()}"
            Say("li", words if each.entry.counts else f"{words}, taken back", "" if each.entry.counts else "back")
        for told in answer.entries if answer else ():
            with box("li", "" if told.counts else "back"):
                Say("span", f"{told.at[11:16]} {told.words}{'' if told.counts else ', taken back'}")
                if told.expected:
                    Say("span", f" expected {told.expected}", "hint")
                for reason in told.explanations:
                    Say("p", reason.text, "problem")


def _answered(context: TheatrePage, answer: TableAnswer) -> None:
    _show_entries(context, answer)
    slot = context.slots["answer"]
    slot.clear()
    with slot:
        for sentence in answer.sentences:
            Say("p", sentence, "large")
