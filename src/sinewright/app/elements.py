"""Plain elements of a page, with labels and roles; and our own few that live in ``parts``."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from html import escape
from typing import Any

from nicegui import ui
from nicegui.elements.mixins.text_element import TextElement


class Say(TextElement):
    """An element with text; no mark-up in the text is ever read as mark-up."""

    def __init__(self, tag: str, text: str = "", classes: str = "", **attributes: Any) -> None:
        super().__init__(tag=tag, text=text)
        dress(self, classes, attributes)


def box(tag: str = "div", classes: str = "", **attributes: Any) -> ui.element:
    """An element that holds others."""
    made = ui.element(tag)
    dress(made, classes, attributes)
    return made


def dress(element: ui.element, classes: str, attributes: dict[str, Any]) -> None:
    """Classes and attributes; a trailing underscore is dropped and other underscores become hyphens."""
    if classes:
        element.classes(classes)
    for name, value in attributes.items():
        if value is not None:
            element.props[name.rstrip("_").replace("_", "-")] = value


def button(text: str, on_click: Callable[..., Any], classes: str = "", **attributes: Any) -> Say:
    """A button; `on_click` may be a coroutine."""
    made = Say("button", text, f"button {classes}".strip(), type="button", **attributes)
    made.on("click", on_click, [])
    return made


def link(text: str, href: str, classes: str = "", **attributes: Any) -> Say:
    """A link to another page of the app."""
    return Say("a", text, classes, href=href, **attributes)


def markup(content: str, tag: str = "div", classes: str = "") -> ui.html:
    """Mark-up made by the program; every text from outside in it went through ``escape``."""
    made = ui.html(content, sanitize=False, tag=tag)
    if classes:
        made.classes(classes)
    return made


def source_note(how: str, note: str, about: str = "") -> str:
    """Mark-up of a small mark that says how a number is known and opens to its source.

    `about` names the number for those who hear the page and do not see what the mark stands beside.
    """
    kind = how.split(" ")[0].lower()
    named = f'<span class="sr">: {escape(about)}</span>' if about else ""
    return (
        f'<details class="source-note {escape(kind)}"><summary>{escape(how)}{named}</summary>'
        f'<div class="note" tabindex="0">{escape(note)}</div></details>'
    )


def named_note(name: str, note: str) -> str:
    """Mark-up of a name that itself opens to where what stands beside it comes from, for tables with many lines."""
    return (
        f'<details class="source-note named"><summary>{escape(name)}<span class="sr">: where from</span></summary>'
        f'<div class="note" tabindex="0">{escape(note)}</div></details>'
    )


def show_dangers(dangers: Sequence[tuple[str, str]]) -> None:
    """Each danger in a line: a sign and the word, then what to look to; never folded."""
    with box("ul", "dangers"):
        for word, advice in dangers:
            with box("li"):
                Say("b", f"\u25b2 {word}")
                Say("span", f" {advice}")


class Fields(ui.element, component="parts/fields.js"):
    """A part of the examination to fill in; emits ``edit`` with path, value and how it is known."""

    def __init__(self, groups: list[dict[str, Any]], on_edit: Callable[[Any], Any]) -> None:
        super().__init__()
        self.props["groups"] = groups
        self.props["problems"] = {}
        self.props["saved"] = {}
        self.on("edit", on_edit)

    def answer(self, problems: dict[str, Any], saved: dict[str, Any]) -> None:
        """What is wrong beside which field, and what now stands in the store by path."""
        self.props["problems"], self.props["saved"] = problems, saved
        self.update()


class Slider(ui.element, component="parts/slider.js"):
    """A slider with its value in a box of words to type in; emits ``move`` while it moves, ``rest`` after.

    ``by`` says who chose the value; it is heard with the slider."""

    def __init__(self, label: str, low: float, high: float, step: float, value: float, **more: Any) -> None:
        super().__init__()
        self.props.update({"label": label, "low": low, "high": high, "step": step, "value": value})
        for name in ("unit", "plus", "minus", "zero", "note", "by"):
            self.props[name] = more.get(name, "")
        self.props["ends"] = []

    def slide_between(self, ends: tuple[float, float]) -> None:
        """Narrows where the thumb goes, to stand under a scale; what can be typed stays."""
        self.props["ends"] = list(ends)
        self.update()

    def move_to(self, value: float) -> None:
        """Sets the value from the server."""
        self.props["value"] = value
        self.update()

    def back(self) -> None:
        """Takes back what a hand did and nobody stored."""
        self.run_method("back")


class PickFile(ui.element, component="parts/pick_file.js"):
    """Chooses a text file of this machine; emits ``text`` with its name and content."""

    def __init__(self, label: str, accept: str, on_text: Callable[[Any], Any]) -> None:
        super().__init__()
        self.props.update({"label": label, "accept": accept})
        self.on("text", on_text)


class Search(ui.element, component="parts/search.js"):
    """A box for a word to look for; emits ``look`` as it is typed."""

    def __init__(self, label: str, on_look: Callable[[Any], Any]) -> None:
        super().__init__()
        self.props["label"] = label
        self.on("look", on_look)


class Rungs(ui.element, component="parts/rungs.js"):
    """The ladder of the answer: one rung for each donor, whose other ways fold out."""

    def __init__(self) -> None:
        super().__init__()
        self.props.update({"rungs": [], "outs": [], "low": -20.0, "high": 20.0, "zone": [0.0, 20.0]})
        self.props.update({"base": "", "caption": "", "others": ""})

    def show(self, **props: Any) -> None:
        """Shows other rungs; those that are folded out stay so."""
        self.props.update(props)
        self.update()


class LadderTable(ui.element, component="parts/ladder.js"):
    """The choice ladder; emits ``pick`` with a choice to compare, ``source-note`` with one whose notes it lacks, and
    ``more`` when all are to be shown, or the first again."""

    def __init__(
        self, on_pick: Callable[[Any], Any], on_source_note: Callable[[Any], Any], on_more: Callable[[], Any]
    ) -> None:
        super().__init__()
        self.props.update({"rows": [], "heads": [], "low": -20.0, "high": 20.0, "zone": [0.0, 10.0], "picked": []})
        self.props.update({"base": "", "caption": "", "notes": {}, "more": ""})
        self.on("pick", on_pick)
        self.on("source-note", on_source_note)
        self.on("more", on_more, [])

    def show(self, **props: Any) -> None:
        """Shows other rows."""
        self.props.update(props)
        self.update()


class TableEntryBox(ui.element, component="parts/table_entry.js"):
    """One reading of the operating table; emits ``enter`` with kind, size, the word of its direction and, for an
    angle, knee and limb. What is typed stays with the tab until the program says that it is stored."""

    def __init__(self, kind: str, label: str, unit: str, ways: tuple[str, ...], on_enter: Callable[[Any], Any]) -> None:
        super().__init__()
        self.props.update({"kind": kind, "label": label, "unit": unit, "ways": list(ways)})
        self.props.update({"knee": "", "limbs": [], "keep": ""})
        self.on("enter", on_enter)

    def posture(self, knee: str, limbs: tuple[str, ...]) -> None:
        """Asks for the knee too (the words say what an empty field means), and for the limb where `limbs` are given."""
        self.props.update({"knee": knee, "limbs": list(limbs)})

    def kept(self, at: str) -> None:
        """The entry of this moment is stored: the fields are emptied."""
        self.run_method("kept", at)

    def refused(self) -> None:
        """The entry was not stored; it stays in its fields."""
        self.run_method("refused")
