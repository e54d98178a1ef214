"""What was done and how the weeks after are planned, as entries of the page: read from the record, checked, stored."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from nicegui import ui

from sinewright.app.elements import Say, Slider, box, button, markup, source_note
from sinewright.app.where_from import row_line, rows_note
from sinewright.errors import InputError
from sinewright.plan import find_choice
from sinewright.protect.constructs import (
    CONSTRUCTS,
    FEWEST_PASSES,
    MOST_PASSES,
    OVERLAP_MM,
    TESTS,
    Construct,
    find_construct,
)
from sinewright.protect.protection import CHANCES, MARGINS, Wish
from sinewright.protect.stages import HOLDS, KEYS, MOST_WEEKS, PACES, STAGES, check_own_weeks, published_weeks
from sinewright.reference import load
from sinewright.service.worker import FrozenPlan
from sinewright.store.records import OperationNote, OwnWeeks, Protecting

USUAL = "as usual"
UNKNOWN = "choose"
CAST_DEG, STRETCH_DEG = (-30.0, 20.0), (-45.0, 10.0)
PLAIN_NUMBERS = ("passes", "overlap_mm", "margin", "chance", "cast_deg", "stretch_limit_deg")
_VALUE = "(e) => emit(e.target.value)"
Given = dict[str, str]
"""What was given, as text by name; an own week stands under ``week.`` and the key of its stage. Empty is as usual."""


def planned_otherwise(given: Given) -> bool:
    """True when something about the weeks was chosen that is not as usual."""
    usual = {"hold": HOLDS[0], "pace": "usual", "tests": TESTS[0]}
    done = ("on", "construct", "passes", "overlap_mm")
    return any(text and name not in done and text != usual.get(name) for name, text in given.items())


def given_in(note: OperationNote | None, planned: str = "") -> Given:
    """What the record of the operation holds, as the page shows it; before there is one, the planned junction."""
    if note is None:
        return {"construct": planned} if planned else {}
    given = {"on": note.on.isoformat(), "construct": note.junction or ""}
    told = note.protection
    given |= dict(part.split(" ", 1) for part in _earlier(note) if " " in part)
    given |= {name: str(found) for name in ("hold", "pace", "tests") if (found := getattr(told, name))}
    numbers = {name: getattr(told, name) for name in ("margin", "chance", "cast_deg", "stretch_limit_deg")}
    numbers |= {"passes": note.junction_passes, "overlap_mm": note.junction_overlap_mm}
    numbers |= {f"week.{key}": getattr(told.own_weeks, key) for key in KEYS[1:]}
    return given | {name: f"{value:g}" for name, value in numbers.items() if value is not None}


def _earlier(note: OperationNote) -> list[str]:
    """Hold and pace as an earlier version of the app kept them, in the free text."""
    return (note.note or "").split("; ") if (note.note or "").startswith("hold ") else []


def planned_junction(frozen: FrozenPlan) -> Construct:
    """What the plan ends in, as a junction: a bone tunnel, or a weave into tendon; the first of its kind."""
    bone = any(part.recipient.bone for part in find_choice(frozen.case, frozen.choice).parts)
    return find_construct("tunnel_sutured" if bone else "weave")


def question(frozen: FrozenPlan, name: str) -> str:
    """What is asked when another junction is entered than was planned; empty where it is the planned kind."""
    planned = planned_junction(frozen)
    if name in ("", UNKNOWN) or find_construct(name).in_bone == planned.in_bone:
        return ""
    ends = ("tendon", "bone")
    return (
        f"The plan ends in {ends[planned.in_bone]}; {find_construct(name).title} ends in {ends[not planned.in_bone]}. "
        "Was it sewn otherwise than planned?"
    )


def wish_in(given: Given, planned_mm: float) -> Wish | None:
    """The wish, once date and junction are given. Raises InputError for an entry that cannot be."""
    on, construct = given.get("on", ""), given.get("construct", "")
    if not on or construct in ("", UNKNOWN):
        return None
    numbers = {name: _number(name, given.get(name, "")) for name in PLAIN_NUMBERS}
    weeks = {
        key: week for key in KEYS[1:] if (week := _number(f"week.{key}", given.get(f"week.{key}", ""))) is not None
    }
    check_own_weeks(weeks)
    kind, passes = find_construct(construct).kind, numbers["passes"]
    if kind != "weave":
        passes = None
    return Wish(
        construct,
        tests=_one_of("tests", given.get("tests"), TESTS),
        passes=None if passes is None else int(passes),
        overlap_mm=numbers["overlap_mm"] if kind in ("weave", "side-to-side") else None,
        hold=_one_of("hold", given.get("hold"), HOLDS),
        pace=_one_of("pace", given.get("pace") or "usual", PACES),
        own_weeks=weeks or None,
        margin=numbers["margin"],
        chance=numbers["chance"],
        cast_deg=numbers["cast_deg"],
        stretch_limit_deg=numbers["stretch_limit_deg"],
        operated_on=_day(on),
        planned_mm=planned_mm,
    )


LIMITS: dict[str, tuple[float, float, str]] = {
    "passes": (FEWEST_PASSES, MOST_PASSES, ""), "overlap_mm": (*OVERLAP_MM, "mm"), "margin": (*MARGINS, "times"),
    "chance": (*CHANCES, "of all"), "cast_deg": (*CAST_DEG, "deg"), "stretch_limit_deg": (*STRETCH_DEG, "deg"),
}  # fmt: skip


def _number(name: str, text: str) -> float | None:
    """A number inside its limits, or None where nothing stands. Raises InputError otherwise."""
    low, high, unit = LIMITS.get(name, (0.0, MOST_WEEKS, "weeks"))
    if not text.strip():
        return None
    allowed = f"a {'whole ' if name == 'passes' else ''}number from {low:g} to {high:g} {unit}".strip()
    try:
        value = float(text.replace(",", "."))
    except ValueError:
        value = float("nan")
    if not low <= value <= high or (name == "passes" and value != int(value)):
        raise InputError(name.replace("_", " "), f'"{text[:20]}"', allowed, "or leave it empty for the usual one")
    return value


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise InputError("date of the operation", f'"{text[:20]}"', "a date", "choose it in the calendar") from None


def _one_of(name: str, given: str | None, allowed: tuple[Any, ...]) -> Any:
    found = next((each for each in allowed if each == (given or allowed[0])), None)
    if found is None:
        raise InputError(name, f'"{given}"', ", ".join(allowed), "choose one of them")
    return found


def note_with(wish: Wish, plan: int, before: OperationNote | None) -> OperationNote:
    """The record of the operation with a wish; whatever else stands in it stays."""
    assert wish.operated_on is not None
    own = OwnWeeks(**dict(wish.own_weeks or {}))
    planned = Protecting(
        hold=wish.hold, pace=wish.pace, tests=wish.tests, margin=wish.margin, chance=wish.chance,
        cast_deg=wish.cast_deg, stretch_limit_deg=wish.stretch_limit_deg, own_weeks=own,
    )  # fmt: skip
    done: dict[str, Any] = {
        "on": wish.operated_on, "plan": plan, "junction": wish.construct, "junction_passes": wish.passes,
        "junction_overlap_mm": wish.overlap_mm, "protection": planned,
    }  # fmt: skip
    if before is None:
        return OperationNote(**done)
    text = None if _earlier(before) else before.note
    return before.model_copy(update={**done, "note": text})


def _tests_note() -> str:
    opening = (
        "Each junction has a usual test and a weaker, pessimistic one; which one stands for which is our judgement."
    )
    rows = [row for each in CONSTRUCTS for row in dict.fromkeys((each.usual.row, each.pessimistic.row))]
    return rows_note(opening, rows)


def date_words(text: str) -> str:
    """``4 March 2026, Wednesday``; empty while it is no date."""
    try:
        on = date.fromisoformat(text)
    except ValueError:
        return ""
    return f"{on.day} {on:%B %Y}, {on:%A}"


# -- on the page ------------------------------------------------------------------------------------------------------


@dataclass
class ProtectForm:
    """The entries; `changed` is called after each with its name. `as_sewn_deg` is the posture of sewing."""

    given: Given
    changed: Callable[[str, str], Any]
    as_sewn_deg: float
    slots: dict[str, Any] = field(default_factory=dict)

    def done(self) -> None:
        """What was done: date, junction, passes, overlap."""
        names = {UNKNOWN: UNKNOWN} | {each.name: each.title for each in CONSTRUCTS}
        self._input("on", "Date of the operation", "date")
        self.slots["on-words"] = Say("p", "", "said date-words")
        self._choice("construct", "Junction", names)
        passes = round(load().fit_value("own-protect-weave-passes-tested"))
        self._input("passes", "Passes of a weave", "number", f"{passes} as tested", 1)
        self._input("overlap_mm", "Overlap of tendon with tendon, mm", "number", "as tested", 1)

        self.fit()

    def fit(self) -> None:
        """Passes are asked for a weave only, an overlap only for tendon to tendon; the date stands in words too."""
        self.slots["on-words"].text = date_words(self.given.get("on", ""))
        name = self.given.get("construct", "")
        kind = find_construct(name).kind if name and name != UNKNOWN else ""
        self.slots["row-passes"].set_visibility(kind == "weave")
        self.slots["row-overlap_mm"].set_visibility(kind in ("weave", "side-to-side"))

    def planned(self) -> None:
        """How the weeks are planned: hold, pace, tests, margin, chance, angles."""
        self._choice("hold", "Held in a", {each: each for each in HOLDS})
        self._choice("pace", "Pace of published weeks", {each: each for each in PACES}, "usual")
        self._choice("tests", "Strength tests", {each: each for each in TESTS})
        with box("div", "usual"):
            markup(source_note("our judgement", _tests_note(), "sets of strength tests"))
        margin = load().fit_value("own-protect-margin")
        words = {"unit": "times"}
        self._slider("margin", "Margin wanted", (*MARGINS, 0.1), usual=margin, row="own-protect-margin", words=words)
        chance = 100.0 * load().fit_value("own-protect-chance")
        ends = (0.5, 100.0 * CHANCES[1], 0.5)
        self._slider(
            "chance", "May give way", ends, usual=chance, row="own-protect-chance", words={"unit": "of 100"}, share=0.01
        )
        turn = {"unit": "°", "plus": "up", "minus": "down", "zero": "neutral"}
        self._slider("cast_deg", "Ankle in the hold", (*CAST_DEG, 1.0), usual=self.as_sewn_deg, row="", words=turn)
        limit = load().fit_value("own-protect-stretch-limit")
        ends = (*STRETCH_DEG, 1.0)
        self._slider(
            "stretch_limit_deg", "Stretched down to", ends, usual=limit, row="own-protect-stretch-limit", words=turn
        )

    def own_weeks(self) -> None:
        """The surgeon's own week of each stage; empty keeps the published ones."""
        for stage in STAGES:
            if stage.key == "hold":
                continue
            low, high = published_weeks(stage)
            self._input(f"week.{stage.key}", stage.title, "number", f"published {low:g} to {high:g}", 0.5)

    def choose(self, name: str, value: str) -> None:
        """Sets a choice back to what is stored."""
        ui.run_javascript(f"getHtmlElement({self.slots[name].id}).value = {json.dumps(value)}")

    def tell(self, name: str, words: str) -> None:
        """What is wrong with an entry, beside it; empty when nothing is."""
        if f"why-{name}" in self.slots:
            self.slots[f"why-{name}"].text = words

    def _input(self, name: str, label: str, kind: str, empty: str = "", step: float | None = None) -> None:
        self.slots[f"row-{name}"] = box("label", "search")
        with self.slots[f"row-{name}"]:
            Say("span", label)
            made = box("input", type=kind, value=self.given.get(name, ""), placeholder=empty or None, step=step)
            if kind == "number":
                made.props["inputmode"] = "decimal"
                made.props["min"] = 0
            made.on("change", lambda event: self._said(name, event.args), js_handler=_VALUE)
        self.slots[name] = made
        self.slots[f"why-{name}"] = Say("p", "", "why", role="alert")

    def _said(self, name: str, told: Any) -> Any:
        text = str(told or "")
        made = self.slots.get(name)
        if made is not None:  # else the next drawing of the page would empty the field
            made.props["value"] = text
        return self.changed(name, text)

    def _choice(self, name: str, label: str, words: dict[str, str], usual: str = "") -> None:
        chosen = self.given.get(name) or usual
        with box("label", "search"):
            Say("span", label)
            made = box("select")
            made.on("change", lambda event: self.changed(name, str(event.args or "")), js_handler=_VALUE)
            with made:
                for key, text in words.items():
                    Say("option", text, value=key, selected="" if chosen == key else None)
        self.slots[name] = made
        self.slots[f"why-{name}"] = Say("p", "", "why", role="alert")

    def _slider(
        self, name: str, label: str, ends: tuple[float, float, float], usual: float, row: str, words: dict[str, Any],
        share: float = 1.0,
    ) -> None:  # fmt: skip
        here = float(self.given[name]) / share if self.given.get(name) else usual
        low, high, step = ends
        made = Slider(label, low, high, step, here, **words)
        made.on("rest", lambda event: self.changed(name, f"{float(event.args) * share:g}"))
        with box("div", "usual"):
            button(
                USUAL if row else "as sewn",
                lambda: self._usual(name, made, usual),
                "quiet",
                aria_label=f"{label}: as usual",
            )
            if row:
                markup(source_note("our judgement", row_line(row), label))
            else:
                markup(
                    source_note("from the plan", "The ankle as it was held while sewing, in the frozen plan.", label)
                )
        self.slots[f"why-{name}"] = Say("p", "", "why", role="alert")

    def _usual(self, name: str, made: Slider, usual: float) -> Any:
        made.move_to(usual)
        return self.changed(name, "")
