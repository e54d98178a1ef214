"""How tendons, bellies and junctions are drawn: flat pieces of a strand, hidden behind bone or in front of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from sinewright.export.bones import Eye, Shape, inside
from sinewright.export.strands import Line
from sinewright.export.svg import Picture, Point, smooth, straight
from sinewright.units import m

Floats = NDArray[np.float64]

FINE = m(2.5)  # between two points when a strand is split into hidden and visible pieces
NEARER_MM = 3.0  # a bone this much nearer to the viewer hides what runs behind it


@dataclass(frozen=True)
class Piece:
    """Part of a strand on paper, all of it visible or all of it hidden behind bone."""

    points: tuple[Point, ...]
    hidden: bool


def pieces(line: Line, eye: Eye, bones: Sequence[Shape]) -> list[Piece]:
    """A strand cut where it goes behind bone; the pieces touch each other."""
    fine = _refined(line.points)
    flat = [eye.flat(p) for p in fine]
    hidden = [_covered(at, eye.depth(p), bones) for at, p in zip(flat, fine, strict=True)]
    out: list[Piece] = []
    start = 0
    for i in range(1, len(flat) + 1):
        if i == len(flat) or hidden[i] != hidden[start]:
            out.append(Piece(tuple(flat[max(start - 1, 0) : i]), hidden[start]))
            start = i
    return [piece for piece in out if len(piece.points) > 1]


def _refined(points: Floats) -> list[Floats]:
    out = [points[0]]
    for a, b in pairwise(points):
        steps = max(1, int(np.ceil(np.linalg.norm(b - a) / FINE)))
        out += [a + (b - a) * i / steps for i in range(1, steps + 1)]
    return out


def _covered(at: Point, depth: float, bones: Sequence[Shape]) -> bool:
    return any(bone.depth > depth + NEARER_MM and inside(at, bone.points) for bone in bones)


@dataclass(frozen=True)
class Pen:
    """Colour, width [mm] and dash of a strand; hidden pieces are thinner and dotted."""

    colour: str
    width: float
    dash: str | None = None
    halo: str | None = "#ffffff"
    faint: float = 1.0

    def draw(self, picture: Picture, parts: Sequence[Piece], name: str) -> None:
        """All pieces, hidden ones first."""
        for part in sorted(parts, key=lambda p: not p.hidden):
            data = straight(part.points)
            if part.hidden:
                picture.path(
                    data, stroke=self.colour, stroke_width=0.62 * self.width, stroke_dasharray="1.6 2.4",
                    stroke_linecap="round", opacity=0.8 * self.faint, class_=f"{name} hidden",
                )  # fmt: skip
                continue
            if self.halo is not None:
                picture.path(data, stroke=self.halo, stroke_width=self.width + 1.8, opacity=0.85)
            picture.path(
                data, stroke=self.colour, stroke_width=self.width, stroke_dasharray=self.dash,
                stroke_linejoin="round", stroke_linecap="butt" if self.dash else "round", opacity=self.faint,
                class_=name,
            )  # fmt: skip


def belly(line: Line, thickest: float, eye: Eye) -> tuple[list[Point], list[list[Point]]]:
    """The outline of a muscle belly along a strand and a few fibres in it; `thickest` half its breadth [mm]."""
    share = np.linspace(0.0, 1.0, 25)
    middle = np.array([eye.flat(line.at(s * line.length)) for s in share])
    along = np.gradient(middle, axis=0)
    along /= np.maximum(np.linalg.norm(along, axis=1, keepdims=True), 1e-9)
    across = np.stack([-along[:, 1], along[:, 0]], axis=1)
    breadth = 1.2 + (thickest - 1.2) * np.sin(np.pi * share**0.8) ** 0.85
    breadth[0] = breadth[-1] = 1.0
    left, right = middle + across * breadth[:, None], middle - across * breadth[:, None]
    outline = [(float(x), float(y)) for x, y in (*left, *right[::-1])]
    fibres = []
    for lane in (-0.55, -0.15, 0.25, 0.6):
        first, last = (3, 19) if lane < 0.0 else (5, 21)
        run = middle[first:last] + across[first:last] * (breadth[first:last] * lane)[:, None]
        fibres.append([(float(x), float(y)) for x, y in run])
    return outline, fibres


def belly_on(picture: Picture, line: Line, thickest: float, eye: Eye, faint: bool) -> None:
    """One muscle belly; a faint one shows through what covers it."""
    outline, fibres = belly(line, thickest, eye)
    picture.open(opacity=0.38 if faint else 1.0, class_="belly faint" if faint else "belly")
    picture.path(smooth(outline, closed=True), fill="#e8a684", stroke="#a8480a", stroke_width=0.9)
    for fibre in fibres:
        picture.path(smooth(fibre), stroke="#a8480a", stroke_width=0.55, opacity=0.6)
    picture.close()


def across_at(line: Line, length: float, eye: Eye) -> tuple[Point, Point]:
    """The point on paper at a length [m] along a strand and the unit direction across it."""
    here = np.array(eye.flat(line.at(length)))
    step = np.array(eye.flat(line.at(length + m(3.0)))) - np.array(eye.flat(line.at(length - m(3.0))))
    size = float(np.linalg.norm(step))
    unit = step / size if size > 1e-9 else np.array([0.0, 1.0])
    return (float(here[0]), float(here[1])), (float(-unit[1]), float(unit[0]))


def tick(picture: Picture, at: Point, across: Point, half: float, **style: object) -> None:
    """A short stroke across a strand."""
    ends = [(at[0] + s * half * across[0], at[1] + s * half * across[1]) for s in (-1.0, 1.0)]
    picture.path(straight(ends), stroke_linecap="butt", **style)


def woven(line: Line, passes: int, high: float, eye: Eye) -> list[Point]:
    """A strand that winds about itself: the moved tendon in a weave, `high` [mm] to either side."""
    share = np.linspace(0.0, 1.0, 12 * passes + 1)
    out = []
    for s in share:
        at, across = across_at(line, float(s) * line.length, eye)
        swing = high * float(np.sin(np.pi * passes * s))
        out.append((at[0] + across[0] * swing, at[1] + across[1] * swing))
    return out
