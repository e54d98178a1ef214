"""Findings: the structured examination, checked as it is typed; what is odd, what to measure next, what works."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from fastapi import Request
from nicegui import ui

from sinewright.app import shank
from sinewright.app.elements import Fields, Say, box, button, link, markup, source_note
from sinewright.app.examination import Examination
from sinewright.app.form import PARTS, origins, part_of, shown_groups, values
from sinewright.app.frame import PAGES, CaseHead, page
from sinewright.app.open_case import open_case
from sinewright.app.services import Services
from sinewright.app.where_from import found_lines, show_caution
from sinewright.case import cautions, findings_missing
from sinewright.case.labels import path_in_words
from sinewright.case.needed import needed_first, nothing_examined
from sinewright.case.starters import STARTERS, Starter, filled, filled_words
from sinewright.choose.checking import check
from sinewright.errors import SinewrightError
from sinewright.store.history import Event
from sinewright.wording.known import KNOWN_WORDS

LOOK_S = 2.0
ASKED, EVENTS = 6, 12


@dataclass
class FindingsPage:
    """What this tab shows: the examination with what was refused here, the part that is open, the slots to redraw."""

    services: Services
    exam: Examination
    part: str
    history: bool = False
    slots: dict[str, Any] = field(default_factory=dict)


def register(services: Services) -> None:
    """Puts the page at its address."""

    @ui.page("/case/{name}/findings")
    async def findings(name: str, request: Request) -> None:
        found = await open_case(services, name)
        if found is None:
            return
        wanted = request.query_params.get("part", PARTS[0].place)
        part = next((each.place for each in PARTS if each.place == wanted), PARTS[0].place)
        build(FindingsPage(services, found[0], part), found[1])


def build(context: FindingsPage, head: CaseHead) -> None:
    """The whole page."""
    with page("Findings", "findings", head):
        Say("h1", "Findings", "sr")
        with box("div", "columns"):
            with box("div", "wide"):
                _parts(context)
                with box("section", "card form"):
                    _form(context)
            with box("div", "side"):
                for name in ("works", "odd", "next"):
                    context.slots[name] = box("section", "card")
        _beside(context)
    ui.timer(LOOK_S, lambda: _look(context))
    ui.keyboard(lambda event: _key(context, event), ignore=["input", "select", "textarea"])


async def _key(context: FindingsPage, event: Any) -> None:
    if event.action.keydown and event.modifiers.ctrl and event.key == "z":
        await _undo(context)


def _parts(context: FindingsPage) -> None:
    with box("div", "parts", role="group", aria_label="Parts of the examination"):
        for part in PARTS:
            made = button(part.name, lambda place=part.place: _turn(context, place), "part")
            context.slots[f"part-{part.place}"] = made
    _mark(context)


def _mark(context: FindingsPage) -> None:
    for part in PARTS:
        made = context.slots[f"part-{part.place}"]
        made.props["aria-pressed"] = "true" if part.place == context.part else "false"
        made.update()


def _form(context: FindingsPage) -> None:
    with box("div", "bar savings"):
        context.slots["said"] = Say("p", f"Version {context.exam.stored.version} is stored.", "said", role="status")
        context.slots["undo"] = button("Undo", lambda: _undo(context), "quiet", disabled="")
        context.slots["tell"] = button("What was changed", lambda: _history(context), "quiet", aria_expanded="false")
    context.slots["history"] = box("div", "history")
    _starters(context)
    fields = Fields([], lambda event: _edit(context, event.args))
    context.slots["fields"] = fields
    _fill(context)
    if "choices" in dict(PAGES):
        link("On to the choices", f"/case/{context.exam.stored.name}/choices", "button main after")


def _starters(context: FindingsPage) -> None:
    with box("div", "starters") as row:
        Say("span", "Fill what was not entered yet:", "hint")
        for one in STARTERS:
            button(one.title, lambda one=one: _start(context, one), "quiet")
    context.slots["starters"] = row


async def _start(context: FindingsPage, one: Starter) -> None:
    """Fills grades and cause where nothing was entered, as one version, and says what it filled."""
    exam = context.exam
    edits = filled(exam.case, one)
    if not edits:
        context.slots["said"].text = "Nothing to fill: every muscle has its grade or state."
        return
    done = await context.services.in_thread(lambda: exam.edit_together(edits))
    told = f"{one.title}: {filled_words(edits)} Version {exam.stored.version}; Undo takes it back."
    context.slots["said"].text = told if done else f"Not stored. {' '.join(exam.problems.values())}"
    _answer(context)
    _beside(context)


def _fill(context: FindingsPage) -> None:
    fields, exam = context.slots["fields"], context.exam
    fields.props["groups"] = shown_groups(context.part, exam.case.side, _spoken(context))
    context.slots["starters"].set_visibility(context.part == "muscles")
    _answer(context)


def _spoken(context: FindingsPage) -> frozenset[str]:
    """Codes of rules that set an operation aside now, and of those that are overridden; asked for only where shown."""
    if context.part != "wishes":
        return frozenset()
    case = context.exam.case
    found = check(case)
    fired = (*found.rules, *(spoken.rule for spoken in found.operation_rules))
    kept = {name for name, reason in case.plan.overrides if reason}
    return frozenset({rule.code for rule in fired} | kept)


def _answer(context: FindingsPage, taken: dict[str, Any] | None = None) -> None:
    """What the fields show; `taken` holds by path what was typed and is stored now."""
    fields, exam = context.slots["fields"], context.exam
    shown = exam.shown(values(exam.case, context.part))
    for path, typed in (taken or {}).items():
        if path in shown:
            shown[path]["taken"] = typed
    fields.props["values"] = shown
    fields.props["problems"] = dict(exam.problems)
    fields.props["origins"] = origins(exam.case, context.part)
    fields.update()
    undo = context.slots["undo"]
    if exam.taken:
        undo.props.pop("disabled", None)
    else:
        undo.props["disabled"] = ""
    undo.update()


async def _turn(context: FindingsPage, place: str) -> None:
    context.part = place
    _mark(context)
    _fill(context)
    ui.run_javascript(f"history.replaceState(null, '', '?part={place}')")


async def _edit(context: FindingsPage, told: dict[str, Any]) -> None:
    path, value, known = str(told["path"]), told.get("value"), told.get("known")
    way, exam = str(told.get("way") or ""), context.exam
    try:
        done = await context.services.in_thread(lambda: exam.edit(path, value, known, way))
    except SinewrightError as problem:
        context.slots["said"].text = f"Not stored. {problem}"
        return
    now = datetime.now().strftime("%H:%M:%S")
    left = len(exam.refused)
    words = f"Stored at {now}, version {exam.stored.version}." if done else "Not stored: see beside the field."
    if done and left:
        words += f" {left} {'entry is' if left == 1 else 'entries are'} not stored yet: {_names(exam.refused)}."
    context.slots["said"].text = words
    _answer(context, {path: told.get("typed")} if done else {})
    if done:
        _beside(context)


def _names(paths: Any) -> str:
    return "; ".join(path_in_words(path) for path in paths)


def _few(paths: list[str]) -> str:
    """Up to three entries by name, more by their number."""
    return _names(paths) if len(paths) <= 3 else f"{len(paths)} entries, {_names(paths[:2])} and others"


async def _undo(context: FindingsPage) -> None:
    exam = context.exam
    told = await context.services.in_thread(exam.undo)
    words = f"Taken back: {_few(told.split(', '))}. Version {exam.stored.version}." if told else "Nothing to take back."
    context.slots["said"].text = words
    _answer(context)
    _beside(context)


async def _look(context: FindingsPage) -> None:
    """Shows what another tab or person stored meanwhile."""
    exam = context.exam
    if await context.services.in_thread(exam.reread):
        context.slots["said"].text = f"Changed elsewhere; now version {exam.stored.version} is shown."
        _answer(context)
        _beside(context)


async def _history(context: FindingsPage) -> None:
    context.history = not context.history
    tell, slot = context.slots["tell"], context.slots["history"]
    tell.props["aria-expanded"] = "true" if context.history else "false"
    tell.update()
    slot.clear()
    if not context.history:
        return
    name = context.exam.stored.name
    events = await context.services.in_thread(lambda: context.services.store.history(name))
    with slot, box("ol", "events"):
        for event in events[::-1][:EVENTS]:
            _event(event)


def _event(event: Event) -> None:
    with box("li"):
        Say("span", f"{event.at[:10]} {event.at[11:19]} UTC, {event.role}: {event.action} {event.kind}", "hint")
        for change in event.changes[:6]:
            Say("p", f"{path_in_words(change.path)}: {_told(change.before)} → {_told(change.after)}")
        if len(event.changes) > 6:
            Say("p", f"and {len(event.changes) - 6} more entries", "hint")


def _told(leaf: Any) -> str:
    if isinstance(leaf, dict) and "value" in leaf:
        return f"{leaf['value']} ({leaf.get('known', 'measured')})"
    return "empty" if leaf is None else str(leaf)


def _beside(context: FindingsPage) -> None:
    """What works, what is odd, what to measure next."""
    case = context.exam.case
    for name in ("works", "odd", "next"):
        context.slots[name].clear()
    with context.slots["works"]:
        Say("h2", "What works")
        with box("div", "one-source"):
            markup(shank.picture(case), classes="drawing")
            markup(shank.listing(case))
            told = found_lines(case, ("muscles.",))
            note = "".join(f"\n· {line}" for line in told) or "\n· nothing yet"
            markup(source_note("as examined", f"From this patient's examination:{note}", "what works"), "span")
    _odd(context)
    with context.slots["next"]:
        Say("h2", "What to measure next")
        if nothing_examined(case):
            Say("p", f"Needed first, before it is weighed: {'; '.join(needed_first(case))}.")
        missing = findings_missing(case)
        if not missing:
            Say("p", "Nothing that this program asks for is missing.", "hint")
        with box("ul", "asks"):
            for each in missing[:ASKED]:
                with box("li"):
                    words = path_in_words(each.field)
                    button(words, lambda path=each.field: _reach(context, path), "try")
                    with box("p", "hint"):
                        Say("span", f"{each.why[:1].upper()}{each.why[1:]}. ")
                        markup(source_note(KNOWN_WORDS[each.known], each.source, words), "span")
        if len(missing) > ASKED:
            Say("p", f"and {len(missing) - ASKED} more, less useful", "hint count")


def _odd(context: FindingsPage) -> None:
    slot, found = context.slots["odd"], cautions(context.exam.case)
    slot.set_visibility(bool(found))
    with slot:
        Say("h2", "Look again")
        with box("ul", "odd"):
            for caution in found:
                with box("li"):
                    Say("span", f"{caution.text} ")
                    show_caution(caution)


async def _reach(context: FindingsPage, path: str) -> None:
    place = part_of(path).place
    if place != context.part:
        await _turn(context, place)
    context.slots["fields"].run_method("reach", path)
