"""Pieces that several pages share: the side banner, headings, wrapped sentences, warnings."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Sequence

from rich.text import Text

from sinewright.cli.screen import BLUE, PURPLE, VERMILLION, Screen
from sinewright.results import Caution, Side
from sinewright.wording.known import KNOWN_WORDS


def banner(side: Side, pseudonym: str, after: str, screen: Screen) -> list[Text]:
    """The first line of every page: the side as letter, word and colour, then who it is about."""
    colour = BLUE if side == "right" else PURPLE
    plate = f" {side[0].upper()}  {side} foot "
    ink = "white" if side == "right" else "black"
    shown = plate if screen.full else f"[{plate}]"
    line = Text.assemble((shown, f"bold {ink} on {colour}"), "  ", (screen.say(pseudonym), "bold"))
    told = screen.say(after)
    if len(line.plain) + 2 + len(told) > screen.width:
        return [line, *wrapped(told, screen), Text()]
    return [Text.assemble(line, f"  {told}"), Text()]


def heading(text: str) -> list[Text]:
    """A blank line and a bold one."""
    return [Text(), Text(text, "bold")]


def wrapped(text: str, screen: Screen, style: str = "", first: str = "", after: str = "") -> list[Text]:
    """`text` in lines of the screen's width; `first` opens the first line, `after` the others."""
    lines = textwrap.wrap(
        screen.say(text),
        screen.width,
        initial_indent=first,
        subsequent_indent=after,
        break_on_hyphens=False,
        replace_whitespace=False,
    )
    return [Text(line, style) for line in lines]


def bullets(texts: Iterable[str], screen: Screen, style: str = "") -> list[Text]:
    """One bulleted, wrapped entry for each text."""
    mark = screen.marks.bullet
    return [line for text in texts for line in wrapped(text, screen, style, f"{mark} ", "  ")]


def warning_lines(warnings: Sequence[Caution], screen: Screen) -> list[Text]:
    """Every warning with its source and how it is known."""
    lines: list[Text] = []
    for each in warnings:
        opening, *rest = wrapped(each.text, screen, first="! ", after="  ") or [Text("!")]
        opening.stylize(f"bold {VERMILLION}", 0, 1)
        lines += [opening, *rest]
        lines += wrapped(f"{KNOWN_WORDS[each.known]}: {each.source}", screen, "dim", "  ", "    ")
    return lines
