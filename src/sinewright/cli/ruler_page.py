"""The page that `sinewright ruler` prints: millimetres along the bottom, what follows from them as bands above."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from rich.text import Text

from sinewright.cli.parts import banner, bullets, heading, run_words, wrapped
from sinewright.cli.screen import BLUE, GREEN, Screen
from sinewright.protect.tension import tension_sentence
from sinewright.wording.columns import RULER_COLUMNS, Column
from sinewright.wording.counts import percent
from sinewright.wording.directions import STRETCH, UP_DOWN, sewn_words
from sinewright.wording.figures import kept_words, mark_posture

if TYPE_CHECKING:
    from sinewright.results import Mark, Ruler, RulerDocument

Named = tuple[str, "Mark"]
GAP = 2


def table_lines(marks: Sequence[Named], screen: Screen) -> list[Text]:
    """Middle and nine-tenths of each quantity at each mark; marks that do not fit stand in a second table below."""
    labels = [screen.say(column.label) for column in RULER_COLUMNS]
    cells = [[_cell(column, mark, screen) for _, mark in marks] for column in RULER_COLUMNS]
    widths = [
        max(len(screen.say(name)), *(len(text) for row in cells for text in row[at])) + GAP
        for at, (name, _) in enumerate(marks)
    ]
    left = max(map(len, labels)) + GAP
    fitting = max(1, _fitting(widths, screen.width - left))
    lines = [Text(" " * left + "".join(_filled(marks[at][0], widths[at], screen) for at in range(fitting)), "dim")]
    for label, row in zip(labels, cells, strict=True):
        for number, start in enumerate((label, "")):
            lines.append(Text(start.ljust(left) + "".join(row[at][number].ljust(widths[at]) for at in range(fitting))))
    return lines if fitting == len(marks) else [*lines, Text(), *table_lines(marks[fitting:], screen)]


def _cell(column: Column, mark: Mark, screen: Screen) -> tuple[str, str]:
    middle, nine_tenths = column.cell(mark.quantities[column.key], screen.spelled_degree)
    return screen.say(middle), screen.say(nine_tenths)


def _filled(text: str, width: int, screen: Screen) -> str:
    return screen.say(text).ljust(width)


def _fitting(widths: Sequence[int], room: int) -> int:
    """How many of the widths, from the first, stand side by side."""
    count, used = 0, 0
    for width in widths:
        used += width
        if used - GAP > room:
            break
        count += 1
    return count


GUTTER = 10  # characters left of the bands, for the numbers of the scale
BAND_ROWS = 6
MOST_STEP = 6  # characters from mark to mark
CAUTIONS = (
    "Not a medical device: a calculation to think with, not validated on patients. Millimetres are of this model.",
    "What eye and hand feel and the foot on the table count more than a number. Check the side above.",
)


def ruler_lines(found: RulerDocument, screen: Screen) -> list[Text]:
    """The whole page."""
    ruler = found.ruler
    lines = banner(found.side, found.pseudonym, run_words(found), screen)
    title = screen.say(f"Stretch ruler: {ruler.choice.title}")
    opening, *rest = wrapped(f"{title}  {ruler.choice.subtitle}", screen, after="  ")
    opening.stylize("bold", 0, len(title))
    lines += [opening, *rest, *_posture(ruler, screen), Text()]
    for column in RULER_COLUMNS:
        lines += [*_band(column, ruler, screen), Text()]
    lines += [*_scale(ruler, screen), Text(), *_legend(screen)]
    lines += heading("Five millimetres either way")
    lines += table_lines(
        [("5 mm slacker", ruler.loose), (_at(ruler.chosen), ruler.chosen), ("5 mm tighter", ruler.tight)], screen
    )
    lines += heading("The same stretch, sewn with the ankle at")
    lines += table_lines([(UP_DOWN.one(m.ankle_deg), m) for m in ruler.postures], screen)
    lines += [*heading("Set tension and settled tension"), *bullets((tension_sentence(found.tension),), screen)]
    lines += [*heading("How to set it"), *bullets(ruler.sentences, screen), *_failed(ruler, screen)]
    return [*lines, *heading("Cautions"), *bullets(CAUTIONS, screen)]


def _posture(ruler: Ruler, screen: Screen) -> list[Text]:
    told = sewn_words(ruler.chosen.set_stretch_mm, ruler.choice.fixing)
    return [*wrapped(_finding(ruler), screen), *wrapped(told, screen, "dim")]


def _finding(ruler: Ruler) -> str:
    """The interval that keeps most of the moment, and whether the plan lies in it."""
    inside = ruler.low_mm <= ruler.chosen.set_stretch_mm <= ruler.high_mm
    here = f"this plan, {STRETCH.one(ruler.chosen.set_stretch_mm)}, lies {'inside' if inside else 'OUTSIDE'}"
    return f"{kept_words().capitalize()} or more: {STRETCH.span(ruler.low_mm, ruler.high_mm)}; {here}."


def _step(ruler: Ruler, screen: Screen) -> int:
    return max(1, min(MOST_STEP, (screen.width - GUTTER - 4) // len(ruler.marks)))


def _column_of(ruler: Ruler, set_stretch_mm: float, screen: Screen) -> int:
    """The character, from the left of the bands, that stands for a stretch between the first and the last mark."""
    first, last = ruler.marks[0].set_stretch_mm, ruler.marks[-1].set_stretch_mm
    wide = _step(ruler, screen) * (len(ruler.marks) - 1)
    return round(wide * (set_stretch_mm - first) / (last - first))


def _band(column: Column, ruler: Ruler, screen: Screen) -> list[Text]:
    """One quantity over the millimetres: dot the middle, thick half, thin nine-tenths; its range beside it."""
    spreads = [mark.quantities[column.key] for mark in ruler.marks]
    low, high = min(s.p05 for s in spreads), max(s.p95 for s in spreads)
    width = _step(ruler, screen) * (len(ruler.marks) - 1) + 1
    rows = [[" "] * width for _ in range(BAND_ROWS)]
    marks = screen.marks

    def row_of(value: float) -> int:
        return round((BAND_ROWS - 1) * (high - value) / (high - low)) if high > low else BAND_ROWS // 2

    for mark, spread in zip(ruler.marks, spreads, strict=True):
        at = _column_of(ruler, mark.set_stretch_mm, screen)
        for top, bottom, sign in (
            (spread.p95, spread.p05, marks.upright_tenths),
            (spread.p75, spread.p25, marks.upright_half),
            (spread.p50, spread.p50, marks.dot),
        ):
            for place in range(row_of(top), row_of(bottom) + 1):
                rows[place][at] = sign
    ends = {0: high, BAND_ROWS - 1: low}
    lines = [Text(screen.say(column.label))]
    for number, row in enumerate(rows):
        label = column.direction.one(ends[number], screen.spelled_degree) if number in ends else ""
        lines.append(Text.assemble((screen.say(label).rjust(GUTTER - 2), "dim"), "  ", ("".join(row), BLUE)))
    return lines


def _scale(ruler: Ruler, screen: Screen) -> list[Text]:
    """The millimetres, thick along the recommended interval, and the mark of the plan under them."""
    marks, left = screen.marks, " " * GUTTER
    first, last = (_column_of(ruler, at, screen) for at in (ruler.low_mm, ruler.high_mm))
    here = _column_of(ruler, ruler.chosen.set_stretch_mm, screen)
    width = _step(ruler, screen) * (len(ruler.marks) - 1) + 1
    line = Text(left)
    for at in range(width):
        inside = first <= at <= last
        line.append(marks.thick if inside else marks.thin, GREEN if inside else "")
    pointer = Text(f"{left}{' ' * here}{marks.here} {_at(ruler.chosen)}", f"bold {BLUE}")
    return [line, Text(left + _numbers(ruler, screen)), pointer, Text(left + _ends(width))]


def _numbers(ruler: Ruler, screen: Screen) -> str:
    letters = [" "] * (_column_of(ruler, ruler.marks[-1].set_stretch_mm, screen) + 3)
    for mark in ruler.marks:
        label = f"{abs(mark.set_stretch_mm):.0f}"
        start = max(0, _column_of(ruler, mark.set_stretch_mm, screen) - len(label) // 2)
        if not "".join(letters[max(0, start - 1) : start + len(label) + 1]).strip():
            letters[start : start + len(label)] = label
    return "".join(letters).rstrip()


def _ends(width: int) -> str:
    left, right = "mm slacker", "mm tighter"
    return f"{left}{right.rjust(width - len(left))}"


def _at(mark: Mark) -> str:
    return STRETCH.exact(mark.set_stretch_mm)


def _legend(screen: Screen) -> list[Text]:
    marks = screen.marks
    told = (
        f"{marks.dot} middle of the virtual legs; {marks.upright_half} half of them; {marks.upright_tenths} "
        f"nine-tenths; {marks.here} this plan; {marks.thick * 3} keeps {kept_words()} or more. "
        "The mark is the donor's muscle-tendon junction; its start point is where it lies before dividing, "
        f"{mark_posture()}."
    )
    return wrapped(told, screen, "dim")


def _failed(ruler: Ruler, screen: Screen) -> list[Text]:
    worst = max((*ruler.marks, *ruler.postures), key=lambda mark: mark.failed_share)
    if worst.failed_share == 0.0:
        return []
    told = f"No solution in up to {percent(worst.failed_share):.1f} % of the virtual legs of a mark; left out."
    return wrapped(told, screen)
