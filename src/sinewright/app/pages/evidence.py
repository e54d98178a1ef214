"""Evidence: every published claim held against the program, the misses first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import partial
from typing import Any

from fastapi import Request
from nicegui import ui

from sinewright.app.elements import Say, Search, box, button, markup, source_note
from sinewright.app.frame import CaseHead, page
from sinewright.app.open_case import open_case
from sinewright.app.services import Services
from sinewright.app.waiting import Waiting
from sinewright.app.where_from import rows_note
from sinewright.results import CheckResult
from sinewright.version import __version__
from sinewright.wording.known import KNOWN_WORDS, OUTCOMES

MARKS = {"outside": "✕", "cannot be checked": "?", "within published spread": "~", "reproduced": "="}


@dataclass
class EvidencePage:
    """What this tab shows: the checks, and which of them."""

    services: Services
    checks: tuple[CheckResult, ...] = ()
    outcome: str = ""
    word: str = ""
    slots: dict[str, Any] = field(default_factory=dict)

    @property
    def found(self) -> list[CheckResult]:
        """The checks asked for, misses first."""
        kept = [each for each in self.checks if self.outcome in ("", each.outcome)]
        kept = [each for each in kept if self.word in f"{each.claim} {each.citation} {each.id}".lower()]
        return sorted(kept, key=lambda each: OUTCOMES.index(each.outcome))


def register(services: Services) -> None:
    """Puts the page at its address."""

    @ui.page("/evidence")
    async def evidence(request: Request) -> None:
        name = request.query_params.get("case", "")
        opened = await open_case(services, name) if name else None
        if name and opened is None:
            return
        build(EvidencePage(services), opened[1] if opened else None)


def build(context: EvidencePage, head: CaseHead | None) -> None:
    """The whole page; the checks begin at once."""
    with page("Evidence", "evidence", head), box("section", "card"):
        Say("h1", "Published claims held against this program")
        Say("p", "Each check names its source. What lies outside stays visible, with its reason.", "hint")
        context.slots["wait"] = Waiting(partial(_checked, context))
        context.slots["bar"] = box("div", "bar")
        context.slots["list"] = box("div")
    job = context.services.compute.ask("checks", key=(__version__,))
    context.slots["wait"].follow(job)


def _checked(context: EvidencePage, checks: tuple[CheckResult, ...]) -> None:
    context.checks = checks
    with context.slots["bar"]:
        Search("Look for", partial(_look, context))
        for outcome in ("", *OUTCOMES):
            count = sum(outcome in ("", each.outcome) for each in checks)
            made = button(f"{outcome or 'all'}: {count}", partial(_turn, context, outcome), "quiet")
            context.slots[f"is-{outcome}"] = made
    _list(context)


def _look(context: EvidencePage, event: Any) -> None:
    context.word = str(event.args or "").strip().lower()[:80]
    _list(context)


def _turn(context: EvidencePage, outcome: str) -> None:
    context.outcome = outcome
    _list(context)


def _list(context: EvidencePage) -> None:
    for outcome in ("", *OUTCOMES):
        made = context.slots[f"is-{outcome}"]
        made.props["aria-pressed"] = "true" if outcome == context.outcome else "false"
        made.update()
    slot = context.slots["list"]
    slot.clear()
    with slot:
        if not context.found:
            Say("p", "No check holds this word.", "empty")
        _table(context.found)


def _table(checks: Sequence[CheckResult]) -> None:
    with box("ul", "checks-list"):
        for each in checks:
            with box("li", each.outcome.split()[0]):
                Say("span", MARKS[each.outcome], "mark", aria_hidden="true")
                with box("div"):
                    Say("p", each.claim)
                    words = f"Expected {each.expected_text}; found {each.found_text}."
                    Say("p", f"{each.outcome.capitalize()}. {words}", "hint")
                    if each.reason:
                        Say("p", each.reason, "watch")
                    rows = rows_note("", [row for row in each.row_ids if row]) if each.row_ids else ""
                    note = f"{each.citation}\n\nRows: {rows or 'none'}\n\nSet-up: {each.setup}"
                    markup(source_note(KNOWN_WORDS[each.known], note, each.claim))
