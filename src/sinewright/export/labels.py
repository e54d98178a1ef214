"""Words beside a drawing: placed in columns so that none lies on another, joined to their place by a thin line."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from sinewright.export.svg import GREY, INK, PAPER, Picture, Point, straight

Anchor = Literal["start", "end"]
STEP, GAP = 1.18, 0.55  # from line to line and between labels, in sizes
SMALLEST = 6.0  # mm of the patient
LETTER = 0.5  # mean breadth of a letter in its size, for wrapping


@dataclass(frozen=True)
class Label:
    """Words for one place: `bold` first, `plain` below it; `under` for what is better told below the sole."""

    at: Point
    bold: str
    plain: str = ""
    colour: str = INK
    under: bool = False


@dataclass(frozen=True)
class LabelColumn:
    """Where labels stand: text begins or ends at `x`, is `width` wide and stays between `top` and `bottom` [mm]."""

    x: float
    width: float
    top: float
    bottom: float
    anchor: Anchor
    size: float = 9.5


def wrap_words(text: str, width: float, size: float) -> list[str]:
    """Lines no wider than `width`; a word that is wider by itself is broken."""
    room = max(4, int(width / (LETTER * size)))
    lines: list[str] = []
    for word in text.split():
        rest = word
        while len(rest) > room:
            lines.append(rest[:room])
            rest = rest[room:]
        if lines and len(lines[-1]) + 1 + len(rest) <= room:
            lines[-1] = f"{lines[-1]} {rest}"
        elif rest:
            lines.append(rest)
    return lines


def place_labels(picture: Picture, labels: Sequence[Label], column: LabelColumn, outward: float = 0.0) -> float:
    """Draws the labels of one column from top to bottom in the order of their places; gives the lowest line used.

    With `outward` (+1 or -1) the place furthest that way along the paper comes first: for words under a drawing.
    """
    if not labels:
        return column.top
    ordered = sorted(labels, key=lambda one: -outward * one.at[0] if outward else one.at[1])
    ordered, column, blocks, tops = _laid(ordered, column)
    step = STEP * column.size
    for one, block, top in zip(ordered, blocks, tops, strict=True):
        _leader(picture, one, column, (top + 0.62 * step))
        for i, (text, bold) in enumerate(block):
            picture.text(
                (column.x, top + step * (i + 0.82)), text, column.size, text_anchor=column.anchor,
                font_weight="bold" if bold else None, fill=one.colour if bold else INK,
            )  # fmt: skip
    return tops[-1] + step * len(blocks[-1])


Block = list[tuple[str, bool]]


def _laid(labels: Sequence[Label], column: LabelColumn) -> tuple[list[Label], LabelColumn, list[Block], list[float]]:
    """Labels in an order in which no two leaders cross, with their lines and the top of each."""
    ordered = list(labels)
    for _ in range(len(ordered) ** 2 + 1):
        fitted, blocks = _fitted(ordered, column)
        step = STEP * fitted.size
        tops = _spread([one.at[1] for one in ordered], [step * len(b) for b in blocks], fitted, GAP * fitted.size)
        ends = [_knee(fitted, top + 0.62 * step) for top in tops]
        crossed = next(
            (
                (i, j)
                for i in range(len(ordered))
                for j in range(i + 1, len(ordered))
                if crosses((ends[i], ordered[i].at), (ends[j], ordered[j].at))
            ),
            None,
        )
        if crossed is None:
            break
        i, j = crossed
        ordered[i], ordered[j] = ordered[j], ordered[i]
    return ordered, fitted, blocks, tops


def crosses(one: tuple[Point, Point], two: tuple[Point, Point]) -> bool:
    """True when two straight lines between points cross."""

    def side(a: Point, b: Point, c: Point) -> float:
        return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])

    (a, b), (c, d) = one, two
    return side(a, b, c) * side(a, b, d) < 0.0 and side(c, d, a) * side(c, d, b) < 0.0


def _knee(column: LabelColumn, y: float) -> Point:
    """Where a leader leaves its words and turns to its place."""
    return column.x + 9.0 * (-1.0 if column.anchor == "start" else 1.0), y


def _fitted(labels: Sequence[Label], column: LabelColumn) -> tuple[LabelColumn, list[list[tuple[str, bool]]]]:
    """The lines of every label, in a size in which all of them stand in the column; never below `SMALLEST`."""
    while True:
        blocks = [_lines(one, column) for one in labels]
        need = sum(STEP * len(block) for block in blocks) + GAP * (len(blocks) - 1)
        if need * column.size <= column.bottom - column.top or column.size <= SMALLEST:
            return column, blocks
        column = replace(column, size=max(SMALLEST, 0.95 * column.size))


def _lines(label: Label, column: LabelColumn) -> list[tuple[str, bool]]:
    bold = [(text, True) for text in wrap_words(label.bold, 0.95 * column.width, column.size)]
    return bold + [(text, False) for text in wrap_words(label.plain, column.width, column.size)]


def _spread(wished: Sequence[float], heights: Sequence[float], column: LabelColumn, gap: float) -> list[float]:
    """Tops of blocks near the wished heights, none overlapping, inside the column as far as they fit."""
    tops: list[float] = []
    for wish, height in zip(wished, heights, strict=True):
        least = tops[-1] + heights[len(tops) - 1] + gap if tops else column.top
        tops.append(max(least, wish - 0.5 * height))
    limit = column.bottom
    for i in range(len(tops) - 1, -1, -1):
        tops[i] = min(tops[i], limit - heights[i])
        limit = tops[i] - gap
    lift = max(0.0, column.top - tops[0])
    return [top + lift for top in tops]


def _leader(picture: Picture, label: Label, column: LabelColumn, y: float) -> None:
    side = -1.0 if column.anchor == "start" else 1.0
    start = (column.x + 2.5 * side, y)
    knee = _knee(column, y)
    picture.path(straight([start, knee, label.at]), stroke=PAPER, stroke_width=1.8, opacity=0.8)
    picture.path(straight([start, knee, label.at]), stroke=GREY, stroke_width=0.6, class_="leader")
    picture.circle(label.at, 1.3, fill=GREY)
