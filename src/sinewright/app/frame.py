"""The frame of every page: whose leg, which side, in what state; where one can go; what is not to be forgotten."""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import date as Date  # noqa: N812  (the name of the function's argument is taken)

from nicegui import ui

from sinewright.app.elements import Say, box, link, markup, named_note
from sinewright.app.whose import lesion_words, person_words
from sinewright.errors import SinewrightError
from sinewright.store.store import StoredCase
from sinewright.version import __version__

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
    "Label, sex, age and lesion as entered under Findings, where each says how it is known; the plan is the last one "
    "that was frozen. Nothing of it is computed."
)
LOOK_AGAIN_S = 2.0
_HEAD = f"""<script src="{ASSETS}/look.js?{__version__}"></script>
<link rel="stylesheet" href="{ASSETS}/style.css?{__version__}">"""


@dataclass(frozen=True)
class CaseHead:
    """What the head of a page says about a case; `again` reads it anew, so that the head never falls behind."""

    name: str
    side: str
    invented: bool
    about: str
    state: str
    called: str
    again: Callable[[], Awaitable[CaseHead]] | None = field(default=None, compare=False)

    @staticmethod
    def of(stored: StoredCase, plans: int, again: Callable[[], Awaitable[CaseHead]] | None = None) -> CaseHead:
        """The head for a stored case with so many plans."""
        case = stored.case
        label = stored.line.label
        parts = [person_words(case), lesion_words(case)]
        kept = f"plan {plans} kept" if plans else "no plan kept yet"
        state = f"{'archived, ' if stored.line.archived else ''}{kept}"
        about = " · ".join(part for part in parts if part)
        called = stored.name if label in ("", "new") else label
        return CaseHead(stored.name, case.side, case.invented, about=about, state=state, called=called, again=again)


def day(date: Date) -> str:
    """A date in words: 4 Mar 2025."""
    return f"{date.day} {date.strftime('%b %Y')}"


@contextmanager
def page(title: str, here: str, head: CaseHead | None) -> Iterator[None]:
    """Head, content and foot of a page."""
    ui.page_title(f"{title} · {head.name + ', ' + head.side + ' foot · ' if head else ''}Sinewright")
    ui.add_head_html(_HEAD)
    _one_main()
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


def _one_main() -> None:
    """The shell of the page calls its own frame the main part; ours is, and there is only one."""
    slot = ui.context.client.content.parent_slot
    if slot is not None:
        slot.parent.tag = "div"


def _whose(head: CaseHead) -> None:
    with box("div", f"plate {head.side}"):
        Say("span", head.side[0].upper(), "letter", aria_hidden="true")
        Say("span", f"{head.side} foot", "word")
    with box("p", "who"):
        Say("strong", head.called)
        if head.invented:
            Say("span", "invented", "invented")
        about = Say("span", head.about, "about")
        state = markup(named_note(head.state, _note(head)), "span", "state")
    if head.again is not None:
        _follow(head, about, state)


def _note(head: CaseHead) -> str:
    return f"Stored as {head.name}. {HEAD_NOTE}"


def _follow(head: CaseHead, about: Say, state: ui.html) -> None:
    """Looks at the store again and again, and shows what changed there."""
    shown = [head]

    async def look() -> None:
        assert head.again is not None
        try:
            now = await head.again()
        except SinewrightError:  # the store is busy or gone: the page itself says so when something is to be kept
            return
        if now != shown[0]:
            shown[0] = now
            about.text, state.content = now.about, named_note(now.state, _note(now))

    ui.timer(LOOK_AGAIN_S, look)


def _ways(here: str, head: CaseHead | None) -> None:
    with box("nav", "ways", aria_label="Pages in the order of the job"):
        _way("Cases", "/", here == "cases")
        if head is not None:
            for place, name in PAGES:
                _way(name, f"/case/{head.name}/{place}", here == place)
        _way("Evidence", "/evidence" if head is None else f"/evidence?case={head.name}", here == "evidence")
        look = Say("button", "◐", "way look", type="button", aria_label="Light or dark", title="Light or dark")
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
