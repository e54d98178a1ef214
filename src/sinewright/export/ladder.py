"""The choice ladder as a vector picture: one row for each donor, the doubt as a bar, what it costs beside it.

Dot: the middle of the virtual legs. Thick: half of them. Thin: nine-tenths. Shade: the target zone. A donor that is
ruled out is one line. Columns are as wide as their widest words: none runs into the next.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, floor

from sinewright.export.labels import wrap_words
from sinewright.export.metrics import text_width
from sinewright.export.svg import BLUE, GREEN, GREY, INK, PALE, PAPER, Picture, Point, straight
from sinewright.results import Side, Spread, Status
from sinewright.wording.columns import LADDER_TITLE
from sinewright.wording.directions import angle_words

MARGIN = 6.0
NAME, BAR, BESIDE, GAP = 78.0, 78.0, 13.0, 5.0
TEXT, SMALL = 4.2, 3.5
LINE = 1.22


@dataclass(frozen=True)
class LadderRow:
    """One row: words of the choice, its lift [deg] or none, cells (middle, nine-tenths) beside it, the reason."""

    title: str
    subtitle: str
    status: Status
    reason: str
    lift: Spread | None
    cells: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True)
class Ladder:
    """What the ladder shows: side, label of the case, one-sentence finding, headings of the cells, rows in order."""

    side: Side
    pseudonym: str
    finding: str
    headings: tuple[tuple[str, str], ...]
    rungs: tuple[LadderRow, ...]
    note: str
    zone_deg: tuple[float, float]


@dataclass(frozen=True)
class LiftAxis:
    """Degrees along the bar."""

    low: float
    high: float
    left: float

    def at(self, value: float) -> float:
        """Place on paper [mm], held at the ends."""
        share = (min(max(value, self.low), self.high) - self.low) / (self.high - self.low)
        return self.left + BAR * share


def axis_for(rungs: Sequence[LadderRow], left: float) -> LiftAxis:
    """Whole tens that hold every bar, with 20 down to 20 up always on it."""
    lifts = [rung.lift for rung in rungs if rung.lift is not None]
    low = min([-20.0, *(10.0 * floor(lift.p05 / 10.0) for lift in lifts)])
    high = max([20.0, *(10.0 * ceil(lift.p95 / 10.0) for lift in lifts)])
    return LiftAxis(max(low, -60.0), min(high, 40.0), left)


@dataclass(frozen=True)
class Columns:
    """Where each column of cells begins, and how wide the picture is [mm]."""

    at: tuple[float, ...]
    width: float


def columns_of(ladder: Ladder) -> Columns:
    """Columns side by side, each as wide as the widest of its heading and its cells."""
    x, at = MARGIN + NAME + BAR + BESIDE, []
    for i, heading in enumerate(ladder.headings):
        cells = [rung.cells[i] for rung in ladder.rungs if rung.cells]
        small = [*heading, *(wide for _, wide in cells)]
        widths = [text_width(text, SMALL) for text in small] + [text_width(middle, TEXT) for middle, _ in cells]
        at.append(x)
        x += max(widths) + GAP
    return Columns(tuple(at), x - GAP + MARGIN)


def draw_ladder(ladder: Ladder) -> str:
    """The ladder as SVG."""
    axis, columns = axis_for(ladder.rungs, MARGIN + NAME), columns_of(ladder)
    wide = columns.width
    head = 38.0 + 4.2 * LINE * (len(wrap_words(ladder.finding, wide - 76.0, TEXT)) - 1)
    heights = [_height(rung, wide) for rung in ladder.rungs]
    notes = wrap_words(ladder.note, wide - 2.0 * MARGIN, SMALL)
    total = head + sum(heights) + 6.0 + SMALL * LINE * len(notes) + MARGIN
    title = f"{ladder.side.upper()} foot. {LADDER_TITLE}"
    picture = Picture(0.0, 0.0, wide, height=total, title=title, told=_told(ladder))
    picture.rect((0.0, 0.0), wide, total, fill=PAPER)
    _head(picture, ladder, axis, columns=columns, head=head)
    y = head
    for rung, height in zip(ladder.rungs, heights, strict=True):
        picture.path(straight([(MARGIN, y), (wide - MARGIN, y)]), stroke=PALE, stroke_width=0.25)
        if rung.lift is None:
            _ruled_out(picture, rung, wide, y)
        else:
            _rung(picture, rung, axis, columns=columns, zone=ladder.zone_deg, y=y)
        y += height
    for i, line in enumerate(notes):
        picture.text((MARGIN, y + 6.0 + SMALL * LINE * i), line, SMALL, fill=GREY)
    return picture.render()


def _told(ladder: Ladder) -> str:
    rows = [f"{r.title}, {r.subtitle}: {r.cells[0][0] if r.cells else r.reason}" for r in ladder.rungs]
    return f"{ladder.finding} " + ". ".join(rows)


def _height(rung: LadderRow, wide: float) -> float:
    if rung.lift is None:
        return 2.5 + SMALL * LINE * len(_out_lines(rung, wide))
    names = wrap_words(rung.title, NAME - 4.0, TEXT) + wrap_words(rung.subtitle, NAME - 4.0, SMALL)
    lines = max(len(names), 2 + len(wrap_words(_reason(rung), _reason_room(wide), SMALL)))
    return 4.5 + TEXT * LINE * max(2, lines)


def _out_lines(rung: LadderRow, wide: float) -> list[str]:
    return wrap_words(f"ruled out: {rung.title}. {rung.reason}", wide - 2.0 * MARGIN, SMALL)


def _reason(rung: LadderRow) -> str:
    return rung.reason if rung.status == "workable" or not rung.reason else f"{rung.status}: {rung.reason}"


def _reason_room(wide: float) -> float:
    return wide - 2.0 * MARGIN - NAME


def _head(picture: Picture, ladder: Ladder, axis: LiftAxis, columns: Columns, head: float) -> None:
    side_box(picture, ladder.side, (MARGIN, 5.0))
    picture.text((MARGIN + 62.0, 10.0), LADDER_TITLE, 5.4, font_weight="bold")
    for i, line in enumerate(wrap_words(f"{ladder.pseudonym}. {ladder.finding}", columns.width - 76.0, TEXT)):
        picture.text((MARGIN + 62.0, 16.0 + TEXT * LINE * i), line, TEXT)
    for degrees in range(int(axis.low), int(axis.high) + 1, 10):
        if degrees % 20 == 0:
            picture.text((axis.at(degrees), head - 3.0), angle_words(degrees), SMALL, text_anchor="middle", fill=GREY)
    for x, (first, second) in zip(columns.at, ladder.headings, strict=True):
        picture.text((x, head - 7.5), first, SMALL, fill=GREY)
        picture.text((x, head - 3.0), second, SMALL, fill=GREY)


def _ruled_out(picture: Picture, rung: LadderRow, wide: float, y: float) -> None:
    for i, line in enumerate(_out_lines(rung, wide)):
        picture.text((MARGIN, y + 1.2 + SMALL * LINE * (i + 0.8)), line, SMALL, fill=GREY)


def _rung(
    picture: Picture, rung: LadderRow, axis: LiftAxis, columns: Columns, zone: tuple[float, float], y: float
) -> None:
    line = below = y + 2.0 + TEXT
    for words, size, weight in ((rung.title, TEXT, "bold"), (rung.subtitle, SMALL, "normal")):
        for text in wrap_words(words, NAME - 4.0, size):
            picture.text((MARGIN, line), text, size, font_weight=weight, fill=INK)
            line += TEXT * LINE
    assert rung.lift is not None
    _zone(picture, axis, zone, y)
    _bar(picture, rung.lift, axis, y + 6.5)
    for x, (middle, wide) in zip(columns.at, rung.cells, strict=False):
        picture.text((x, below), middle, TEXT)
        picture.text((x, below + TEXT * LINE), wide, SMALL, fill=GREY)
    for i, text in enumerate(wrap_words(_reason(rung), _reason_room(columns.width), SMALL)):
        picture.text((MARGIN + NAME, below + TEXT * LINE * (i + 2)), text, SMALL, fill=GREY)


def _zone(picture: Picture, axis: LiftAxis, zone: tuple[float, float], y: float) -> None:
    left, right = axis.at(zone[0]), axis.at(zone[1])
    picture.rect((left, y), right - left, 11.5, fill=GREEN, opacity=0.13)
    for degrees in range(int(axis.low), int(axis.high) + 1, 10):
        x = axis.at(degrees)
        picture.path(straight([(x, y), (x, y + 11.5)]), stroke=PALE, stroke_width=0.6 if degrees == 0 else 0.25)


def _bar(picture: Picture, lift: Spread, axis: LiftAxis, y: float) -> None:
    """The doubt of one choice; an arrowhead where it runs off the axis."""
    picture.path(straight([(axis.at(lift.p05), y), (axis.at(lift.p95), y)]), stroke=BLUE, stroke_width=0.7)
    picture.path(straight([(axis.at(lift.p25), y), (axis.at(lift.p75), y)]), stroke=BLUE, stroke_width=2.4)
    picture.circle((axis.at(lift.p50), y), 1.9, fill=PAPER, stroke=BLUE, stroke_width=0.9)
    for value, way in ((lift.p05, -1.0), (lift.p95, 1.0)):
        if not axis.low <= value <= axis.high:
            x = axis.at(value)
            head: list[Point] = [(x, y - 1.5), (x + 2.2 * way, y), (x, y + 1.5)]
            picture.path(straight(head, closed=True), fill=BLUE)


def side_box(picture: Picture, side: Side, at: Point, size: float = 5.4) -> None:
    """The side in letter and word, boxed."""
    picture.rect(at, 10.4 * size, 2.0 * size, fill=PAPER, stroke=INK, stroke_width=0.16 * size, rx=0.35 * size)
    picture.text((at[0] + 0.6 * size, at[1] + 1.5 * size), side[0].upper(), 1.45 * size, font_weight="bold")
    picture.text((at[0] + 2.1 * size, at[1] + 1.42 * size), f"{side.upper()} FOOT", 1.08 * size, font_weight="bold")
