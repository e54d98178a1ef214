"""The page that `sinewright weigh` prints: side, finding, choice ladder, what it rests on, and cautions."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from rich.text import Text

from sinewright.cli.ladder import aside_lines, goals_lines, ladder_lines, posture_lines, weights_line
from sinewright.cli.parts import (
    balance_lines,
    banner,
    bullets,
    heading,
    options_lines,
    rules_lines,
    warning_lines,
    wrapped,
)
from sinewright.cli.screen import Screen
from sinewright.results import CalfTrial, Outcome, Weighing
from sinewright.wording.calf import SAID, TITLE, calf_cells, leading, letters_of, not_counted
from sinewright.wording.columns import LADDER_TITLE, ZONE_DEG
from sinewright.wording.counts import basis_words, plural
from sinewright.wording.figures import told_apart_words
from sinewright.wording.rules import of_outcomes
from sinewright.wording.standing import ORDER_LINE, Worths, finding


def calf_lines(trials: Sequence[CalfTrial], screen: Screen) -> list[Text]:
    """One paragraph for each leading choice, a line in it for each procedure; nothing when the calf is not short."""
    if not trials:
        return []
    lines = heading(TITLE)
    letters = letters_of(trials)
    lines += wrapped(f"{' '.join(leading(trial, letters) for trial in trials)}", screen)
    for found in zip(*(trial.outcomes for trial in trials), strict=True):
        choice = found[0].choice
        lines += wrapped(f"{letters[choice.id]}  {choice.title}, {choice.subtitle}", screen, after="   ")
        for trial, outcome in zip(trials, found, strict=True):
            lines += wrapped(f"{SAID[trial.procedure]}: {_told(outcome, screen)}.", screen, "", "  ", "    ")
    return [*lines, *wrapped(not_counted(trials), screen, "dim")]


def _told(outcome: Outcome, screen: Screen) -> str:
    told = [f"{label} {words}" for _, label, words in calf_cells(outcome, screen.spelled_degree)]
    return "; ".join(told) or outcome.reason.rstrip(".")


# Up to this many assumptions are printed without being asked for.
FEW = 6

CAUTIONS = (
    "Not a medical device: a calculation to think with, not a decision, and not validated on patients.",
    "Your own judgement, the hospital's checklist and local rules come first.",
    "Check the side above against the patient before anything else.",
)


@dataclass(frozen=True)
class PrintedRows:
    """How much is printed: `top` rows of each group (None: all); `basis`: every assumption and source."""

    top: int | None = 8
    basis: bool = False


def weigh_lines(weighing: Weighing, screen: Screen, shown: PrintedRows) -> list[Text]:
    """The whole page."""
    ordered = weighing.outcomes
    rows = [row for row in ordered if row.status != "set aside"]
    aside = [row for row in ordered if row.status == "set aside"]
    lines = banner(weighing.side, weighing.pseudonym, _run_words(weighing), screen)
    lines.append(Text(LADDER_TITLE, "bold"))
    worths = Worths.of(weighing)
    lines += wrapped(finding(rows), screen)
    lines += wrapped(ORDER_LINE, screen, "dim")
    lines += weights_line(weighing.goals, screen)
    lines += posture_lines(rows[: shown.top], screen)
    lines += [Text(), *ladder_lines(rows[: shown.top], screen, ZONE_DEG, worths)]
    if aside:
        lines += [*heading("Set aside"), *aside_lines(aside[: shown.top], screen)]
    lines += _left_out(rows, aside, shown, screen)
    lines += _legend(weighing, screen)
    lines += goals_lines(weighing.goals, screen)
    lines += calf_lines(weighing.calf, screen)
    lines += balance_lines(rows[: shown.top], screen)
    if weighing.options:
        lines += rules_lines(weighing.rules, of_outcomes(weighing.outcomes), screen, shown.basis)
        lines += options_lines(weighing.options, screen, shown.basis)
    lines += _basis(weighing, screen, shown)
    return [*lines, *heading("Cautions"), *bullets(CAUTIONS, screen)]


def _run_words(weighing: Weighing) -> str:
    return f"{weighing.draws} virtual legs, seed {weighing.seed}, {weighing.tendon} tendon"


def _left_out(rows: Sequence[Outcome], aside: Sequence[Outcome], shown: PrintedRows, screen: Screen) -> list[Text]:
    if shown.top is None:
        return []
    hidden = [
        f"{len(group) - shown.top} more {word}"
        for group, word in ((rows, "in the ladder"), (aside, "set aside"))
        if len(group) > shown.top
    ]
    return [Text(), *wrapped(f"Not printed: {' and '.join(hidden)}; --all prints them.", screen)] if hidden else []


def _legend(weighing: Weighing, screen: Screen) -> list[Text]:
    marks = screen.marks
    told = (
        f"{marks.dot} middle of {weighing.draws} virtual legs that agree with this examination; "
        f"{marks.thick * 3} half of them; {marks.thin * 3} nine-tenths; {marks.neutral} neutral, sole square "
        f"to the shank; {marks.shade * 3} neutral or above, our mark for clearing the toes (no source gives "
        "a firm one). Columns: the middle, below it the nine-tenths; those that do not fit are told in "
        "words under each choice. Of the normal moment swing needs little, heel strike much more. "
        f"{marks.best} no other choice is as good in every weighed goal and better in one. Weighted goals "
        f"are out of 100; within the doubt: fewer than {told_apart_words()} prefer one."
    )
    return [Text(), *wrapped(told, screen, "dim")]


def _basis(weighing: Weighing, screen: Screen, shown: PrintedRows) -> list[Text]:
    lines: list[Text] = []
    if weighing.warnings:
        lines += [
            *heading(plural(len(weighing.warnings), "warning")),
            *warning_lines(weighing.warnings, screen),
        ]
    speaking = f"{basis_words(weighing.basis)}." if weighing.basis else ""
    assumed = plural(len(weighing.assumptions), "assumed or remembered number")
    sources = plural(len(weighing.sources), "source")
    if shown.basis:
        lines += [*heading(assumed), *bullets(weighing.assumptions, screen)]
        return [
            *lines,
            *heading(sources),
            *bullets(weighing.sources, screen),
            Text(),
            *wrapped(speaking, screen),
        ]
    lines += [
        *heading("Basis"),
        *bullets(weighing.assumptions if len(weighing.assumptions) <= FEW else (), screen),
    ]
    lines += wrapped(speaking, screen)
    return [*lines, *wrapped(f"{sources} and {assumed}; --sources prints them all.", screen)]
