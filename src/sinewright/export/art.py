"""How tendons, bellies and junctions are drawn: flat pieces of a strand, hidden behind bone or in front of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from sinewright.export.bones import Eye, Shape, within
from sinewright.export.strands import Line
from sinewright.export.svg import Picture, Point, number, smooth, straight
from sinewright.units import m

Floats = NDArray[np.float64]

FINE = m(2.5)  # between two points when a strand is split into hidden and visible pieces
ROUNDING = 0.4  # how much shorter a cord may become where its corners are rounded [mm]
LEAST_TURN, LEAST_STEP, STRAIGHT = 0.1, 4.0, 1e-6  # rad, mm, mm2: below them a corner stays as it is
DARK = "#8f3d00"  # edge of what is moved
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
    hidden = covered(np.array(flat), np.array([eye.depth(p) for p in fine]), bones)
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


def covered(flat: Floats, depth: Floats, bones: Sequence[Shape]) -> list[bool]:
    """Which points on paper (n, 2) of some depths (n,) lie behind a bone."""
    out = np.zeros(len(flat), dtype=bool)
    for bone in bones:
        behind = ~out & (bone.depth > depth + NEARER_MM)
        if behind.any():
            out[behind] = within(flat[behind], np.array(bone.points))
    return [bool(each) for each in out]


@dataclass(frozen=True)
class Pen:
    """Colour, width [mm] and dash of a strand; hidden pieces are thinner and dotted.

    ``core``: colour inside an edge of `colour`, so that a cord reads as round: a dark one stays solid in black and
    white, a pale one hollow.
    """

    colour: str
    width: float
    dash: str | None = None
    halo: str | None = "#ffffff"
    faint: float = 1.0
    core: str | None = None

    def draw(self, picture: Picture, parts: Sequence[Piece], name: str) -> None:
        """All pieces, hidden ones first."""
        for part in sorted(parts, key=lambda p: not p.hidden):
            data = rounded(part.points) if self.core is not None else straight(part.points)
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
            if self.core is not None:
                picture.path(
                    data, stroke=self.core, stroke_width=0.56 * self.width, stroke_linejoin="round",
                    stroke_linecap="round", opacity=self.faint,
                )  # fmt: skip


def rounded(points: Sequence[Point]) -> str:
    """Path data of a cord: its corners are rounded as far as this shortens it by `ROUNDING` [mm] in all."""
    at = np.array(_corners(points))
    if len(at) < 3:
        return straight(points)
    step = np.diff(at, axis=0)
    long = np.linalg.norm(step, axis=1)
    unit = step / np.maximum(long, 1e-9)[:, None]
    turn = np.arccos(np.clip(np.sum(unit[:-1] * unit[1:], axis=1), -1.0, 1.0))
    soft = (turn > LEAST_TURN) & (np.minimum(long[:-1], long[1:]) > LEAST_STEP)
    lost = 2.0 - turn / np.tan(0.5 * np.maximum(turn, 1e-3))  # for each mm that is cut off on both sides
    cut = np.minimum(
        ROUNDING / max(1, int(soft.sum())) / np.maximum(lost, 1e-6), 0.45 * np.minimum(long[:-1], long[1:])
    )
    out = [f"M{number(at[0, 0])},{number(at[0, 1])}"]
    for i in range(1, len(at) - 1):
        (x, y), size = at[i], cut[i - 1]
        if not soft[i - 1]:
            out.append(f"L{number(x)},{number(y)}")
            continue
        (x0, y0), (x1, y1) = at[i] - size * unit[i - 1], at[i] + size * unit[i]
        out.append(f"L{number(x0)},{number(y0)}Q{number(x)},{number(y)} {number(x1)},{number(y1)}")
    return "".join([*out, f"L{number(at[-1, 0])},{number(at[-1, 1])}"])


def _corners(points: Sequence[Point]) -> list[Point]:
    """The points of a line at which it turns, with both ends."""
    out = [points[0]]
    for before, here, after in zip(points, points[1:], points[2:], strict=False):
        bend = (here[0] - before[0]) * (after[1] - here[1]) - (here[1] - before[1]) * (after[0] - here[0])
        if abs(bend) > STRAIGHT:
            out.append(here)
    return [*out, points[-1]]


@dataclass(frozen=True)
class Belly:
    """A muscle belly on paper: outline, its shaded side, the tendon plate inside it and the fibres that run to it."""

    outline: tuple[Point, ...]
    shade: tuple[Point, ...]
    plate: tuple[Point, ...]
    fibres: tuple[tuple[Point, Point], ...]


def belly(line: Line, thickest: float, eye: Eye) -> Belly:
    """A belly along a strand; `thickest` half its breadth [mm]. Flesh does not kink: corners are soft."""
    share = np.linspace(0.0, 1.0, 41)
    middle = _softened(np.array([eye.flat(line.at(s * line.length)) for s in share]))
    along = np.gradient(middle, axis=0)
    along /= np.maximum(np.linalg.norm(along, axis=1, keepdims=True), 1e-9)
    across = np.stack([-along[:, 1], along[:, 0]], axis=1)
    breadth = 1.5 + (thickest - 1.5) * np.sin(np.pi * share**0.72) ** 0.9
    breadth[0] = 1.2

    def at(place: int, lane: float) -> Point:
        point = middle[place] + across[place] * breadth[place] * lane
        return float(point[0]), float(point[1])

    rows = range(len(share))
    outline = (*(at(i, 1.0) for i in rows), *(at(i, -1.0) for i in reversed(rows)))
    shade = (*(at(i, -0.42) for i in rows), *(at(i, -1.0) for i in reversed(rows)))
    fibres = tuple((at(i, 0.9 * turn), at(i + 4, 0.08 * turn)) for i in range(5, 35, 2) for turn in (1.0, -1.0))
    return Belly(outline, shade, tuple(at(i, 0.0) for i in range(12, len(share))), fibres)


def _softened(points: Floats) -> Floats:
    """Points with both ends kept and the corners between them rounded."""
    out = points.copy()
    for _ in range(14):
        out[1:-1] = 0.25 * out[:-2] + 0.5 * out[1:-1] + 0.25 * out[2:]
    return out


def belly_on(picture: Picture, line: Line, thickest: float, eye: Eye, faint: bool) -> None:
    """One muscle belly; a faint one shows through what covers it."""
    drawn = belly(line, thickest, eye)
    edge = DARK
    picture.open(opacity=0.34 if faint else 1.0, class_="belly faint" if faint else "belly")
    picture.path(smooth(drawn.outline, closed=True), fill="#e9ae90")
    picture.path(smooth(drawn.shade, closed=True), fill="#cf8763", opacity=0.55)
    strokes = "".join(straight(fibre) for fibre in drawn.fibres)
    picture.path(strokes, stroke=edge, stroke_width=0.4, stroke_linecap="round", opacity=0.6)
    picture.path(straight(drawn.plate), stroke="#f7ddcd", stroke_width=1.5, stroke_linecap="round", opacity=0.9)
    picture.path(smooth(drawn.outline, closed=True), stroke=edge, stroke_width=0.9)
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
