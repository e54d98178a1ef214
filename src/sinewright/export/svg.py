"""Vector pictures as text: a few shapes, numbers with two decimals, every word escaped. One unit is one millimetre."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from math import hypot
from xml.sax.saxutils import escape, quoteattr

from sinewright.export.print_text import print_text

Point = tuple[float, float]
LONGEST_TOLD = 30_000  # signs of what is read aloud
FONT = "Atkinson Hyperlegible"

# Okabe and Ito's colours that stay apart for colour-blind readers; each is always joined by a dash, shape or word.
INK, GREY, PALE, PAPER = "#1d2126", "#5c646e", "#c4c9cf", "#ffffff"
VERMILLION, BLUE, GREEN, SKY, ORANGE, YELLOW = "#d55e00", "#0072b2", "#009e73", "#56b4e9", "#e69f00", "#f0e442"


def number(value: float) -> str:
    """A number with at most two decimals; never a bare minus zero."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def attributes(**given: object) -> str:
    """Attributes in the order given; underscores become hyphens, None is left out."""
    parts = []
    for name, value in given.items():
        if value is None:
            continue
        shown = number(value) if isinstance(value, float) else str(value)
        parts.append(f" {name.rstrip('_').replace('_', '-')}={quoteattr(shown)}")
    return "".join(parts)


def straight(points: Sequence[Point], closed: bool = False) -> str:
    """Path data of straight pieces through all points."""
    text = "M" + "L".join(f"{number(x)},{number(y)}" for x, y in points)
    return text + ("Z" if closed else "")


def smooth(points: Sequence[Point], closed: bool = False) -> str:
    """Path data of a soft curve through all points (centripetal tangents keep it from overshooting)."""
    pts = list(dict.fromkeys(points)) if closed else [p for i, p in enumerate(points) if i == 0 or p != points[i - 1]]
    n = len(pts)
    if n < 3:
        return straight(pts, closed)
    pieces = [f"M{number(pts[0][0])},{number(pts[0][1])}"]
    for i in range(n if closed else n - 1):
        a, b = pts[i], pts[(i + 1) % n]
        before = pts[i - 1] if closed or i > 0 else a
        after = pts[(i + 2) % n] if closed or i + 2 < n else b
        first, last = _handles(before, a, b, after)
        pieces.append("C" + " ".join(f"{number(x)},{number(y)}" for x, y in (first, last, b)))
    return "".join(pieces) + ("Z" if closed else "")


def _handles(p0: Point, p1: Point, p2: Point, p3: Point) -> tuple[Point, Point]:
    d1, d2, d3 = (max(_gap(a, b), 1e-6) ** 0.5 for a, b in ((p0, p1), (p1, p2), (p2, p3)))

    def handle(near: Point, far: Point, outer: Point, d: float, e: float) -> Point:
        if near == outer:
            return near[0] + (far[0] - near[0]) / 3.0, near[1] + (far[1] - near[1]) / 3.0
        below = 3.0 * d * (d + e)
        return (
            (d * d * far[0] - e * e * outer[0] + (2 * d * d + 3 * d * e + e * e) * near[0]) / below,
            (d * d * far[1] - e * e * outer[1] + (2 * d * d + 3 * d * e + e * e) * near[1]) / below,
        )

    return handle(p1, p2, p0, d1, d2), handle(p2, p1, p3, d3, d2)


def _gap(a: Point, b: Point) -> float:
    return hypot(a[0] - b[0], a[1] - b[1])


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
        words = print_text("picture", words)
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
        title, desc = (escape(print_text("picture", words, LONGEST_TOLD)) for words in (self.title, self.told))
        told = f'<title id="t">{title}</title><desc id="d">{desc}</desc>'
        return "\n".join((head, told, *self.parts, "</svg>", ""))
