"""The page that `sinewright evidence` prints: published claims held against the program, misses first."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

from rich.text import Text

from sinewright.cli.parts import wrapped
from sinewright.cli.screen import GREEN, VERMILLION, Screen
from sinewright.wording.counts import plural
from sinewright.wording.known import KNOWN_WORDS, OUTCOMES

_LETTER = {"outside": "X", "cannot be checked": "?", "within published spread": "~", "reproduced": "="}
_STYLE = {
    "outside": f"bold {VERMILLION}",
    "cannot be checked": "bold",
    "within published spread": GREEN,
    "reproduced": GREEN,
}


class Check(Protocol):
    """What this page needs of one result of `sinewright.evidence`."""

    @property
    def id(self) -> str: ...
    @property
    def claim(self) -> str: ...
    @property
    def citation(self) -> str: ...
    @property
    def setup(self) -> str: ...
    @property
    def expected_text(self) -> str: ...
    @property
    def found_text(self) -> str: ...
    @property
    def outcome(self) -> str: ...
    @property
    def reason(self) -> str: ...
    @property
    def known(self) -> str: ...


def evidence_lines(results: Sequence[Check], screen: Screen) -> list[Text]:
    """Counts, then every check by outcome, those outside first, each with its reason and source."""
    lines = [Text(f"{plural(len(results), 'published claim')} held against the program", "bold"), Text()]
    width = max(len(each) for each in OUTCOMES)
    for outcome in OUTCOMES:
        count = sum(each.outcome == outcome for each in results)
        lines.append(Text(f"{_LETTER[outcome]} {outcome:<{width}}  {count:>4}", _STYLE[outcome] if count else "dim"))
    for outcome in OUTCOMES:
        group = sorted((each for each in results if each.outcome == outcome), key=lambda each: each.id)
        if group:
            lines += [Text(), Text(f"{outcome[:1].upper()}{outcome[1:]}", "bold")]
        for each in group:
            lines += _check(each, screen)
    return lines


def _check(each: Check, screen: Screen) -> list[Text]:
    opening, *rest = wrapped(each.claim, screen, first=f"{_LETTER[each.outcome]} ", after="  ")
    opening.stylize(_STYLE[each.outcome], 0, 1)
    lines = [opening, *rest]
    lines += wrapped(f"published {each.expected_text}; found {each.found_text}", screen, first="    ", after="    ")
    if each.reason and each.outcome != "reproduced":
        lines += wrapped(f"why: {each.reason}", screen, first="    ", after="    ")
    lines += wrapped(f"set-up: {each.setup}", screen, "dim", "    ", "    ")
    known = KNOWN_WORDS.get(each.known, each.known)
    return [*lines, *wrapped(f"{each.citation} ({known}; {each.id})", screen, "dim", "    ", "    ")]
