"""The page that `sinewright ask` prints: what to measure next, and what the lift of the leading choices hangs on."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from rich.text import Text

from sinewright.cli.parts import banner, heading, run_words, wrapped
from sinewright.cli.screen import Screen
from sinewright.results import OperationSummary
from sinewright.wording.asking import beside_asking, hangs_on, worth_asking

if TYPE_CHECKING:
    from sinewright.results import Answered, Asked


def ask_lines(asked: Asked, screen: Screen) -> list[Text]:
    """The whole page."""
    lines = banner(asked.side, asked.pseudonym, run_words(asked), screen)
    lines.append(Text("What to measure next", "bold"))
    if not asked.leading:
        return [*lines, *wrapped("No choice is left to weigh: there is nothing to measure for. See weigh.", screen)]
    first = asked.leading[0].choice
    told = f"Best weighted goals under the case's weights: {_named(first)}."
    lines += wrapped(told, screen)
    lines += [Text(), *_numbered(worth_asking(asked.questions), screen)]
    lines += [line for told in beside_asking(asked.questions) for line in (Text(), *wrapped(told, screen))]
    lines += _unknowable(asked.questions, screen)
    lines += heading("What the lift of the leading choices hangs on")
    for one in asked.leading:
        told = f"{_named(one.choice)}: {hangs_on(one.effects)}"
        lines += wrapped(told, screen, first=f"{screen.marks.bullet} ", after="  ")
    return [*lines, Text(), *_legend(asked, screen), *_errors(asked, screen)]


def _named(choice: OperationSummary) -> str:
    return f"{choice.title}, {choice.subtitle}"


def _numbered(sentences: Sequence[str], screen: Screen) -> list[Text]:
    lines: list[Text] = []
    for number, told in enumerate(sentences, start=1):
        lines += wrapped(told, screen, first=f"{number}. ", after="   ")
    return lines


def _unknowable(questions: Sequence[Answered], screen: Screen) -> list[Text]:
    told = [each.sentence for each in questions if not each.can_be_measured]
    if not told:
        return []
    lines = heading("What no measurement tells before the operation")
    for sentence in told:
        lines += wrapped(sentence, screen, first=f"{screen.marks.bullet} ", after="  ")
    return lines


def _legend(asked: Asked, screen: Screen) -> list[Text]:
    from sinewright.choose.asking import WORTH_CHANGING

    told = (
        "Each measurement is taken with its own error; a change of choice is counted when it gains at least "
        f"{100.0 * WORTH_CHANGING:g} of 100 in weighted goals. Share of the doubt: of the variance "
        "of the lift, what stays while all else is known; shares may add "
        f"to more than 100. Effective number of agreeing virtual legs: {asked.effective_sample_size:.0f}. "
        "Not a medical device: a calculation to think with."
    )
    return wrapped(told, screen, "dim")


def _errors(asked: Asked, screen: Screen) -> list[Text]:
    """What stands behind the readings that nobody measured."""
    from sinewright.choose.present import assumptions_of

    told = assumptions_of(tuple(dict.fromkeys(row for each in asked.questions for row in each.rows)))
    return wrapped(f"Assumed behind these readings: {'; '.join(told)}.", screen, "dim") if told else []
