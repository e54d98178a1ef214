"""How tendons, bellies and junctions are drawn: flat pieces of a strand, hidden behind bone or in front of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from sinewright.arrays import Floats
from sinewright.export.bones import Cover, Eye, on_paper
from sinewright.export.strands import PosedPath
from sinewright.export.svg import Picture, Point, smooth_all, straight, texts
from sinewright.units import m

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


def pieces(line: PosedPath, eye: Eye, cover: Cover) -> list[Piece]:
    """A strand cut where it goes behind bone; the pieces touch each other."""
    seen = eye.seen(_refined(line.points))
    flat, hidden = on_paper(seen), covered(seen, cover)
    out: list[Piece] = []
    start = 0
    for i in range(1, len(flat) + 1):
        if i == len(flat) or hidden[i] != hidden[start]:
            out.append(Piece(flat[max(start - 1, 0) : i], hidden[start]))
            start = i
    return [piece for piece in out if len(piece.points) > 1]


def _refined(points: Floats) -> Floats:
    """The points (n, 3) [m] with others between, so that no two are further apart than `FINE`."""
    step = np.diff(points, axis=0)
    pieces = np.maximum(1, np.ceil(np.linalg.norm(step, axis=1) / FINE).astype(np.int64))
    place = np.arange(pieces.sum()) - np.repeat(np.cumsum(pieces) - pieces, pieces) + 1
    share = (place / np.repeat(pieces, pieces))[:, None]
    return np.vstack([points[:1], np.repeat(points[:-1], pieces, axis=0) + np.repeat(step, pieces, axis=0) * share])


def covered(seen: Floats, cover: Cover) -> list[bool]:
    """Which points as they are seen (n, 3) [mm] lie behind a bone."""
    found: list[bool] = cover.hides(seen[:, :2], seen[:, 2] + NEARER_MM).tolist()
    return found


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
    at = _corners(np.array(points, dtype=np.float64))
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
    first, last = at[1:-1] - cut[:, None] * unit[:-1], at[1:-1] + cut[:, None] * unit[1:]
    rows = texts(np.hstack([first, at[1:-1], last]))
    out = [straight(at[:1])]
    for i, bent in enumerate(soft.tolist()):
        x0, y0, x, y, x1, y1 = rows[6 * i : 6 * i + 6]
        out.append(f"L{x0},{y0}Q{x},{y} {x1},{y1}" if bent else f"L{x},{y}")
    return "".join([*out, "L{},{}".format(*texts(at[-1]))])


def _corners(points: Floats) -> Floats:
    """The points (n, 2) of a line at which it turns, with both ends."""
    step = np.diff(points, axis=0)
    bend = step[:-1, 0] * step[1:, 1] - step[:-1, 1] * step[1:, 0]
    out: Floats = points[np.concatenate([[True], np.abs(bend) > STRAIGHT, [True]])]
    return out


@dataclass(frozen=True)
class Belly:
    """A muscle belly on paper: outline, its shaded side, the tendon plate inside it and the fibres that run to it."""

    outline: tuple[Point, ...]
    shade: tuple[Point, ...]
    plate: tuple[Point, ...]
    fibres: tuple[tuple[Point, Point], ...]


def belly(line: PosedPath, thickest: float, eye: Eye) -> Belly:
    """A belly along a strand; `thickest` half its breadth [mm]. Flesh does not kink: corners are soft."""
    share = np.linspace(0.0, 1.0, 41)
    middle = _softened(eye.seen(line.at(share * line.length))[:, :2])
    along = np.gradient(middle, axis=0)
    along /= np.maximum(np.linalg.norm(along, axis=1, keepdims=True), 1e-9)
    across = np.stack([-along[:, 1], along[:, 0]], axis=1)
    breadth = 1.5 + (thickest - 1.5) * np.sin(np.pi * share**0.72) ** 0.9
    breadth[0] = 1.2

    def lane(at: float) -> tuple[Point, ...]:
        return on_paper(middle + across * breadth[:, None] * at)

    edge, far_edge, plate = lane(1.0), lane(-1.0)[::-1], lane(0.0)[12:]
    ends = {turn: (lane(0.9 * turn), lane(0.08 * turn)) for turn in (1.0, -1.0)}
    fibres = tuple((outer[i], inner[i + 4]) for i in range(5, 35, 2) for outer, inner in ends.values())
    return Belly((*edge, *far_edge), (*lane(-0.42), *far_edge), plate, fibres)


def _softened(points: Floats) -> Floats:
    """Points with both ends kept and the corners between them rounded."""
    out = points.copy()
    for _ in range(14):
        out[1:-1] = 0.25 * out[:-2] + 0.5 * out[1:-1] + 0.25 * out[2:]
    return out


def belly_on(picture: Picture, line: PosedPath, thickest: float, eye: Eye, faint: bool) -> None:
    """One muscle belly; a faint one shows through what covers it."""
    drawn = belly(line, thickest, eye)
    edge = DARK
    picture.open(opacity=0.34 if faint else 1.0, class_="belly faint" if faint else "belly")
    outline, shade = smooth_all((drawn.outline, drawn.shade), closed=True)
    picture.path(outline, fill="#e9ae90")
    picture.path(shade, fill="#cf8763", opacity=0.55)
    strokes = "M%s,%sL%s,%s" * len(drawn.fibres) % texts(np.array(drawn.fibres))
    picture.path(strokes, stroke=edge, stroke_width=0.4, stroke_linecap="round", opacity=0.6)
    picture.path(straight(drawn.plate), stroke="#f7ddcd", stroke_width=1.5, stroke_linecap="round", opacity=0.9)
    picture.path(outline, stroke=edge, stroke_width=0.9)
    picture.close()


def across_at(line: PosedPath, length: float, eye: Eye) -> tuple[Point, Point]:
    """The point on paper at a length [m] along a strand and the unit direction across it."""
    here, across = _across(line, np.array([length]), eye)
    return on_paper(here)[0], on_paper(across)[0]


def _across(line: PosedPath, lengths: Floats, eye: Eye) -> tuple[Floats, Floats]:
    """Points on paper (n, 2) at lengths (n,) [m] along a strand and the unit directions (n, 2) across it."""
    around = eye.seen(line.at(lengths + m(3.0) * np.array([[0.0], [1.0], [-1.0]])))[..., :2]
    step = around[1] - around[2]
    size = np.linalg.norm(step, axis=1, keepdims=True)
    unit = np.where(size > 1e-9, step / np.maximum(size, 1e-9), (0.0, 1.0))
    return around[0], np.stack([-unit[:, 1], unit[:, 0]], axis=1)


def tick(picture: Picture, at: Point, across: Point, half: float, **style: object) -> None:
    """A short stroke across a strand."""
    ends = [(at[0] + s * half * across[0], at[1] + s * half * across[1]) for s in (-1.0, 1.0)]
    picture.path(straight(ends), stroke_linecap="butt", **style)


def woven(line: PosedPath, passes: int, high: float, eye: Eye) -> tuple[Point, ...]:
    """A strand that winds about itself: the moved tendon in a weave, `high` [mm] to either side."""
    share = np.linspace(0.0, 1.0, 12 * passes + 1)
    at, across = _across(line, share * line.length, eye)
    return on_paper(at + high * np.sin(np.pi * passes * share)[:, None] * across)
