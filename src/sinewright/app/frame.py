"""The frame of every page: whose leg, which side, in what state; where one can go; what is not to be forgotten."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date as Date  # noqa: N812  (the name of the function's argument is taken)

from nicegui import ui

from sinewright.app.elements import Say, box, link, markup, named_note
from sinewright.store.store import StoredCase

ASSETS = "/assets"
PAGES: tuple[tuple[str, str], ...] = (
    ("findings", "Findings"),
    ("choices", "Choices"),
    ("plan", "Plan"),
    ("theatre", "Theatre"),
    ("protect", "Protect"),
)
"""Pages of a case in the order of the job: their place in the address and their name."""

CAUTION = (
    "A calculation to think with, not a decision and not a medical device. Check side, marks and tension against your "
    "own judgement, your hospital's checklist and local rules."
)
HEAD_NOTE = (
    "Age, mass and date as entered under Findings, where each says how it is known. The version counts every stored "
    "change of the case; the plan is the last one that was frozen. Nothing of it is computed."
)
_HEAD = f"""<script src="{ASSETS}/look.js"></script>
<link rel="stylesheet" href="{ASSETS}/style.css">"""


@dataclass(frozen=True)
class CaseHead:
    """What the head of a page says about a case."""

    name: str
    side: str
    invented: bool
    about: str
    state: str

    @staticmethod
    def of(stored: StoredCase, plans: int) -> CaseHead:
        """The head for a stored case with so many plans."""
        case = stored.case
        parts = [
            f"{case.person.age_years.value:g} y" if case.person.age_years else "",
            f"{case.person.mass_kg.value:g} kg" if case.person.mass_kg else "",
            f"examined {day(case.examined_on)}" if case.examined_on else "date of examination not given",
        ]
        kept = f"plan {plans} kept" if plans else "no plan kept yet"
        state = f"{'archived, ' if stored.line.archived else ''}version {stored.version}, {kept}"
        return CaseHead(stored.name, case.side, case.invented, " · ".join(part for part in parts if part), state)


def day(date: Date) -> str:
    """A date in words: 4 Mar 2025."""
    return f"{date.day} {date.strftime('%b %Y')}"


@contextmanager
def page(title: str, here: str, head: CaseHead | None) -> Iterator[None]:
    """Head, content and foot of a page."""
    ui.page_title(f"{title} · {head.name + ', ' + head.side + ' foot · ' if head else ''}Sinewright")
    ui.add_head_html(_HEAD)
    link("To the content", "#content", "skip")
    with box("header", "head"):
        if head is None:
            Say("p", "Sinewright", "brand")
        else:
            _whose(head)
        _ways(here, head)
    with box("main", "page", id="content", tabindex="-1"):
        yield
    with box("footer", "foot"):
        Say("p", CAUTION, "caution")


def _whose(head: CaseHead) -> None:
    with box("div", f"plate {head.side}"):
        Say("span", head.side[0].upper(), "letter", aria_hidden="true")
        Say("span", f"{head.side} foot", "word")
    with box("p", "who"):
        Say("strong", head.name)
        if head.invented:
            Say("span", "invented case", "invented")
        Say("span", head.about, "about")
        markup(named_note(head.state, HEAD_NOTE), "span", "state")


def _ways(here: str, head: CaseHead | None) -> None:
    with box("nav", "ways", aria_label="Pages in the order of the job"):
        _way("Cases", "/", here == "cases")
        if head is not None:
            for place, name in PAGES:
                _way(name, f"/case/{head.name}/{place}", here == place)
        _way("Evidence", "/evidence" if head is None else f"/evidence?case={head.name}", here == "evidence")
        look = Say("button", "Light or dark", "way look", type="button")
        look.on("click", js_handler="() => window.sinewrightLook()")


def _way(text: str, href: str, current: bool) -> None:
    link(text, href, "way current" if current else "way", aria_current="page" if current else None)


def refused(title: str, words: str, head: CaseHead | None = None) -> None:
    """A page that says in words why something cannot be shown, and the way back."""
    with page(title, "", head):
        Say("h1", title)
        with box("section", "card"):
            Say("p", words)
            link("Back to the cases", "/", "button")
