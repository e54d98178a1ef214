"""Cases: what is stored, a word to look for, a new one, invented ones to try, one from a file, putting away."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from nicegui import ui

from sinewright.app.elements import PickFile, Say, Search, box, button, link, markup, source_note
from sinewright.app.frame import day, page
from sinewright.app.services import Example, Services, examples
from sinewright.case import Case, case_from_tables, parse_case
from sinewright.errors import SinewrightError
from sinewright.store.store import CaseLine

STORED_NOTE = (
    "As stored on this machine: the date of the examination as entered, the version that counts every stored change, "
    "the number of the last frozen plan. Nothing here is computed."
)
INVENTED_NOTE = "Every age, angle and grade of these people was invented for this program; none is of a patient."


@dataclass
class CasesPage:
    """What this tab shows: the lines read, the word looked for, whether those put away are shown."""

    services: Services
    lines: tuple[CaseLine, ...]
    plans: dict[str, int]
    word: str = ""
    archived: bool = False
    side: str = ""
    slots: dict[str, ui.element] = field(default_factory=dict)

    @property
    def found(self) -> tuple[CaseLine, ...]:
        """The lines that hold the word looked for."""
        wanted = self.word.strip().lower()
        return tuple(line for line in self.lines if wanted in f"{line.name} {line.label} {line.side}".lower())


def register(services: Services) -> None:
    """Puts the page at its address."""

    @ui.page("/")
    async def cases() -> None:
        lines, plans = await services.in_thread(lambda: _read(services, False))
        build(CasesPage(services, lines, plans))


def _read(services: Services, archived: bool) -> tuple[tuple[CaseLine, ...], dict[str, int]]:
    lines = services.store.cases(archived)
    return lines, {line.name: services.store.counts(line.name)["plan"] for line in lines}


def build(context: CasesPage) -> None:
    """The whole page."""
    with page("Cases", "cases", None), box("div", "columns"):
        with box("div", "wide"), box("section", "card"):
            _title_row(context)
            context.slots["list"] = box("div", "list")
            context.slots["said"] = Say("p", "", "said", role="status")
            _list(context)
        with box("div", "side"):
            _new(context)
            _file(context)
            _examples(context)


def _title_row(context: CasesPage) -> None:
    Say("h1", "Cases")
    with box("div", "bar"):
        Search("Look for", lambda event: _look(context, event.args))
        shown = button("Show those put away", lambda: _flip(context), "quiet", aria_pressed="false")
        context.slots["flip"] = shown


async def _look(context: CasesPage, word: Any) -> None:
    context.word = str(word or "")[:80]
    _list(context)


async def _flip(context: CasesPage) -> None:
    context.archived = not context.archived
    context.slots["flip"].props["aria-pressed"] = "true" if context.archived else "false"
    context.slots["flip"].update()
    await _again(context)


async def _again(context: CasesPage) -> None:
    context.lines, context.plans = await context.services.in_thread(lambda: _read(context.services, context.archived))
    _list(context)


def _list(context: CasesPage) -> None:
    slot = context.slots["list"]
    slot.clear()
    with slot:
        if not context.found:
            Say("p", _nothing(context), "empty")
            return
        with box("div", "one-source"):
            with box("p", "hint"):
                Say("span", f"{len(context.found)} {'put away' if context.archived else 'stored'}, by pseudonym ")
                markup(source_note("from the store", STORED_NOTE, "the list of cases"), "span")
            with box("ul", "cases"):
                for line in context.found:
                    _line(context, line)


def _nothing(context: CasesPage) -> str:
    if context.word:
        return f"No case holds “{context.word}”."
    if context.archived:
        return "Nothing was put away."
    return "No case is stored yet. Try an invented one, make a new one, or read a case file."


def _line(context: CasesPage, line: CaseLine) -> None:
    plans = context.plans.get(line.name, 0)
    with box("li"):
        with box("div", f"plate small {line.side}"):
            Say("span", line.side[0].upper(), "letter", aria_hidden="true")
            Say("span", f"{line.side} foot", "word")
        with box("div", "whom"):
            link(line.name, f"/case/{line.name}/findings")
            with box("p", "hint"):
                if line.invented:
                    Say("span", "invented case", "invented")
                seen = f"examined {day(line.examined_on)}" if line.examined_on else "not dated"
                label = f", called {line.label}" if line.label != line.name else ""
                kept = f"plan {plans} kept" if plans else "no plan kept yet"
                Say("span", f"{seen}{label} · version {line.version} · {kept}")
        words = "Take back" if line.archived else "Put away"
        button(words, lambda: _put(context, line), "quiet", aria_label=f"{words} {line.name}")


async def _put(context: CasesPage, line: CaseLine) -> None:
    def work() -> None:
        with context.services.store.write(context.services.role) as unit:
            unit.archive(line.name, not line.archived)

    await context.services.in_thread(work)
    await _again(context)
    done = f"{line.name} was {'taken back' if line.archived else 'put away; nothing is ever deleted'}."
    _say(context, done)


def _say(context: CasesPage, words: str) -> None:
    said = context.slots["said"]
    assert isinstance(said, Say)
    said.text = words


def _new(context: CasesPage) -> None:
    with box("section", "card"):
        Say("h2", "New case")
        Say("p", "Which leg is to be operated on? It is never guessed.", "hint")
        with box("div", "bar"):
            for side in ("right", "left"):
                button(f"{side[0].upper()}  {side} foot", lambda side=side: _make(context, side), f"sided {side}")


async def _make(context: CasesPage, side: str) -> None:
    case = case_from_tables({"schema_version": 1, "pseudonym": "new", "side": side})
    await _open(context, case)


def _file(context: CasesPage) -> None:
    with box("section", "card"):
        Say("h2", "From a case file")
        PickFile("Read a case file", ".toml", lambda event: _import(context, event.args))
        context.slots["problem"] = box("div", "problems", role="alert")


async def _import(context: CasesPage, given: dict[str, Any]) -> None:
    slot = context.slots["problem"]
    slot.clear()
    name = str(given.get("name", "file"))[:80]
    try:
        if not isinstance(given.get("text"), str):
            _problem(slot, f"{name}: larger than 1 MiB, the limit for a case file; check that this is a case file.")
            return
        await _open(context, parse_case(given["text"], name))
    except SinewrightError as problem:
        _problem(slot, str(problem))


def _problem(slot: ui.element, words: str) -> None:
    with slot:
        Say("p", words, "problem")


async def _open(context: CasesPage, case: Case) -> None:
    name = await context.services.in_thread(lambda: context.services.add(case))
    ui.navigate.to(f"/case/{name}/findings")


def _examples(context: CasesPage) -> None:
    with box("section", "card"):
        Say("h2", "Invented people to try")
        with box("div", "one-source"):
            with box("p", "hint"):
                Say("span", "For teaching; every page says that they are. ")
                markup(source_note("made up", INVENTED_NOTE, "the people to try"), "span")
            with box("ul", "tries"):
                for example in examples():
                    _example(context, example)


def _example(context: CasesPage, example: Example) -> None:
    with box("li"):
        title = example.file.removesuffix(".toml").replace("_", " ").capitalize()
        button(title, lambda: _open(context, example.case), "try")
        Say("p", f"{example.case.side.capitalize()} foot. {example.about}", "hint")
