"""The answer at the head of the choices: its sentences, the dangers under them, three figures beside print."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

from sinewright.app.answer_rows import DrawnFigure, Scale, drawn_figures
from sinewright.app.elements import Say, box, markup, named_note, source_note
from sinewright.app.ladder_rows import donors_of
from sinewright.app.where_from import BASES, note_of, rows_note
from sinewright.case import Case
from sinewright.results import Weighing
from sinewright.results.answer import Answer, Danger, Figure

TRIANGLE = (
    '<svg class="tri" width="18" height="16" viewBox="0 0 18 16" aria-hidden="true"><path class="sign" '
    'd="M9 1.2L16.8 15H1.2Z"/><path class="on" d="M9 5.8V10.4"/><circle class="dot" cx="9" cy="12.6" r="1.1"/></svg>'
)
_SMALL = '<svg width="12" height="12" viewBox="0 0 12 12" aria-hidden="true">'
RING = f'{_SMALL}<circle class="ring" cx="6" cy="6" r="4.4"/></svg>'
DIAMOND = f'{_SMALL}<path d="M6 1L11 6L6 11L1 6Z"/></svg>'


def show_sentences(answer: Answer, note: str) -> None:
    """The sentences large, the first of them in bold, and under them every danger of this patient.

    `note` says where the numbers of the sentences come from.
    """
    first, *rest = answer.sentences
    with box("div", "say"):
        Say("h1", first)
        if rest:
            Say("p", f" {' '.join(rest)} ")
        markup(source_note("computed", note, "the answer"), "span")
    show_dangers(answer.dangers)


def show_dangers(dangers: Sequence[Danger]) -> None:
    """Triangle and word for each danger; never folded, never cut off."""
    if not dangers:
        return
    with box("ul", "dangers", aria_label="Dangers of this patient"):
        for danger in dangers:
            with box("li"):
                markup(f"{TRIANGLE}{escape(danger.word)}", "strong", "alarm")
                Say("span", f" {danger.advice}")


def show_figures(answer: Answer, weighing: Weighing, case: Case, computed: str) -> None:
    """The figures that are drawn, ring and bar computed, diamond published; below them the rest in words, folded.

    Parameters
    ----------
    answer, weighing, case
        As weighed.
    computed : str
        On what the numbers were computed.
    """
    first = answer.rungs[0].best.id if answer.rungs else ""
    donors = donors_of([each.choice.donor for each in weighing.outcomes if each.choice.id == first])
    drawn = drawn_figures(answer, weighing)
    for each in drawn:
        _figure(each, case, donors, computed)
    shown = [each.figure for each in drawn]
    others = [figure for figure in answer.figures if figure not in shown]
    if answer.why_differ or others:
        with box("details", "more"):
            Say("summary", "why print differs" if answer.why_differ else "further numbers")
            if answer.why_differ:
                Say("p", answer.why_differ, "hint")
            for figure in others:
                with box("p"):
                    _named(figure, case, donors, computed)
                    Say("span", f" {figure.value} ({figure.range})")


def _named(figure: Figure, case: Case, donors: Sequence[str], computed: str) -> None:
    """The name of a figure, which opens to where it comes from."""
    note = note_of(figure.key, case, donors, computed) if figure.key in BASES else computed
    markup(named_note(figure.label, note), "span")


def _figure(drawn: DrawnFigure, case: Case, donors: Sequence[str], computed: str) -> None:
    figure = drawn.figure
    big, _, unit = figure.value.partition(" ")
    with box("div", "fig one-source"):
        with box("div"):
            with box("p", "big" if unit else "big worded"):
                Say("b", big)
                Say("small", f" {unit}")
            with box("p", "unit"):
                _named(figure, case, donors, computed)
        with box("div", "against"):
            markup(scale_markup(drawn), "div", "scale")
            with box("p", "unit printed"):
                markup(RING, "span", "mark-of")
                Say("span", "computed: ", "sr")
                Say("span", figure.range)
            if figure.published:
                with box("p", "unit printed"):
                    markup(DIAMOND, "span", "mark-of diamond")
                    Say("span", "published: ", "word")
                    markup(named_note(figure.published, rows_note("In print:", figure.rows)), "span")


def scale_markup(drawn: DrawnFigure) -> str:
    """Mark-up of the line with its ends in words: computed above it, published below it."""
    scale = drawn.scale
    low, high = (f"<span>{escape(words)}</span>" for words in scale.ends)
    parts = ['<line class="ground" x1="0" x2="100%" y1="14" y2="14"/>']
    if scale.neutral is not None:
        at = f"{scale.at(scale.neutral):.2f}%"
        parts.append(f'<line class="neutral" x1="{at}" x2="{at}" y1="2" y2="26"/>')
    parts.append(_line(scale, drawn.computed, "computed", 8.0))
    parts.append(f'<circle class="ring" cx="{scale.at(drawn.computed[1]):.2f}%" cy="8" r="5.5"/>')
    if drawn.published is not None:
        at = f"{scale.at(drawn.published[1]):.2f}%"
        parts.append(_line(scale, drawn.published, "printed", 20.0))
        parts.append(f'<svg class="diamond" x="{at}" y="20"><path d="M0 -5.5L5.5 0L0 5.5L-5.5 0Z"/></svg>')
    return f'{low}<svg width="100%" height="28" aria-hidden="true">{"".join(parts)}</svg>{high}'


def _line(scale: Scale, points: tuple[float, float, float], kind: str, y: float) -> str:
    low, high = scale.at(points[0]), scale.at(points[2])
    return f'<line class="{kind}" x1="{low:.2f}%" x2="{high:.2f}%" y1="{y:g}" y2="{y:g}"/>'
