"""Where the text goes: a terminal with marks and colour, or plain ASCII for a pipe or an old terminal."""

from __future__ import annotations

import os
import shutil
import sys
import unicodedata
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from typing import TextIO

from rich.text import Text

DEFAULT_WIDTH = 100
NARROWEST, WIDEST = 60, 200

# Okabe-Ito; never alone, a word or a shape always says the same.
BLUE, GREEN, VERMILLION, PURPLE = "#0072B2", "#009E73", "#D55E00", "#CC79A7"

_SPELLED = {
    "°": " deg", "·": "-", "•": "-", "–": "-", "—": "-", "−": "-", "‑": "-", "…": "...", "×": "x", "±": "+-",
    "≤": "<=", "≥": ">=", "≈": "about ", "→": "->", "‘": "'", "’": "'", "“": '"', "”": '"', "µ": "u",
    "μ": "u", "ß": "ss", "ø": "o", "Ø": "O", "æ": "ae", "Æ": "Ae", "œ": "oe", "ł": "l", "Ł": "L", "đ": "d",
    "ı": "i",
    "\N{NO-BREAK SPACE}": " ", "\N{NARROW NO-BREAK SPACE}": " ", "\N{THIN SPACE}": " ",
}  # fmt: skip


@dataclass(frozen=True)
class Marks:
    """The characters a drawing is made of; every mark is one column wide except `degree`."""

    degree: str
    dot: str
    thick: str
    thin: str
    neutral: str
    shade: str
    rule: str
    bullet: str
    beyond_left: str
    beyond_right: str
    best: str
    upright_half: str
    upright_tenths: str
    here: str


FULL = Marks(
    "°",
    "●",
    "━",
    thin="─",
    neutral="│",
    shade="░",
    rule="─",
    bullet="·",
    beyond_left="◂",
    beyond_right="▸",
    best="◆",
    upright_half="┃",
    upright_tenths="│",
    here="▲",
)
ASCII = Marks(
    "",
    "O",
    "=",
    thin="-",
    neutral="|",
    shade=":",
    rule="-",
    bullet="-",
    beyond_left="<",
    beyond_right=">",
    best="*",
    upright_half="#",
    upright_tenths=":",
    here="^",
)


def to_ascii(text: str) -> str:
    """`text` in ASCII only: accents dropped, signs spelled, anything else shown as ``?``."""
    spelled = "".join(_SPELLED.get(letter, letter) for letter in text)
    bare = "".join(each for each in unicodedata.normalize("NFKD", spelled) if not unicodedata.combining(each))
    return bare.encode("ascii", "replace").decode("ascii")


@dataclass(frozen=True)
class Screen:
    """One output stream: its width in characters and whether it takes marks and colour (`full`)."""

    stream: TextIO
    width: int
    full: bool

    @property
    def marks(self) -> Marks:
        """The characters to draw with."""
        return FULL if self.full else ASCII

    @property
    def spelled_degree(self) -> str:
        """What follows a number of degrees in a sentence, where no heading names the unit."""
        return "°" if self.full else " deg"

    def say(self, text: str) -> str:
        """`text` as this screen can show it, without control characters; call it before measuring."""
        printable = "".join(each for each in text if each.isprintable() or each == " ")
        return printable if self.full else to_ascii(printable)

    def show(self, lines: Iterable[Text]) -> None:
        """Writes `lines`, one each; escape codes only on a full screen."""
        if not self.full:
            self.stream.write("".join(to_ascii(line.plain).rstrip() + "\n" for line in lines))
            return
        from rich.console import Console

        console = Console(file=self.stream, width=self.width, highlight=False, soft_wrap=True)
        for line in lines:
            line.rstrip()
            console.print(line)


def screen_for(stream: TextIO, environ: Mapping[str, str] | None = None) -> Screen:
    """The screen behind `stream`: full only on a UTF-8 terminal without NO_COLOR; COLUMNS sets its width."""
    env = os.environ if environ is None else environ
    terminal = stream.isatty()
    encoding = (getattr(stream, "encoding", None) or "").lower().replace("-", "").replace("_", "")
    full = terminal and encoding == "utf8" and not env.get("NO_COLOR") and env.get("TERM") != "dumb"
    return Screen(stream=stream, width=_width(terminal, env), full=full)


def _width(terminal: bool, env: Mapping[str, str]) -> int:
    stated = env.get("COLUMNS", "")
    if stated.isdigit() and int(stated) > 0:
        wide = int(stated)
    else:
        wide = shutil.get_terminal_size((DEFAULT_WIDTH, 24)).columns if terminal else DEFAULT_WIDTH
    return max(NARROWEST, min(WIDEST, wide))


Progress = Callable[[int, int], None]


@contextmanager
def progress_bar(what: str) -> Iterator[Progress | None]:
    """A moving bar when a person watches stderr, else nothing but a word before the first, slow run."""
    from sinewright.compiled import prepared

    if not prepared():
        sys.stderr.write("sinewright: first run of this version: preparing the calculation takes about half a minute\n")
    if not sys.stderr.isatty():
        yield None
        return
    from rich.console import Console
    from rich.progress import Progress as Bar

    with Bar(console=Console(stderr=True), transient=True) as shown:
        task = shown.add_task(what, total=None)
        yield lambda done, total: shown.update(task, completed=done, total=total)
