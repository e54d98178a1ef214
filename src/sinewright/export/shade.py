"""Shading of a bone as an engraver does it: short parallel strokes inside the edges that turn away from the light.

Strokes instead of grey tones: they stay on a copier and in black and white. A picture, nothing is calculated from it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from sinewright.arrays import Bools, Floats, Indices
from sinewright.export.bones import alike, within

APART = 1.4  # between two strokes along the edge [mm]
SHORTEST, LONGEST, DARK_FROM = 0.7, 6.0, -0.1
SLANT, LEAST_STEEP = (0.6, -0.8), 0.12  # direction of all strokes; an edge that runs along them gets none
AT_ONCE = 256  # strokes: what is looked at together stays small enough to be quick
INSIDE = (0.3, 0.65, 1.0)  # shares of a stroke that must lie inside the outline
LIGHT = (0.62, -0.78)  # towards the light on the paper of a right foot: from above and in front


def hatching(outlines: Sequence[Floats], sign: float) -> list[str]:
    """Path data of the strokes inside closed outlines (n, 2) [mm], worked out for all of them at once; `sign` is -1 for
    a mirrored (left) foot."""
    if not outlines:
        return []
    edge = _edge(outlines)
    light = np.array([sign * LIGHT[0], LIGHT[1]])
    dark = -(edge.outward @ light)
    most = np.minimum(LONGEST, 0.4 * _thickness(outlines))[edge.ring]
    long = most * np.clip((dark - DARK_FROM) / (1.0 - DARK_FROM), 0.0, 1.0)
    slant = np.array([sign * SLANT[0], SLANT[1]])
    long = np.where(-(edge.outward @ slant) > LEAST_STEEP, long, 0.0) * (0.8 + 0.2 * (-1.0) ** edge.place)
    drawn = np.flatnonzero(long > SHORTEST)
    strokes = np.column_stack([edge.points, slant * long[:, None]])[drawn]
    ring = edge.ring[drawn]
    kept = _inside(strokes, alike(outlines), ring)
    ends = np.searchsorted(ring[kept], np.arange(len(outlines) + 1)).tolist()
    return [_strokes(strokes[kept][first:last]) for first, last in pairwise(ends)]


def _inside(strokes: Floats, rings: Floats, ring: Indices) -> Bools:
    """Which strokes (n, 4) stay inside their outline: number `ring` (n,) of `rings`."""
    out = np.ones(len(strokes), dtype=bool)
    for first in range(0, len(strokes), AT_ONCE):
        here = slice(first, first + AT_ONCE)
        for share in INSIDE:
            out[here] &= within(strokes[here, :2] + share * strokes[here, 2:], rings[ring[here]])
    return out


def _strokes(strokes: Floats) -> str:
    """Path data of strokes (n, 4) [mm]: where each starts and its step."""
    return "M%.1f,%.1fl%.1f,%.1f" * len(strokes) % tuple(strokes.ravel().tolist())


@dataclass(frozen=True)
class _Edge:
    """Points (n, 2) every `APART` along outlines, the unit normals that point out of them there, the number of the
    outline of each and its place along it."""

    points: Floats
    outward: Floats
    ring: Indices
    place: Indices


def _edge(outlines: Sequence[Floats]) -> _Edge:
    corners = np.vstack([each[[*range(len(each)), 0]] for each in outlines])
    ends = np.cumsum([len(each) + 1 for each in outlines])
    first = ends - [len(each) + 1 for each in outlines]
    along = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(corners, axis=0), axis=1))])
    length = along[ends - 1] - along[first]
    count = np.maximum(8, (length / APART).astype(np.int64))
    ring = np.repeat(np.arange(len(outlines)), count)
    start = np.repeat(np.cumsum(count) - count, count)
    place = np.arange(len(ring)) - start
    at = along[first][ring] + (place + 0.5) * length[ring] / count[ring]
    fine = np.stack([np.interp(at, along, corners[:, i]) for i in range(2)], axis=1)
    before, after = (start + (place + step) % count[ring] for step in (-2, 2))
    tangent = fine[after] - fine[before]
    tangent /= np.maximum(np.linalg.norm(tangent, axis=1, keepdims=True), 1e-9)
    turning = corners[:-1, 0] * corners[1:, 1] - corners[1:, 0] * corners[:-1, 1]
    turning[ends[:-1] - 1] = 0.0  # from one outline to the next
    way = np.where(np.add.reduceat(turning, first) > 0.0, 1.0, -1.0)[ring]
    return _Edge(fine, np.stack([tangent[:, 1], -tangent[:, 0]], axis=1) * way[:, None], ring, place)


def _thickness(outlines: Sequence[Floats]) -> Floats:
    """The smaller breadth of every outline [mm], along its own axes."""
    size = np.array([len(points) for points in outlines])
    first, ring = np.cumsum(size) - size, np.repeat(np.arange(len(size)), size)
    points = np.vstack(outlines)
    middle = points - (np.add.reduceat(points, first) / size[:, None])[ring]
    _, axes = np.linalg.eigh(np.add.reduceat(middle[:, :, None] * middle[:, None, :], first))
    across = np.einsum("ni,nij->nj", middle, axes[ring])
    out: Floats = np.min(np.maximum.reduceat(across, first) - np.minimum.reduceat(across, first), axis=1)
    return out
