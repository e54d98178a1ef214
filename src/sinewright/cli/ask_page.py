"""The page that `sinewright ask` prints: what to measure next, and what the lift of the leading choices hangs on."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from rich.text import Text

from sinewright.cli.parts import banner, heading, wrapped
from sinewright.cli.screen import Screen
from sinewright.cli.words import percent
from sinewright.results import Choice, Side

if TYPE_CHECKING:
    from sinewright.choose.asking import Answered
    from sinewright.doubt.sensitivity import Effect
    from sinewright.plan import Asked

FURTHER = 2  # doubts named after the first
NOTHING = "No measurement asked about here would change the first choice: measuring more would only narrow the doubt."
DULL = "Asked about too, but would not change the first choice and would tell little of its lift"


def ask_lines(asked: Asked, side: Side, pseudonym: str, run: str, screen: Screen) -> list[Text]:
    """The whole page."""
    lines = banner(side, pseudonym, run, screen)
    lines.append(Text("What to measure next", "bold"))
    if not asked.fragile:
        return [*lines, *wrapped("No choice is left to weigh: there is nothing to measure for. See weigh.", screen)]
    first = asked.fragile[0][0]
    told = f"First choice by worth under the case's weights: {_named(first)}."
    lines += wrapped(told, screen)
    lines += [Text(), *_numbered(worth_asking(asked), screen)]
    lines += [line for told in beside_asking(asked) for line in (Text(), *wrapped(told, screen))]
    lines += _unknowable(asked.questions, screen)
    lines += heading("What the lift of the leading choices hangs on")
    for choice, effects in asked.fragile:
        lines += wrapped(f"{_named(choice)}: {hangs_on(effects)}", screen, first=f"{screen.marks.bullet} ", after="  ")
    return [*lines, Text(), *_legend(asked, screen), *_errors(asked, screen)]


def _named(choice: Choice) -> str:
    return f"{choice.title}, {choice.subtitle}"


def _numbered(sentences: Sequence[str], screen: Screen) -> list[Text]:
    lines: list[Text] = []
    for number, told in enumerate(sentences, start=1):
        lines += wrapped(told, screen, first=f"{number}. ", after="   ")
    return lines


def worth_asking(asked: Asked) -> list[str]:
    """A sentence for each measurement that tells something, the most useful first."""
    return [each.sentence() for each in asked.questions if each.can_be_measured and each.tells]


def beside_asking(asked: Asked) -> list[str]:
    """What tells little, in one sentence, and that nothing would change the first choice where that is so."""
    can = [each for each in asked.questions if each.can_be_measured]
    dull = "; ".join(f"{each.title[0].lower()}{each.title[1:]}" for each in can if not each.tells)
    told = [f"{DULL}: {dull}."] if dull else []
    return told if any(each.moves_first for each in can) else [*told, NOTHING]


def _unknowable(questions: Sequence[Answered], screen: Screen) -> list[Text]:
    told = [each.sentence() for each in questions if not each.can_be_measured]
    if not told:
        return []
    lines = heading("What no measurement tells before the operation")
    for sentence in told:
        lines += wrapped(sentence, screen, first=f"{screen.marks.bullet} ", after="  ")
    return lines


def hangs_on(effects: Sequence[Effect]) -> str:
    """One sentence: the doubt that moves the lift most with its share and error, then the next ones."""
    if not effects:
        return "nothing drawn here moves its lift."
    first, *others = effects
    told = (
        f"its lift hangs most on {first.doubt}, {percent(first.total):.0f} % of the doubt "
        f"(standard error {percent(first.error):.0f})"
    )
    further = [f"{each.doubt} {percent(each.total):.0f} % ({percent(each.error):.0f})" for each in others[:FURTHER]]
    return f"{told}; then {', '.join(further)}." if further else f"{told}."


def _legend(asked: Asked, screen: Screen) -> list[Text]:
    told = (
        "Each measurement is taken with its own error; a change of choice is counted when it gains at least 1.5 of 100 "
        "in worth. Share of the doubt: of the variance of the lift, what stays while all else is known; shares may add "
        f"to more than 100. Effective number of agreeing virtual patients: {asked.agreeing:.0f}. Not a medical device: "
        "a calculation to think with."
    )
    return wrapped(told, screen, "dim")


def _errors(asked: Asked, screen: Screen) -> list[Text]:
    """What stands behind the readings that nobody measured."""
    from sinewright.choose.present import assumptions_of

    told = assumptions_of(tuple(dict.fromkeys(row for each in asked.questions for row in each.rows)))
    return wrapped(f"Assumed behind these readings: {'; '.join(told)}.", screen, "dim") if told else []
