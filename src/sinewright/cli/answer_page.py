"""The first screen of `sinewright weigh`, at most 40 lines: the answer, one rung for each donor, how to see more."""

from __future__ import annotations

from collections.abc import Sequence

from rich.text import Text

from sinewright.case import Case
from sinewright.choose.answer import answer_of
from sinewright.cli.ladder import TextAxis, axis_for, bar, tick_line
from sinewright.cli.parts import banner, wrapped
from sinewright.cli.screen import VERMILLION, Screen
from sinewright.results import Weighing
from sinewright.results.answer import Answer, Danger, Figure, RuledOut, Rung
from sinewright.wording.columns import ZONE_DEG
from sinewright.wording.counts import basis_words, percent, plural

MOST_RUNGS = 6
CLEAR, GAP = 12, 2
CAUTION = (
    "A calculation to think with, not a decision and not a medical device. Check side, marks and tension against "
    "your own judgement, the hospital's checklist and local rules."
)


def about_line(case: Case) -> str:
    """Who it is about in one line: sex and age, cause, when examined."""
    person, cause = case.person, ", ".join(case.history.cause)
    who = {"female": "woman", "male": "man"}.get(person.sex or "", "person")
    aged = f"{who}, {person.age_years.value:g}" if person.age_years else who
    examined = f"examined {case.examined_on.day} {case.examined_on:%b %Y}" if case.examined_on else ""
    made_up = "invented" if case.invented else ""
    return " · ".join(part for part in (made_up, aged, cause, examined) if part)


def basis_line(weighing: Weighing) -> str:
    """On how many virtual legs the numbers stand."""
    legs = basis_words(weighing.basis) if weighing.basis else f"{weighing.draws} virtual legs"
    return f"{legs}; seed {weighing.seed}."


def answer_lines(weighing: Weighing, about: str, basis: str, screen: Screen) -> list[Text]:
    """The whole first screen.

    Parameters
    ----------
    weighing : Weighing
        Its answer is printed; one kept without an answer gets it from its outcomes.
    about, basis : str
        Who it is about, and on what the numbers stand, each in one line.
    screen : Screen
        Where it is printed; 100 columns hold it in 40 lines.
    """
    answer = weighing.answer or answer_of(weighing)
    lines = banner(weighing.side, weighing.pseudonym, about, screen)
    first, *rest = answer.sentences
    lines += [Text(line.plain, "bold") for line in wrapped(first, screen)]
    lines += wrapped(" ".join(rest), screen)
    lines += _dangers(answer.dangers, screen)
    if answer.figures:
        lines += [Text(), *_figures(answer.figures, screen), *wrapped(answer.why_differ, screen, "dim")]
    if answer.rungs:
        lines += [Text(), *_ladder(answer.rungs, screen)]
    lines += _ruled_out(answer.ruled_out, screen)
    lines += [Text(), *wrapped(_more(answer), screen, "dim"), *wrapped(f"{CAUTION} {basis}", screen, "dim")]
    return lines


def _dangers(dangers: Sequence[Danger], screen: Screen) -> list[Text]:
    """Every danger of the patient, none cut off, as many in a line as fit."""
    told = "     ".join(f"! {danger.word}: {danger.advice}" for danger in dangers)
    return [Text(line.plain, VERMILLION) for line in wrapped(told, screen, first=" ", after=" ")]


def _figures(figures: Sequence[Figure], screen: Screen) -> list[Text]:
    """A line for each number with what print says beside it, or below all of them where a line has no room."""
    own = [[screen.say(part) for part in (figure.label, figure.value, figure.range)] for figure in figures]
    printed = [f"in print {screen.say(figure.published)}" if figure.published else "" for figure in figures]
    widths = [max(len(row[column]) for row in own) for column in range(3)]
    lines = [
        " " + "   ".join(f"{cell:<{width}}" for cell, width in zip(row, widths, strict=True)).rstrip() for row in own
    ]
    start = 1 + sum(widths) + 3 * len(widths)
    if start + max(map(len, printed)) <= screen.width:
        return [Text(f"{line:<{start}}{text}".rstrip()) for line, text in zip(lines, printed, strict=True)]
    below = "; ".join(f"{figure.label} {figure.published}" for figure in figures if figure.published)
    return [*map(Text, lines), *wrapped(f"in print: {below}", screen, first=" ", after="   ")]


def _ladder(rungs: Sequence[Rung], screen: Screen) -> list[Text]:
    shown = rungs[:MOST_RUNGS]
    name = max(30, round(0.36 * screen.width))
    price = max(20, round(0.2 * screen.width))
    spreads = [rung.best.lift_deg for rung in shown if rung.best.lift_deg]
    axis = axis_for(spreads, screen.width - name - CLEAR - price - 2 * GAP)
    lines = [
        Text.assemble(" " * name, _fill(Text("lift, knee straight", "dim"), axis.width + GAP), _head("clear"), "costs"),
        Text.assemble(
            " " * name, _fill(tick_line(axis, screen.marks), axis.width + GAP), _head("of 100"), "if it fails"
        ),
    ]
    for rung in shown:
        lines += _rung(rung, axis, name, price, screen)
    if len(rungs) > len(shown):
        lines.append(Text(f"{plural(len(rungs) - len(shown), 'more donor')}: --more", "dim"))
    return lines


def _head(text: str) -> Text:
    return _fill(Text(text, "dim"), CLEAR + GAP)


def _fill(text: Text, width: int) -> Text:
    return Text.assemble(text, " " * max(0, width - len(text.plain)))


def _rung(rung: Rung, axis: TextAxis, name: int, price: int, screen: Screen) -> list[Text]:
    """Two lines: the donor with its picture, its chance and its price; its way, its dangers and what is left."""
    best, clears = rung.best, rung.best.clears
    tied = "=" if rung.tied and rung.number != "1" else " "
    drawn = bar(best.lift_deg, axis, screen.marks, ZONE_DEG) if best.lift_deg else Text(" " * axis.width)
    chance = f"{percent(clears.share):3.0f}  {percent(clears.low):.0f}-{percent(clears.high):.0f}" if clears else ""
    more = f" +{plural(len(rung.ways) - 1, 'way')}" if len(rung.ways) > 1 else ""
    way = _cut(f"{screen.say(best.words)}", name + axis.width - len(more) - 4) + more
    dangers = "; ".join(f"! {danger.word}" for danger in rung.dangers)
    left = plural(rung.left, "donor") + " left" if rung.left else "nothing left"
    upper = Text.assemble(
        _fill(Text(_cut(f"{tied}{rung.number} {screen.say(rung.title)}", name - 1), "bold"), name),
        _fill(drawn, axis.width + GAP),
        _fill(Text(chance), CLEAR + GAP),
        _cut(screen.say(rung.price), price),
    )
    lower = Text.assemble(_fill(Text(f"   {way}", "dim"), name + axis.width + GAP))
    lower = Text.assemble(lower, _fill(Text(left, "dim"), CLEAR + GAP), (_cut(dangers, price), VERMILLION))
    return [upper, lower]


def _cut(text: str, width: int) -> str:
    return text if len(text) <= width else f"{text[: width - 3].rstrip(' ,;')}..."


def _ruled_out(ruled_out: Sequence[RuledOut], screen: Screen) -> list[Text]:
    """Donors that are out, each reason once."""
    by_reason: dict[str, list[str]] = {}
    for row in ruled_out:
        by_reason.setdefault(row.reason.rstrip("."), []).append(row.title)
    told = "; ".join(f"{', '.join(titles)} ({reason[0].lower()}{reason[1:]})" for reason, titles in by_reason.items())
    return wrapped(f"ruled out: {told}", screen, "dim", after="  ") if told else []


def _more(answer: Answer) -> str:
    first = "   ruler CASE --choice 1" if answer.rungs else ""
    return f"More: --more (what stands behind)   --all (every way)   ask CASE (what to measure next){first}"
