"""The numbers behind the tension ruler as a small table: a column for each mark, two lines for each quantity."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from rich.text import Text

from sinewright.cli.screen import Screen
from sinewright.wording.columns import RULER_COLUMNS, Column

if TYPE_CHECKING:
    from sinewright.results import Mark

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
