"""The first page: what it is for, a new case by its side, the cases changed last, invented ones to try, a case file."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path
from typing import Any

from nicegui import ui

from sinewright.app.elements import PickFile, Say, Search, box, button, link, markup, source_note
from sinewright.app.frame import day, page
from sinewright.app.services import Example, Services, examples
from sinewright.app.whose import NO_LESION, lesion_words, person_words
from sinewright.case import Case, case_from_tables, parse_case
from sinewright.errors import SinewrightError
from sinewright.store.store import CaseLine

PURPOSE = "Which muscle to move, by which way and how tight, so that a foot that drops clears the floor again."
RECENT = 6  # cases that are listed before anybody asks for all
LEG = Path(__file__).parents[1] / "look" / "start_leg.svg"
STORED_NOTE = (
    "As stored on this machine: the date of the examination as entered, the version that counts every stored change, "
    "the number of the last frozen plan. Nothing here is computed."
)
INVENTED_NOTE = "Every age, angle and grade of these people was invented for this program; none is of a patient."


@dataclass(frozen=True)
class Listed:
    """A stored case as the list shows it: its line, how many plans it has, lesion and person in words."""

    line: CaseLine
    plans: int = 0
    lesion: str = NO_LESION
    person: str = ""


@dataclass
class CasesPage:
    """What this tab shows: the cases read, the word looked for, whether all are shown and those put away."""

    services: Services
    cases: tuple[Listed, ...]
    word: str = ""
    archived: bool = False
    every: bool = False
    slots: dict[str, Any] = field(default_factory=dict)

    @property
    def found(self) -> tuple[Listed, ...]:
        """The cases that hold the word looked for, changed last first."""
        wanted = self.word.strip().lower()
        kept = [each for each in self.cases if wanted in _words_of(each)]
        return tuple(sorted(kept, key=lambda each: each.line.changed_at, reverse=True))


def _words_of(listed: Listed) -> str:
    line = listed.line
    return f"{line.name} {line.label} {line.side} {listed.lesion} {listed.person}".lower()


def register(services: Services) -> None:
    """Puts the page at its address."""

    @ui.page("/")
    async def cases() -> None:
        build(CasesPage(services, await services.in_thread(lambda: _read(services, False))))


def _read(services: Services, archived: bool) -> tuple[Listed, ...]:
    return tuple(_listed(services, line) for line in services.store.cases(archived))


def _listed(services: Services, line: CaseLine) -> Listed:
    """A case with its lesion; one that this program would refuse today is listed without."""
    plans = services.store.counts(line.name)["plan"]
    try:
        case = services.store.case(line.name).case
    except SinewrightError:
        return Listed(line, plans)
    return Listed(line, plans, lesion_words(case), person_words(case))


@lru_cache(maxsize=1)
def leg() -> str:
    """The drawing of the first page, which takes its colours from the look."""
    return LEG.read_text("utf-8")


def build(context: CasesPage) -> None:
    """The whole page."""
    with page("Cases", "cases", None), box("div", "start"):
        markup(leg(), "div", "start-leg")
        with box("div"):
            Say("h1", PURPOSE)
            _new(context)
            with box("div", "lists"):
                with box("section", aria_label="Cases"):
                    _title_row(context)
                    context.slots["list"] = box("div", "list")
                    context.slots["said"] = Say("p", "", "said", role="status")
                    _list(context)
                with box("section", aria_label="Invented people to try"):
                    _examples(context)
                    _file(context)


def _title_row(context: CasesPage) -> None:
    with box("div", "listed"):
        context.slots["title"] = Say("h2", "Recent cases")
        every = button("", lambda: _turn(context), "fold")
        context.slots["every"] = every
        Search("Look for", lambda event: _look(context, event.args))
        context.slots["flip"] = button("Show those put away", lambda: _flip(context), "fold", aria_pressed="false")


def _turn(context: CasesPage) -> None:
    context.every = not context.every
    _list(context)


async def _look(context: CasesPage, word: Any) -> None:
    context.word = str(word or "")[:80]
    _list(context)


async def _flip(context: CasesPage) -> None:
    context.archived = not context.archived
    context.slots["flip"].props["aria-pressed"] = "true" if context.archived else "false"
    context.slots["flip"].update()
    await _again(context)


async def _again(context: CasesPage) -> None:
    context.cases = await context.services.in_thread(lambda: _read(context.services, context.archived))
    _list(context)


def _list(context: CasesPage) -> None:
    found = context.found
    all_ = context.every or bool(context.word)
    context.slots["title"].text = "Put away" if context.archived else "Cases" if all_ else "Recent cases"
    context.slots["every"].text = f"the last {RECENT}" if context.every else f"all {len(found)}"
    context.slots["every"].set_visibility(len(found) > RECENT)
    with context.slots["list"].clear():
        if not found:
            Say("p", _nothing(context), "empty")
            return
        with box("div", "one-source"):
            with box("ul", "cases"):
                for listed in found if all_ else found[:RECENT]:
                    _line(context, listed)
            markup(source_note("from the store", STORED_NOTE, "the list of cases"), "p", "hint")


def _nothing(context: CasesPage) -> str:
    if context.word:
        return f"No case holds “{context.word}”."
    if context.archived:
        return "Nothing was put away."
    return "No case is stored yet. Try an invented one, make a new one, or read a case file."


def _line(context: CasesPage, listed: Listed) -> None:
    line = listed.line
    with box("li"):
        _letter(line.side)
        with box("div", "whom"):
            with link("", f"/case/{line.name}/findings"):
                Say("span", listed.lesion[:1].upper() + listed.lesion[1:])
                Say("span", f", {line.side} foot")
            with box("p", "hint"):
                if line.invented:
                    Say("span", "invented case", "invented")
                Say("span", _about(listed))
        words = "Take back" if line.archived else "Put away"
        button(words, lambda: _put(context, line), "fold", aria_label=f"{words} {line.name}")


def _letter(side: str) -> None:
    """The side as letter and shape; the word stands beside it."""
    with box("div", f"plate mini {side}", aria_hidden="true"):
        Say("span", side[0].upper(), "letter")


def _about(listed: Listed) -> str:
    line = listed.line
    label = line.label if line.label not in (line.name, "new") else ""
    seen = f"examined {day(line.examined_on)}" if line.examined_on else "not dated"
    kept = f"plan {listed.plans} kept" if listed.plans else "no plan kept yet"
    return " · ".join(part for part in (label, line.name, listed.person, seen, kept) if part)


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
    """Two large buttons: the side is never guessed."""
    with box("div", "new", role="group", aria_label="New case"):
        for side in ("right", "left"):
            with button(f"New case, {side} foot", lambda side=side: _make(context, side), f"new-case {side}"):
                Say("span", side[0].upper(), "letter", aria_hidden="true")


async def _make(context: CasesPage, side: str) -> None:
    case = case_from_tables({"schema_version": 1, "pseudonym": "new", "side": side})
    await _open(context, case)


def _file(context: CasesPage) -> None:
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
    Say("h2", "Invented, to try")
    with box("div", "one-source"):
        with box("ul", "tries"):
            for example in examples():
                _example(context, example)
        told = "".join(f"\n· {_title(each)}: {each.about}" for each in examples())
        markup(source_note("made up", f"{INVENTED_NOTE}\n{told}", "the people to try"), "p", "hint")


def _example(context: CasesPage, example: Example) -> None:
    with box("li"):
        _letter(example.case.side)
        with box("div"):
            button(_title(example), lambda: _open(context, example.case), "try")
            Say("p", f"{example.case.side} foot, {lesion_words(example.case)}", "hint")


def _title(example: Example) -> str:
    return example.file.removesuffix(".toml").replace("_", " ").capitalize()
