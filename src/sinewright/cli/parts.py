"""Pieces that several pages share: the side banner, headings, wrapped sentences, warnings."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Sequence

from rich.text import Text

from sinewright.cli.screen import BLUE, PURPLE, VERMILLION, Screen
from sinewright.results import Alternative, Balance, Caution, Computed, Fired, Outcome, Side, View
from sinewright.wording.counts import plural
from sinewright.wording.known import KNOWN_WORDS
from sinewright.wording.rules import NO_RULE, SUITS_WORDS, TITLE, Spoken


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


def run_words(found: Computed) -> str:
    """On how many virtual legs, and with which seed."""
    return f"{found.draws} virtual legs, seed {found.seed}"


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


def rules_lines(patient: Sequence[Fired], operations: Sequence[Spoken], screen: Screen, full: bool) -> list[Text]:
    """The section of rules; `full` prints what each source says, else only which sources stand behind."""
    spoken: list[Spoken] = [*((each, 0) for each in patient), *operations]
    if not spoken:
        return heading(NO_RULE)
    lines = heading(TITLE if full else f"{TITLE} (--sources prints what each source says)")
    for code in dict.fromkeys(fired.code for fired, _ in spoken):
        same = [each for each in spoken if each[0].code == code]
        for fired, choices in same:
            lines += _rule(fired, choices, screen)
        lines += _views(same[0][0].views, screen, full)
    return lines


def _rule(fired: Fired, choices: int, screen: Screen) -> list[Text]:
    mark = "X" if fired.stops else "!"
    about = f" [{plural(choices, 'choice')}]" if choices else ""
    opening, *rest = wrapped(f"{fired.text}{about}", screen, first=f"{mark} ", after="  ")
    opening.stylize(f"bold {VERMILLION}", 0, 1)
    lines = [opening, *rest]
    if fired.override:
        lines += wrapped(f'Overridden: "{fired.override.strip()}"', screen, first="  ", after="  ")
    elif fired.kind == "block":
        told = f"Blocks; a written reason under [plan.overrides] as {fired.code} keeps it."
        lines += wrapped(told, screen, first="  ", after="  ")
    return lines


def _views(views: Sequence[View], screen: Screen, full: bool) -> list[Text]:
    if not full:
        return wrapped(f"Rests on: {_short(views)}.", screen, "dim", "  ", "    ")
    lines: list[Text] = []
    for view in views:
        told = f"{screen.marks.bullet} {view.text} ({_known(view)})"
        lines += wrapped(told, screen, "dim", "  ", "    ")
    return lines


def _known(view: View) -> str:
    """How it is known, and the source where there is one."""
    word = KNOWN_WORDS[view.known]
    return word if view.known in ("practice", "recalled", "judged") else f"{word}: {view.source}"


def _short(views: Sequence[View]) -> str:
    """Sources by how they are known: ``read molund2014, wagner2018; textbook value, no source checked``."""
    told: dict[str, list[str]] = {}
    for view in views:
        keys = told.setdefault(view.known, [])
        if view.key not in keys:
            keys.append(view.key)
    words = {"practice": "common practice", "recalled": KNOWN_WORDS["recalled"], "judged": "our judgement"}
    return "; ".join(words.get(known) or f"{known} {', '.join(keys)}" for known, keys in told.items())


def options_lines(options: Sequence[Alternative], screen: Screen, full: bool) -> list[Text]:
    """The section of other ways: title, does it suit, why, and what stands behind it."""
    if not options:
        return []
    lines = heading("Other treatments; nothing is predicted for them")
    for option in options:
        told = f"{option.title}: {SUITS_WORDS[option.suits]}. {option.reason}"
        opening, *rest = wrapped(told, screen, first=f"{screen.marks.bullet} ", after="  ")
        opening.stylize("bold", 2, 2 + len(screen.say(option.title)))
        lines += [opening, *rest]
        lines += _views(option.views, screen, full)
    return lines


def balance_lines(outcomes: Sequence[Outcome], screen: Screen) -> list[Text]:
    """What can turn the foot in and out in stance, before and after: one line for each set of muscles taken."""
    shown: dict[Balance, list[str]] = {}
    for outcome in outcomes:
        if outcome.balance:
            titles = shown.setdefault(outcome.balance, [])
            titles += [outcome.choice.title] if outcome.choice.title not in titles else []
    if not shown:
        return []
    first = next(iter(shown))
    lines = heading("Balance in stance: what can turn the foot in and out at neutral")
    lines += wrapped(f"Now: {_sides(first, 'before')}. Calf not counted.", screen)
    for balance, titles in shown.items():
        told = f"{' / '.join(titles)} moved: {_sides(balance, 'after')}"
        lines += wrapped(f"{told}{''.join(f'; {flag}' for flag in balance.flags)}.", screen, "", "  ", "    ")
    return lines


def _sides(balance: Balance, when: str) -> str:
    """``inward 14.2 Nm (6.0 to 27.1), outward 13.8 Nm (5.0 to 25.2)``; the brackets hold nine-tenths."""
    told = []
    for side in ("inward", "outward"):
        spread = getattr(balance, f"{side}_{when}_Nm")
        told.append(f"{side} {spread.p50:.1f} Nm ({spread.p05:.1f} to {spread.p95:.1f})")
    return ", ".join(told)
