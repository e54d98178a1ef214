"""Shading of a bone as an engraver does it: short parallel strokes inside the edges that turn away from the light.

Strokes instead of grey tones: they stay on a copier and in black and white. A picture, nothing is calculated from it.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from sinewright.export.bones import within
from sinewright.export.svg import Point

Floats = NDArray[np.float64]

APART = 1.4  # between two strokes along the edge [mm]
SHORTEST, LONGEST, DARK_FROM = 0.7, 6.0, -0.1
SLANT, LEAST_STEEP = (0.6, -0.8), 0.12  # direction of all strokes; an edge that runs along them gets none
LIGHT = (0.62, -0.78)  # towards the light on the paper of a right foot: from above and in front


def hatching(outline: Sequence[Point], sign: float) -> str:
    """Path data of the strokes inside a closed outline [mm]; `sign` is -1 for a mirrored (left) foot."""
    points = np.array(outline, dtype=np.float64)
    fine, outward = _edge(points)
    light = np.array([sign * LIGHT[0], LIGHT[1]])
    dark = -(outward @ light)
    long = np.minimum(LONGEST, 0.4 * _thickness(points)) * np.clip((dark - DARK_FROM) / (1.0 - DARK_FROM), 0.0, 1.0)
    slant = np.array([sign * SLANT[0], SLANT[1]])
    long = np.where(-(outward @ slant) > LEAST_STEEP, long, 0.0) * (0.8 + 0.2 * (-1.0) ** np.arange(len(long)))
    kept = long > SHORTEST
    for share in (0.3, 0.65, 1.0):
        kept &= within(fine + share * slant * long[:, None], points)
    strokes = np.column_stack([fine, slant * long[:, None]])[kept]
    return "".join("M{:.1f},{:.1f}l{:.1f},{:.1f}".format(*stroke) for stroke in strokes)


def _edge(points: Floats) -> tuple[Floats, Floats]:
    """Points every `APART` along an outline and the unit normal that points out of it there."""
    ring = np.vstack([points, points[:1]])
    step = np.linalg.norm(np.diff(ring, axis=0), axis=1)
    along = np.concatenate([[0.0], np.cumsum(step)])
    count = max(8, int(along[-1] / APART))
    at = (np.arange(count) + 0.5) * along[-1] / count
    fine = np.stack([np.interp(at, along, ring[:, i]) for i in range(2)], axis=1)
    tangent = np.roll(fine, -2, axis=0) - np.roll(fine, 2, axis=0)
    tangent /= np.maximum(np.linalg.norm(tangent, axis=1, keepdims=True), 1e-9)
    area = float(np.sum(ring[:-1, 0] * ring[1:, 1] - ring[1:, 0] * ring[:-1, 1]))
    normal = np.stack([tangent[:, 1], -tangent[:, 0]], axis=1)
    return fine, normal if area > 0.0 else -normal


def _thickness(points: Floats) -> float:
    """The smaller breadth of an outline [mm], along its own axes."""
    middle = points - points.mean(axis=0)
    _, axes = np.linalg.eigh(middle.T @ middle)
    return float(np.ptp(middle @ axes, axis=0).min())
