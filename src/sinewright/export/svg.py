"""Vector pictures as text: a few shapes, numbers with two decimals, every word escaped. One unit is one millimetre."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from xml.sax.saxutils import escape, quoteattr

import numpy as np
from numpy.typing import NDArray

from sinewright.arrays import Floats
from sinewright.export.print_text import LONGEST, print_text

Point = tuple[float, float]
LONGEST_TOLD = 30_000  # signs of what is read aloud
MOST_TEXTS = 200_000  # numbers whose text is remembered, about 20 MB
FONT = "Plain Zero"

# Okabe and Ito's colours that stay apart for colour-blind readers; each is always joined by a dash, shape or word.
INK, GREY, PALE, PAPER = "#1d2126", "#5c646e", "#c4c9cf", "#ffffff"
VERMILLION, BLUE, GREEN = "#d55e00", "#0072b2", "#009e73"


def number(value: float) -> str:
    """A number with at most two decimals; never a bare minus zero."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


class _Texts(dict[int, str]):
    """The text of a number by its hundredths, made when it is first asked for: a drawing holds thousands of them."""

    def __missing__(self, hundredths: int) -> str:
        if len(self) >= MOST_TEXTS:
            self.clear()
        text = self[hundredths] = number(hundredths / 100.0)
        return text


_TEXTS = _Texts()


def texts(values: Floats) -> tuple[str, ...]:
    """Every number of an array as ``number`` writes it, in their order."""
    return tuple(map(_TEXTS.__getitem__, np.rint(100.0 * values).astype(np.int64).ravel().tolist()))


@lru_cache(maxsize=1024)
def _printed(words: str, longest: int = LONGEST) -> str:
    """`words` as they are printed, remembered: most of a drawing stays as it is when the foot moves."""
    return print_text("picture", words, longest)


def attributes(**given: object) -> str:
    """Attributes in the order given; underscores become hyphens, None is left out."""
    return _attributes(tuple(given.items()))


@lru_cache(maxsize=2048)
def _attributes(given: tuple[tuple[str, object], ...]) -> str:
    parts = []
    for name, value in given:
        if value is None:
            continue
        shown = number(value) if isinstance(value, float) else str(value)
        parts.append(f" {name.rstrip('_').replace('_', '-')}={quoteattr(shown)}")
    return "".join(parts)


def straight(points: Sequence[Point] | Floats, closed: bool = False) -> str:
    """Path data of straight pieces through all points."""
    numbers = texts(np.array(points, dtype=np.float64))
    return ("M" + "L".join(["%s,%s"] * (len(numbers) // 2))) % numbers + ("Z" if closed else "")


def smooth(points: Sequence[Point], closed: bool = False) -> str:
    """Path data of a soft curve through all points (centripetal tangents keep it from overshooting)."""
    return smooth_all((points,), closed)[0]


def smooth_all(lines: Sequence[Sequence[Point]], closed: bool = False) -> list[str]:
    """Path data of a soft curve through the points of every line, worked out for all of them at once."""
    kept = [_apart(line, closed) for line in lines]
    long = [line for line in kept if len(line) > 2]
    if not long:
        return [straight(line, closed) for line in kept]
    around = _around([len(line) for line in long], closed)
    points = np.array([point for line in long for point in line], dtype=np.float64)
    numbers = texts(np.hstack([*_handles(points[around]), points[around[2]]]))
    made = iter(_pieces(numbers, long, closed))
    return [next(made) if len(line) > 2 else straight(line, closed) for line in kept]


def _apart(points: Sequence[Point], closed: bool) -> list[Point]:
    """The points without those that stand where one stood before: anywhere on a closed line, else just before."""
    if closed:
        return list(dict.fromkeys(points))
    return [point for i, point in enumerate(points) if i == 0 or point != points[i - 1]]


def _around(sizes: Sequence[int], closed: bool) -> NDArray[np.intp]:
    """Places (4, pieces) of the points about every piece of lines of some sizes: before, its two ends, after."""
    rows: tuple[list[int], ...] = ([], [], [], [])
    first = 0
    for size in sizes:
        ring = list(range(first, first + size))
        if closed:
            shifted = (ring[-1:] + ring[:-1], ring, ring[1:] + ring[:1], ring[2:] + ring[:2])
        else:
            shifted = (ring[:1] + ring[:-2], ring[:-1], ring[1:], ring[2:] + ring[-1:])
        for row, more in zip(rows, shifted, strict=True):
            row += more
        first += size
    return np.array(rows)


def _handles(around: Floats) -> tuple[Floats, Floats]:
    """Both handles (pieces, 2) of every piece, from the points (4, pieces, 2) about it."""
    p0, p1, p2, p3 = around
    step = around[1:] - around[:-1]
    d1, d2, d3 = np.sqrt(np.maximum(np.hypot(step[..., 0], step[..., 1]), 1e-6))[..., None]

    def handle(near: Floats, far: Floats, outer: Floats, d: Floats, e: Floats) -> Floats:
        bent = (d * d * far - e * e * outer + (2 * d * d + 3 * d * e + e * e) * near) / (3.0 * d * (d + e))
        at_end = np.all(near == outer, axis=1, keepdims=True)
        return np.where(at_end, near + (far - near) / 3.0, bent)

    return handle(p1, p2, p0, d1, d2), handle(p2, p1, p3, d3, d2)


def _pieces(numbers: tuple[str, ...], lines: Sequence[Sequence[Point]], closed: bool) -> list[str]:
    """Path data of every line, from the six numbers of each of its pieces."""
    out, first = [], 0
    for line in lines:
        pieces = len(line) if closed else len(line) - 1
        here = numbers[6 * first : 6 * (first + pieces)]
        start = here[-2:] if closed else tuple(number(float(v)) for v in line[0])
        out.append(f"M{start[0]},{start[1]}" + "C%s,%s %s,%s %s,%s" * pieces % here + ("Z" if closed else ""))
        first += pieces
    return out


@dataclass
class Picture:
    """Shapes in drawing order. ``x, y, width, height`` is what is shown; `title` and `told` are read aloud."""

    x: float
    y: float
    width: float
    height: float
    title: str
    told: str
    parts: list[str] = field(default_factory=list)

    def path(self, data: str, **style: object) -> None:
        """One path; without a fill given it has none."""
        self.parts.append(f"<path d={quoteattr(data)}{attributes(**{'fill': 'none', **style})}/>")

    def circle(self, centre: Point, radius: float, **style: object) -> None:
        """One circle."""
        self.parts.append(f"<circle{attributes(cx=centre[0], cy=centre[1], r=radius, **style)}/>")

    def rect(self, corner: Point, width: float, height: float, **style: object) -> None:
        """One rectangle."""
        self.parts.append(f"<rect{attributes(x=corner[0], y=corner[1], width=width, height=height, **style)}/>")

    def text(self, at: Point, words: str, size: float = 9.0, **style: object) -> None:
        """One line of text; whatever `words` hold is text, never markup.

        Raises InputError for signs that cannot be printed, as ``print_text`` does.
        """
        given = {"fill": INK, **style}
        words = _printed(words)
        self.parts.append(f"<text{attributes(x=at[0], y=at[1], font_size=size, **given)}>{escape(words)}</text>")

    def open(self, **style: object) -> None:
        """Begins a group."""
        self.parts.append(f"<g{attributes(**style)}>")

    def close(self) -> None:
        """Ends a group."""
        self.parts.append("</g>")

    def shapes(self, paths: Iterable[tuple[str, dict[str, object]]]) -> None:
        """Several paths with their styles."""
        for data, style in paths:
            self.path(data, **style)

    def render(self) -> str:
        """The whole picture as an SVG document, in millimetres."""
        box = " ".join(number(v) for v in (self.x, self.y, self.width, self.height))
        head = (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{box}" width="{number(self.width)}mm" '
            f'height="{number(self.height)}mm" font-family="{FONT}, Helvetica, Arial, sans-serif" role="img" '
            'aria-labelledby="t d">'
        )
        title, desc = (escape(_printed(words, LONGEST_TOLD)) for words in (self.title, self.told))
        told = f'<title id="t">{title}</title><desc id="d">{desc}</desc>'
        return "\n".join((head, told, *self.parts, "</svg>", ""))
