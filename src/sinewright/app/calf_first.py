"""Calf first, on the page of choices: what leads without and with each calf procedure, side by side."""

from __future__ import annotations

from collections.abc import Sequence
from urllib.parse import quote

from sinewright.app.elements import Say, box, link, markup, named_note
from sinewright.app.how_sewn import PLACE
from sinewright.app.ladder_rows import DEGREE, donors_of
from sinewright.app.where_from import note_of, show_source_note
from sinewright.case import Case
from sinewright.results import CalfTrial, Outcome
from sinewright.wording.calf import SAID, TITLE, calf_cells, leading, letters_of, not_counted

SHORT = {"lift_deg": "lift", "rest_deg": "at rest hanging", "pushdown_deg": "push-down kept",
         "clears_swing": "clears the floor in swing", "set_stretch_mm": "sewn"}  # fmt: skip
"""The columns: every number that is told of a choice, in its order."""


def show_calf_first(trials: Sequence[CalfTrial], case: Case, computed: str, page: str) -> None:
    """The part, for a calf that is short; `page` is the address of the plan."""
    letters = letters_of(trials)
    Say("h2", TITLE)
    with box("div", "one-source"):
        with box("ul", "leads"):
            for trial in trials:
                with box("li", "planned" if trial.procedure == (case.plan.calf_procedure or "none") else ""):
                    Say("span", leading(trial, letters))
        with box("p", "watch"):
            Say("span", f"{not_counted(trials)} ")
            show_source_note("calf_first", case, _donors(trials), computed, "what leads with each calf procedure")
        named = "Calf first, side by side"
        with box("div", "sideways", tabindex="0", role="region", aria_label=named), box("table", "beside calf-beside"):
            _head(case, _donors(trials), computed)
            for found in zip(*(trial.outcomes for trial in trials), strict=True):
                _choice(trials, found, letters, page)


def _donors(trials: Sequence[CalfTrial]) -> list[str]:
    return donors_of([outcome.choice.donor for outcome in trials[0].outcomes])


def _head(case: Case, donors: Sequence[str], computed: str) -> None:
    with box("thead"), box("tr"):
        Say("th", "calf", scope="col")
        for key, label in SHORT.items():
            with box("th", scope="col"):
                markup(named_note(label, note_of(key, case, donors, computed)), "span")


def _choice(trials: Sequence[CalfTrial], found: Sequence[Outcome], letters: dict[str, str], page: str) -> None:
    choice = found[0].choice
    letter = letters[choice.id]
    with box("tbody"):
        with box("tr"), box("th", "over", scope="rowgroup", colspan=len(SHORT) + 1):
            Say("span", f"{letter}  {choice.title}", "title")
            Say("span", choice.subtitle, "subtitle")
            link(f"Set the calf procedure on Plan, with {letter}", f"{page}?choice={quote(choice.id)}#{PLACE}")
        for trial, outcome in zip(trials, found, strict=True):
            with box("tr", "leads" if choice.id in trial.leaders else ""):
                with box("th", scope="row"):
                    Say("span", SAID[trial.procedure])
                    if choice.id in trial.leaders:
                        Say("span", f"{_PLACES[trial.leaders.index(choice.id)]} of what leads", "subtitle")
                _cells(outcome)


_PLACES = ("first", "second", "third", "fourth", "fifth")


def _cells(outcome: Outcome) -> None:
    told = {key: words for key, _, words in calf_cells(outcome, DEGREE)}
    if not told:
        Say("td", outcome.reason, colspan=len(SHORT))
        return
    for key in SHORT:
        middle, _, wide = told.get(key, "not computed").partition(" (")
        with box("td"):
            Say("b" if wide else "span", middle)
            if wide:
                Say("span", f"({wide}", "subtitle")
