"""The stretch ruler as a vector picture: millimetres of set stretch along the bottom, its consequences as bands above.

Band: nine-tenths of the virtual legs, line: the middle. Shaded: the interval that keeps most of the lift.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import ceil, floor

from sinewright.export.labels import LETTER, wrap_words
from sinewright.export.ladder import side_box
from sinewright.export.svg import BLUE, GREEN, GREY, INK, PALE, PAPER, VERMILLION, Picture, straight
from sinewright.protect.tension import tension_sentence
from sinewright.results import FixingTension, Mark, Ruler, Side
from sinewright.wording.directions import PULL, angle_words

WIDTH, LEFT, RIGHT = 190.0, 51.0, 178.0
HIGH, GAP = 27.0, 9.0  # of one band on paper [mm]
TEXT, SMALL = 4.2, 3.5
SLIM_LEFT, SLIM_RIGHT = 32.0, 182.0  # the part of the paper that the bare bands take
BOLD = 1.12  # how much wider bold letters run


@dataclass(frozen=True)
class RulerBand:
    """One consequence: key of the quantity, words, how a value is said, steps of its scale."""

    key: str
    name: str
    said: Callable[[float], str]
    step: float


BANDS = (
    RulerBand("lift_deg", "lift, knee straight", angle_words, 10.0),
    RulerBand("rest_on_table_deg", "rest on the table", angle_words, 10.0),
    RulerBand("pushdown_deg", "push-down kept to", angle_words, 10.0),
    RulerBand("junction_pull_N", "pull on the junction in lift", PULL.one, 100.0),
)


def draw_ruler(
    ruler: Ruler, side: Side, measured_mm: float | None = None, tension: FixingTension | None = None, caution: str = ""
) -> str:
    """The ruler as SVG; `measured_mm` adds a second mark for the stretch measured on the table, `tension` a sentence
    with set and settled tension apart, `caution` what a picture that is taken alone says about itself."""
    apart = tuple(filter(None, (tension_sentence(tension) if tension is not None else "", caution)))
    told = [
        (7.0 if i else 4.0, line if i else f"– {line}")
        for sentence in (*ruler.sentences, *apart)
        for i, line in enumerate(wrap_words(sentence, WIDTH - 14.0, TEXT))
    ]
    top = 34.0
    foot = top + len(BANDS) * (HIGH + GAP) + 15.0
    total = foot + 5.2 * len(told) + 5.0
    title = f"{side.upper()} foot, stretch ruler: {ruler.choice.title}, {ruler.choice.subtitle}"
    picture = Picture(0.0, 0.0, WIDTH, height=total, title=title, told=" ".join(ruler.sentences))
    picture.rect((0.0, 0.0), WIDTH, total, fill=PAPER)
    side_box(picture, side, (6.0, 5.0))
    picture.text((68.0, 9.5), "Stretch ruler", 5.4, font_weight="bold")
    for i, line in enumerate(wrap_words(f"{ruler.choice.title}: {ruler.choice.subtitle}", WIDTH - 74.0, TEXT)[:3]):
        picture.text((68.0, 15.5 + 5.0 * i), line, TEXT)
    _interval(picture, ruler, top, foot - 15.0)
    _pointers(picture, ruler, measured_mm, top - 4.0, foot - 13.0)
    for i, band in enumerate(BANDS):
        _band(picture, ruler, band, top + i * (HIGH + GAP))
    _scale(picture, ruler, foot - 13.0)
    for i, (left, line) in enumerate(told):
        picture.text((left, foot + 5.0 + 5.2 * i), line, TEXT)
    return picture.render()


SLIM_HIGH, SLIM_GAP, SLIM_TOP, SLIM_FOOT = 15.5, 5.5, 5.0, 9.5
"""A band, what parts two of them, and the rims of the ruler beside which names and values stand on a screen [mm]."""


def draw_bands(ruler: Ruler, side: Side) -> str:
    """The bands and the scale alone as SVG, for a screen that says names, values and sentences beside them.

    Parameters
    ----------
    ruler : Ruler
    side : str
        ``right`` or ``left``; said in the words for those who hear the picture.
    """
    bottom = SLIM_TOP + len(BANDS) * (SLIM_HIGH + SLIM_GAP)
    title = f"{side.upper()} foot, stretch ruler: {ruler.choice.title}, {ruler.choice.subtitle}"
    picture = Picture(
        SLIM_LEFT, 0.0, SLIM_RIGHT - SLIM_LEFT, bottom + SLIM_FOOT, title=title, told=" ".join(ruler.sentences)
    )
    picture.rect((SLIM_LEFT, 0.0), SLIM_RIGHT - SLIM_LEFT, bottom + SLIM_FOOT, fill=PAPER)
    _interval(picture, ruler, SLIM_TOP, bottom)
    _pointers(picture, ruler, None, SLIM_TOP - 4.0, bottom)
    for i, band in enumerate(BANDS):
        _band(picture, ruler, band, SLIM_TOP + i * (SLIM_HIGH + SLIM_GAP), SLIM_HIGH)
    _scale(picture, ruler, bottom, named=False)
    return picture.render()


def _x(ruler: Ruler, set_stretch_mm: float) -> float:
    first, last = ruler.marks[0].set_stretch_mm, ruler.marks[-1].set_stretch_mm
    share = (min(max(set_stretch_mm, first), last) - first) / (last - first)
    return LEFT + (RIGHT - LEFT) * share


def _interval(picture: Picture, ruler: Ruler, top: float, bottom: float) -> None:
    left, right = _x(ruler, ruler.low_mm), _x(ruler, ruler.high_mm)
    picture.rect((left, top - 3.0), right - left, bottom - top + 3.0, fill=GREEN, opacity=0.12)


def _band(picture: Picture, ruler: Ruler, band: RulerBand, top: float, high_mm: float | None = None) -> None:
    """One band; with a height of its own [mm] it stands without its name and its value, which are said beside it."""
    marks = [mark for mark in ruler.marks if band.key in mark.quantities]
    if not marks:
        picture.text((LEFT, top + 0.5 * (high_mm or HIGH)), f"{band.name}: not computed", TEXT, fill=GREY)
        return
    low, high = _span(marks, band)
    tall = high_mm or HIGH

    def y(value: float) -> float:
        return top + tall * (1.0 - (min(max(value, low), high) - low) / (high - low))

    _grid(picture, band, low, high, y, most=round(tall / 6.5))
    spreads = [(_x(ruler, mark.set_stretch_mm), mark.quantities[band.key]) for mark in marks]
    outer = [(x, y(s.p05)) for x, s in spreads] + [(x, y(s.p95)) for x, s in reversed(spreads)]
    inner = [(x, y(s.p25)) for x, s in spreads] + [(x, y(s.p75)) for x, s in reversed(spreads)]
    picture.path(straight(outer, closed=True), fill=BLUE, opacity=0.14)
    picture.path(straight(inner, closed=True), fill=BLUE, opacity=0.22)
    picture.path(straight([(x, y(s.p50)) for x, s in spreads]), stroke=BLUE, stroke_width=0.9)
    _dots(picture, ruler, band, y)
    if high_mm is None:
        for i, line in enumerate(wrap_words(band.name, LEFT - 27.0, TEXT)):
            picture.text((6.0, top + 5.0 + 5.0 * i), line, TEXT, font_weight="bold")
        _chosen(picture, ruler, band, top)


def _dots(picture: Picture, ruler: Ruler, band: RulerBand, y: Callable[[float], float]) -> None:
    """The plan's value, and those 5 mm slacker and tighter as hollow dots."""
    for mark, filled in ((ruler.loose, False), (ruler.tight, False), (ruler.chosen, True)):
        spread = mark.quantities.get(band.key)
        if spread is None:
            continue
        at = (_x(ruler, mark.set_stretch_mm), y(spread.p50))
        picture.circle(
            at, 1.7 if filled else 1.3, fill=VERMILLION if filled else PAPER, stroke=VERMILLION, stroke_width=0.7
        )


def _chosen(picture: Picture, ruler: Ruler, band: RulerBand, top: float) -> None:
    """The plan's value in words above its band."""
    spread = ruler.chosen.quantities.get(band.key)
    if spread is None:
        return
    words = f"{band.said(spread.p50)}  ({band.said(spread.p05)} to {band.said(spread.p95)})"
    x = _x(ruler, ruler.chosen.set_stretch_mm)
    fits = x - 3.0 - BOLD * LETTER * TEXT * len(words) >= LEFT
    anchor = "end" if fits or x - LEFT > WIDTH - x else "start"  # the wider side, where neither is wide enough
    shift = 3.0 if anchor == "start" else -3.0
    style: dict[str, object] = {"text_anchor": anchor, "font_weight": "bold", "fill": "#a34700"}
    style |= {
        "stroke": PAPER,
        "stroke_width": 1.6,
        "stroke_linejoin": "round",
        "paint_order": "stroke",
    }  # clear of lines
    picture.text((x + shift, top - 1.2), words, TEXT, **style)


def _span(marks: Sequence[Mark], band: RulerBand) -> tuple[float, float]:
    spreads = [mark.quantities[band.key] for mark in marks]
    low = band.step * floor(min(s.p05 for s in spreads) / band.step)
    high = band.step * ceil(max(s.p95 for s in spreads) / band.step)
    return low, max(high, low + band.step)


def _grid(picture: Picture, band: RulerBand, low: float, high: float, y: Callable[[float], float], most: int) -> None:
    count = round((high - low) / band.step)
    every = max(1, ceil(count / most))
    for i in range(0, count + 1, every):
        value = low + band.step * i
        line = straight([(LEFT, y(value)), (RIGHT, y(value))])
        neutral = value == 0.0 and band.key != "junction_pull_N"
        picture.path(line, stroke=GREY if neutral else PALE, stroke_width=0.5 if neutral else 0.25)
        picture.text((LEFT - 1.5, y(value) + 1.2), band.said(value), SMALL, text_anchor="end", fill=GREY)


def _scale(picture: Picture, ruler: Ruler, y: float, named: bool = True) -> None:
    first, last = ruler.marks[0].set_stretch_mm, ruler.marks[-1].set_stretch_mm
    picture.path(straight([(LEFT, y), (RIGHT, y)]), stroke=INK, stroke_width=0.6)
    for step in range(ceil(first), floor(last) + 1):
        long = step % 4 == 0
        x = _x(ruler, float(step))
        picture.path(straight([(x, y), (x, y + (2.6 if long else 1.4))]), stroke=INK, stroke_width=0.4)
        if long:
            told = "start" if step == 0 else f"{abs(step)}"
            picture.text((x, y + 6.4), told, SMALL, text_anchor="middle")
    if not named:
        return
    picture.text((LEFT, y + 11.2), "slacker: mm short of the start point", SMALL, fill=GREY)
    picture.text((RIGHT, y + 11.2), "tighter: mm beyond the start point", SMALL, text_anchor="end", fill=GREY)


def _pointers(picture: Picture, ruler: Ruler, measured_mm: float | None, top: float, bottom: float) -> None:
    x = _x(ruler, ruler.chosen.set_stretch_mm)
    picture.path(straight([(x, top), (x, bottom)]), stroke=VERMILLION, stroke_width=0.5)
    picture.path(
        straight([(x - 2.2, bottom + 4.0), (x, bottom), (x + 2.2, bottom + 4.0)], closed=True), fill=VERMILLION
    )
    if measured_mm is not None:
        at = _x(ruler, measured_mm)
        picture.path(straight([(at, top), (at, bottom)]), stroke=INK, stroke_width=0.5, stroke_dasharray="1.6 1.2")
        square = [
            (at - 1.8, bottom - 1.8),
            (at + 1.8, bottom - 1.8),
            (at + 1.8, bottom + 1.8),
            (at - 1.8, bottom + 1.8),
        ]
        picture.path(straight(square, closed=True), fill=PAPER, stroke=INK, stroke_width=0.7)
        picture.text((at, top - 1.0), "measured", SMALL, text_anchor="middle")
