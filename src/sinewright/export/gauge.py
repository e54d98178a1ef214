"""The angle gauge before the toes: neutral, the angle in which it is sewn, and where the foot should hang after it."""

from __future__ import annotations

from dataclasses import dataclass
from math import atan2, cos, sin

from sinewright.export.bones import DrawnBody
from sinewright.export.labels import LETTER
from sinewright.export.leg import DrawnLeg
from sinewright.export.svg import BLUE, GREY, INK, PAPER, Picture, Point, straight
from sinewright.results import Spread
from sinewright.units import deg, mm, rad
from sinewright.wording.directions import UP_DOWN, angle_words

TOE = (205.0, -57.0, 0.0)
GAP = 9.0  # from the toe to the arc [mm]


@dataclass(frozen=True)
class ExpectedRest:
    """Where the foot should hang when it is let go on the table [deg], dorsiflexion positive."""

    rest_deg: Spread


@dataclass(frozen=True)
class Arc:
    """The arc on paper: radius [mm], direction of the toe at neutral [rad], +1 for a right foot."""

    radius: float
    base: float
    sign: float

    def on(self, angle_deg: float, out: float = 0.0) -> Point:
        """The place of an ankle angle, `out` [mm] beyond the arc."""
        turned = self.base + rad(angle_deg)
        return self.sign * (self.radius + out) * cos(turned), -(self.radius + out) * sin(turned)


def _arc(leg: DrawnLeg, sign: float) -> Arc:
    toe = DrawnBody(leg.sizes, leg.neutral).placed(TOE, "foot")
    radius = float(mm((float(toe[0]) ** 2 + float(toe[1]) ** 2) ** 0.5)) + GAP
    return Arc(radius, atan2(float(toe[1]), float(toe[0])), sign)


def _ends(leg: DrawnLeg, rest: Spread) -> tuple[float, float]:
    sewn = float(deg(leg.sewn.ankle))
    return min(rest.p05, sewn, -8.0) - 4.0, max(sewn, rest.p95, 6.0) + 4.0


def lowest_of_gauge(leg: DrawnLeg, expected: ExpectedRest, size: float) -> float:
    """How far down the paper the gauge and its words reach [mm]."""
    low, _ = _ends(leg, expected.rest_deg)
    arc = _arc(leg, 1.0)
    return max(arc.on(low)[1] + 6.0, arc.on(expected.rest_deg.p50)[1] + 2.4 * size)


def words_reach(leg: DrawnLeg, expected: ExpectedRest, size: float) -> float:
    """How far the words of the gauge reach beyond the ankle axis of a right foot [mm]."""
    rest, sewn = expected.rest_deg, float(deg(leg.sewn.ankle))
    told = ((sewn, f"sewn {angle_words(sewn)}"), (rest.p50, f"({UP_DOWN.ends(rest)})"))
    return max(_arc(leg, 1.0).on(angle, 9.0)[0] + LETTER * size * len(words) for angle, words in told)


def draw_gauge(picture: Picture, leg: DrawnLeg, expected: ExpectedRest, sign: float, size: float) -> None:
    """An arc about the ankle axis just beyond the toes; angles are true."""
    arc, rest, sewn = _arc(leg, sign), expected.rest_deg, float(deg(leg.sewn.ankle))
    on = arc.on
    low, high = _ends(leg, rest)
    picture.path(straight([on(low + (high - low) * i / 40) for i in range(41)]), stroke=GREY, stroke_width=0.7)
    band = [on(rest.p05 + (rest.p95 - rest.p05) * i / 20) for i in range(21)]
    picture.path(straight(band), stroke=BLUE, stroke_width=5.0, opacity=0.35, class_="rest-band")
    for angle in range(5 * int(low // 5 + 1), int(high) + 1, 5):
        picture.path(straight([on(angle, -2.0), on(angle, 2.0)]), stroke=GREY, stroke_width=0.6)
    _pointer(picture, on(0.0, -5.0), on(0.0, 5.0), GREY, 1.2)
    _pointer(picture, on(sewn, -7.0), on(sewn, 7.0), INK, 2.2)
    picture.circle(on(rest.p50), 3.2, fill=BLUE, stroke=PAPER, stroke_width=1.0)
    _words(picture, arc, rest, sewn, size)


def _pointer(picture: Picture, a: Point, b: Point, colour: str, width: float) -> None:
    picture.path(straight([a, b]), stroke=colour, stroke_width=width)


def _words(picture: Picture, arc: Arc, rest: Spread, sewn: float, size: float) -> None:
    anchor = "start" if arc.sign > 0 else "end"
    rows = [
        (sewn, f"sewn {angle_words(sewn)}", "bold", INK),
        (rest.p50, f"let go: {angle_words(rest.p50)}", "bold", BLUE),
    ]
    if min(abs(sewn), abs(rest.p50)) > 5.0:
        rows.append((0.0, "neutral", "normal", GREY))
    placed: list[float] = []
    for angle, told, weight, colour in sorted(rows, key=lambda row: -row[0]):
        x, y = arc.on(angle, 9.0)
        y = max(y + 0.35 * size, placed[-1] + 1.15 * size if placed else -1e9)
        placed.append(y)
        picture.text((x, y), told, size, text_anchor=anchor, font_weight=weight, fill=colour)
        if colour == BLUE:
            placed.append(y + 1.1 * size)
            picture.text((x, y + 1.1 * size), f"({UP_DOWN.ends(rest)})", size, text_anchor=anchor, fill=colour)
