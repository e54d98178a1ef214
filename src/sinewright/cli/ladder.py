"""The choice ladder as lines of text: one row per choice, best on top, the doubt drawn beside the words."""

from __future__ import annotations

import math
import textwrap
from collections.abc import Sequence
from dataclasses import dataclass

from rich.text import Text

from sinewright.cli.screen import BLUE, GREEN, VERMILLION, Marks, Screen
from sinewright.cli.words import LADDER_COLUMNS, UP_DOWN, Column
from sinewright.results import Outcome, Spread

GAP = 2
TITLE_WIDTHS = (20, 34)
BAR_WIDTHS = (21, 45)
AXIS_ALWAYS_DEG = (-20.0, 20.0)
AXIS_NEVER_BEYOND_DEG = (-60.0, 40.0)
TICKS_DEG = (0, -20, 20, -40, 40, -10, 10, -30, 30, -60, -50)


@dataclass(frozen=True)
class Axis:
    """Degrees of ankle angle along `width` characters; values outside are drawn at the edge with an arrow."""

    low_deg: float
    high_deg: float
    width: int

    def place(self, value_deg: float) -> int:
        """The character, 0 to `width` - 1, that stands for `value_deg`."""
        share = (value_deg - self.low_deg) / (self.high_deg - self.low_deg)
        return max(0, min(self.width - 1, round(share * (self.width - 1))))

    def holds(self, value_deg: float) -> bool:
        """True when `value_deg` lies on the axis."""
        return self.low_deg <= value_deg <= self.high_deg


def axis_for(spreads: Sequence[Spread], width: int) -> Axis:
    """The axis that shows all `spreads` in whole tens, with 20 down to 20 up always on it."""
    low = min([AXIS_ALWAYS_DEG[0], *(10.0 * math.floor(each.p05 / 10.0) for each in spreads)])
    high = max([AXIS_ALWAYS_DEG[1], *(10.0 * math.ceil(each.p95 / 10.0) for each in spreads)])
    return Axis(max(low, AXIS_NEVER_BEYOND_DEG[0]), min(high, AXIS_NEVER_BEYOND_DEG[1]), width)


def empty_track(axis: Axis, marks: Marks, zone_deg: tuple[float, float]) -> list[tuple[str, str]]:
    """One row of (mark, style) without a bar: the shaded target zone and the line at neutral."""
    first, last = axis.place(zone_deg[0]), axis.place(zone_deg[1])
    track = [(marks.shade, f"{GREEN} dim") if first <= at <= last else (" ", "") for at in range(axis.width)]
    track[axis.place(0.0)] = (marks.neutral, GREEN)
    return track


def bar(spread: Spread, axis: Axis, marks: Marks, zone_deg: tuple[float, float]) -> Text:
    """Dot: the middle. Thick: half of the virtual patients. Thin: nine-tenths. Shade: the target zone."""
    track = empty_track(axis, marks, zone_deg)
    for low, high, mark in ((spread.p05, spread.p95, marks.thin), (spread.p25, spread.p75, marks.thick)):
        for at in range(axis.place(low), axis.place(high) + 1):
            track[at] = (mark, BLUE)
    if not axis.holds(spread.p05):
        track[0] = (marks.beyond_left, BLUE)
    if not axis.holds(spread.p95):
        track[-1] = (marks.beyond_right, BLUE)
    track[axis.place(spread.p50)] = (marks.dot, f"bold {BLUE}")
    return _joined(track)


def _joined(track: Sequence[tuple[str, str]]) -> Text:
    line = Text()
    for mark, style in track:
        line.append(mark, style)
    return line


def tick_line(axis: Axis, marks: Marks) -> Text:
    """``20° down   neutral   20° up`` over the axis; a label that would touch another is left out."""
    letters = [" "] * axis.width
    for tick in TICKS_DEG:
        label = UP_DOWN.one(tick, marks.degree)
        start = max(0, min(axis.width - len(label), axis.place(tick) - len(label) // 2))
        around = letters[max(0, start - 1) : start + len(label) + 1]
        if axis.holds(tick) and not any(letter.strip() for letter in around):
            letters[start : start + len(label)] = label
    return Text("".join(letters), "dim")


@dataclass(frozen=True)
class Block:
    """The columns that are printed side by side; the first block of a ladder also carries the bar."""

    title_width: int
    bar_width: int
    columns: tuple[Column, ...]
    widths: tuple[int, ...]


def plan_blocks(outcomes: Sequence[Outcome], screen: Screen) -> list[Block]:
    """Shares the columns over blocks in their printed order, filling the screen's width each time."""
    widths = {column.key: _column_width(column, outcomes, screen) for column in LADDER_COLUMNS}
    blocks: list[Block] = []
    waiting = list(LADDER_COLUMNS)
    while waiting:
        bar_width = max(BAR_WIDTHS[0], min(30, screen.width // 4)) if not blocks else 0
        room = screen.width - TITLE_WIDTHS[0] - (bar_width + GAP if bar_width else 0)
        taken: list[Column] = []
        while waiting and (not taken or room >= widths[waiting[0].key] + GAP):
            room -= widths[waiting[0].key] + GAP
            taken.append(waiting.pop(0))
        spare = max(0, room)
        more_title = min(spare if not bar_width else spare // 3, TITLE_WIDTHS[1] - TITLE_WIDTHS[0])
        more_bar = min(spare - more_title, max(0, BAR_WIDTHS[1] - bar_width)) if bar_width else 0
        blocks.append(
            Block(
                TITLE_WIDTHS[0] + more_title,
                bar_width + more_bar,
                tuple(taken),
                tuple(widths[column.key] for column in taken),
            )
        )
    return blocks


def _column_width(column: Column, outcomes: Sequence[Outcome], screen: Screen) -> int:
    texts = [*column.heading]
    for outcome in outcomes:
        texts.extend(column.cell(outcome.spread(column.key), screen.marks.degree))
    return max(len(text) for text in texts)


def ladder_lines(
    rows: Sequence[Outcome], aside: Sequence[Outcome], screen: Screen, zone_deg: tuple[float, float]
) -> list[Text]:
    """The whole ladder: `rows` with bars, then `aside` dimmed with the reason, then continued columns."""
    first, *rest = plan_blocks(rows, screen)
    spreads = [spread for row in rows if (spread := row.spread("lift_deg"))]
    axis = axis_for(spreads, first.bar_width)
    lines = _first_block(rows, first, axis, screen, zone_deg) if rows else []
    lines += _aside_lines(aside, first, screen)
    for block in rest if spreads else []:
        lines += [Text(), Text("The same choices, continued", "bold")]
        lines += _heading(block, None, screen)
        for row in rows:
            lines += _side_by_side(
                [_title(row, block.title_width, screen), *_cells(row, block, screen)], block
            )
    return lines


def _first_block(
    rows: Sequence[Outcome], block: Block, axis: Axis, screen: Screen, zone_deg: tuple[float, float]
) -> list[Text]:
    empty = _joined(empty_track(axis, screen.marks, zone_deg))
    lines = _heading(block, axis, screen)
    for row in rows:
        spread = row.spread("lift_deg")
        if spread is None:
            lines += _spanning(row, row.reason or "lift not computed", block, screen, "")
        else:
            title, cells = _title(row, block.title_width, screen), _cells(row, block, screen)
            height = max(2, len(title))
            bars = [bar(spread, axis, screen.marks, zone_deg), *[empty] * (height - 1)]
            lines += _side_by_side([title, bars, *cells], block)
        if row.status == "doubtful" and spread is not None:
            lines += _spanning(None, f"doubtful: {row.reason}", block, screen, VERMILLION)
        lines.append(Text.assemble(" " * (block.title_width + GAP), empty))
    return lines


def _aside_lines(aside: Sequence[Outcome], block: Block, screen: Screen) -> list[Text]:
    lines = [Text("Set aside", "bold")] if aside else []
    for row in aside:
        lines += _spanning(row, row.reason, block, screen, "dim")
    return lines


def _spanning(row: Outcome | None, sentence: str, block: Block, screen: Screen, style: str) -> list[Text]:
    """A row whose sentence runs from the bar to the right edge."""
    wide = screen.width - block.title_width - GAP
    title = _title(row, block.title_width, screen, style) if row else [Text()]
    told = [Text(line, style) for line in textwrap.wrap(screen.say(sentence), wide)] or [Text()]
    height = max(len(title), len(told))
    left = _pad(title, height, block.title_width + GAP)
    return [Text.assemble(a, b) for a, b in zip(left, _pad(told, height, 0), strict=True)]


def _title(row: Outcome, width: int, screen: Screen, style: str = "") -> list[Text]:
    main = textwrap.wrap(screen.say(row.choice.title), width) or [""]
    under = textwrap.wrap(screen.say(row.choice.subtitle), width - 1)
    return [Text(line, style or "bold") for line in main] + [Text(" " + line, "dim") for line in under]


def _cells(row: Outcome, block: Block, screen: Screen) -> list[list[Text]]:
    cells = []
    for column in block.columns:
        middle, nine_tenths = column.cell(row.spread(column.key), screen.marks.degree)
        cells.append([Text(middle), Text(nine_tenths)])
    return cells


def _heading(block: Block, axis: Axis | None, screen: Screen) -> list[Text]:
    ticks = [[Text(), tick_line(axis, screen.marks)]] if axis else []
    heads = []
    for column in block.columns:
        upper, lower = column.heading
        in_degrees = column.heading_unit == "deg" and not screen.full
        heads.append([Text(upper, "dim"), Text(lower, "dim"), Text("degrees" if in_degrees else "", "dim")])
    return _side_by_side([[Text()], *ticks, *heads], block)


def _side_by_side(parts: Sequence[Sequence[Text]], block: Block) -> list[Text]:
    widths = [
        block.title_width,
        *([block.bar_width] if len(parts) == len(block.widths) + 2 else []),
        *block.widths,
    ]
    height = max(len(part) for part in parts)
    if all(not line.plain.strip() for part in parts for line in part[height - 1 : height]):
        height -= 1
    padded = [_pad(part, height, width + GAP) for part, width in zip(parts, widths, strict=True)]
    return [Text().join(cells) for cells in zip(*padded, strict=True)]


def _pad(lines: Sequence[Text], height: int, width: int) -> list[Text]:
    """`lines` filled up with blank ones to `height`, each filled up with blanks to `width`."""
    padded = []
    for line in [*lines, *[Text()] * (height - len(lines))][:height]:
        padded.append(Text.assemble(line, " " * max(0, width - len(line.plain))))
    return padded
