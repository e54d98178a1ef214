"""Every row of the reference behind the numbers of a page, in one place at its foot; notes lead there."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from typing import Any

from sinewright.app.elements import Say, box, markup
from sinewright.app.where_from import counted, is_assumption, row_line

PLACE = "every-row"
"""Where a page keeps its list, for links that lead there."""
OPENING = (
    "What the virtual legs were drawn from and the answers were held against. Each row: what, number, how known, "
    "source, name of the row. A rule names its own sources where it speaks."
)
FITTED = (
    "Where tendons and joints run was fitted to rows of lever arms, so that the drawn leg agrees with them; the fit is "
    "ours and counts as an assumption."
)


class EveryRow:
    """The list of a page, closed until it is asked for; `show` says which rows, the list is made when it opens."""

    def __init__(self) -> None:
        self._rows: tuple[str, ...] = ()
        self._card = box("section", "card", id=PLACE, tabindex="-1")
        self._card.set_visibility(False)
        with self._card, box("details", "more") as self._details:
            self._title = Say("summary", "")
            self._list = box("div", "every-row")
        self._details.on("toggle", self._turned, js_handler="(e) => emit(e.target.open)")

    def show(self, rows: Sequence[str]) -> None:
        """The rows behind what the page shows now."""
        self._rows = tuple(dict.fromkeys(rows))
        self._card.set_visibility(bool(self._rows))
        self._title.text = f"Every row behind the numbers of this page: {counted(self._rows)}"
        self._list.clear()
        if self._details.props.get("open") is not None:
            self._fill()

    def _turned(self, event: Any) -> None:
        opened = bool(event.args)
        if opened:
            self._details.props["open"] = ""
        else:
            self._details.props.pop("open", None)
        if opened and not len(list(self._list)):
            self._fill()

    def _fill(self) -> None:
        with self._list:
            Say("p", OPENING, "hint")
            for title, rows in parted(self._rows):
                Say("h3", f"{title}: {len(rows)}")
                markup("".join(f"<li>{escape(row_line(row))}</li>" for row in rows), "ul", "origins")
            Say("p", FITTED, "hint")


def parted(rows: Sequence[str]) -> list[tuple[str, list[str]]]:
    """The rows that are assumptions, then those that were read, quoted or derived from print."""
    assumed = [row for row in rows if is_assumption(row)]
    printed = [row for row in rows if not is_assumption(row)]
    named = (("Assumptions, our judgement or from memory", assumed), ("From print", printed))
    return [(title, found) for title, found in named if found]
