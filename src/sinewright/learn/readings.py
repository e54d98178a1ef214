"""What each leg would show at each set stretch, and how well that agrees with what was read.

The drive of a stimulator is unknown: its likelihood is the mean over the whole range of drives. Early relaxation: a
spring scale read at once shows more than the tension that stays (row own-protect-early-relaxation).
"""

from dataclasses import dataclass

import numpy as np
from scipy.special import ndtr

from sinewright.arrays import Floats, Indices
from sinewright.learn.entries import Limb, TableReading
from sinewright.learn.prepare import Prepared, number
from sinewright.reference import load
from sinewright.solve import table as t
from sinewright.units import deg, m, mm, rad

ACTIVATION_STEPS = 8  # midpoints over the range of drives
FARTHEST_SD = 12.0  # an error further out than this weighs no less: one slip of the pen cannot silence every leg


@dataclass(frozen=True)
class Predicted:
    """What legs would show, in the unit of the entry: ``shown`` (..., Q) with Q equally likely drives, ``sd`` of the
    reading, same shape or one number."""

    shown: Floats
    sd: Floats | float


def knee_of(prepared: Prepared, entry: TableReading) -> float:
    """Knee flexion [rad] of an entry; that of the plan's fixing posture where none was given."""
    return prepared.sewn.knee if entry.knee_deg is None else rad(entry.knee_deg)


def everywhere(prepared: Prepared, entry: TableReading) -> Predicted:
    """What every leg would show at every set stretch of ``prepared.fine``: shown (N or 1, F or 1, Q)."""
    fine = prepared.fine
    if entry.kind == "mark":
        return Predicted(mm(fine)[None, :, None], number("own-protect-ruler-error"))
    if entry.kind == "tendon":
        return Predicted(mm(prepared.free)[:, None, None], number("own-protect-tendon-length-error"))
    if entry.kind == "spring":
        return _spring(prepared)
    columns = columns_of(prepared, entry.kind, knee_of(prepared, entry), entry.limb)
    shown = [deg(t.everywhere(prepared.table, column, fine)) for column in columns]
    return Predicted(np.stack(shown, axis=2), number("own-protect-table-angle-error"))


def _spring(prepared: Prepared) -> Predicted:
    key = ("spring", 0.0, "lying")
    if key not in prepared.memory:
        at_once = prepared.relaxed / (1.0 - number("own-protect-early-relaxation"))
        width = np.hypot(number("own-protect-spring-error"), _spring_cv() * at_once)
        prepared.memory[key] = [at_once[:, :, None], width[:, :, None]]
    return Predicted(*prepared.memory[key])


def _spring_cv() -> float:
    """Rubbing of the path and the doubt about early relaxation together, as a share of the reading."""
    row = load().row("own-protect-early-relaxation")
    low, high = row.spread_ends
    share = (high - low) / np.sqrt(24.0) / (1.0 - row.value)  # sd of a triangle over that range
    return float(np.hypot(number("own-protect-spring-rubbing"), share))


def columns_of(prepared: Prepared, kind: str, knee: float, limb: Limb = "lying") -> list[Floats]:
    """Columns (N, S) [rad] of a resting or stimulated angle: one for rest, one per drive under stimulation."""
    key = (kind, knee, limb)
    if key not in prepared.memory:
        prepared.memory[key] = _columns(prepared.table, kind, knee, limb)
    return prepared.memory[key]


def _columns(table: t.Table, kind: str, knee: float, limb: Limb) -> list[Floats]:
    if kind == "rest":
        return [table.hanging if limb == "hanging" else t.at_knee(table.rest, knee)]
    driven = t.at_knee(np.swapaxes(table.stimulated, 2, 3), knee)
    row = load().row("own-protect-stimulator-drive")
    activations = row.low + (np.arange(ACTIVATION_STEPS) + 0.5) / ACTIVATION_STEPS * (row.high - row.low)
    return [driven @ _between_activations(float(activation)) for activation in activations]


def _between_activations(activation: float) -> Floats:
    """Weights (5,) of the tabled drives for one drive (cubic in its square root)."""
    unit = np.eye(t.ACTIVATION_COUNT)
    place = float(np.sqrt(activation)) * (t.ACTIVATION_COUNT - 1)
    return np.array([t.cubic(unit[i], place) for i in range(t.ACTIVATION_COUNT)])


def agreement_with(prepared: Prepared, entry: TableReading) -> Floats:
    """How well every leg at every set stretch agrees with an entry, likelihood over the best: (N or 1, F or 1), > 0."""
    predicted = everywhere(prepared, entry)
    away = np.minimum(np.abs(entry.value - predicted.shown) / predicted.sd, FARTHEST_SD)
    score = np.broadcast_to(np.exp(-0.5 * away**2) / predicted.sd, predicted.shown.shape)
    mean = np.mean(score, axis=2)
    out: Floats = mean / mean.max()
    return out


def shown_by(prepared: Prepared, entry: TableReading, leg: Indices, stretch: Floats) -> Predicted:
    """What given legs at given set stretches [m] would show: shown (P, Q)."""
    if entry.kind == "mark":
        return Predicted(mm(stretch)[:, None], number("own-protect-ruler-error"))
    if entry.kind == "tendon":
        return Predicted(mm(prepared.free[leg])[:, None], number("own-protect-tendon-length-error"))
    if entry.kind == "spring":
        whole = _spring(prepared)
        place = (stretch - prepared.fine[0]) / (prepared.fine[1] - prepared.fine[0])
        nearest = np.clip(np.rint(place), 0, len(prepared.fine) - 1).astype(np.int64)
        sd = np.broadcast_to(np.asarray(whole.sd), whole.shown.shape)
        return Predicted(whole.shown[leg, nearest], sd[leg, nearest])
    columns = columns_of(prepared, entry.kind, knee_of(prepared, entry), entry.limb)
    shown = [deg(t.along(prepared.table, column, leg, stretch)) for column in columns]
    return Predicted(np.stack(shown, axis=1), number("own-protect-table-angle-error"))


def share_below(value: float, predicted: Predicted, weight: Floats) -> float:
    """Share of what would be read that lies below a value: near 0 or 1 the reading was not to be expected."""
    below = ndtr((value - predicted.shown) / predicted.sd).mean(axis=1)
    return float(below @ weight / weight.sum())


def tension_at(prepared: Prepared, leg: Indices, stretch: Floats) -> Floats:
    """Tension [N] of the relaxed donor that stays at set stretches (P,) [m], after early relaxation."""
    place = (stretch - prepared.fine[0]) / (prepared.fine[1] - prepared.fine[0])
    low = np.clip(np.floor(place), 0, len(prepared.fine) - 2).astype(np.int64)
    part = np.clip(place - low, 0.0, 1.0)
    found = prepared.relaxed
    out: Floats = (1.0 - part) * found[leg, low] + part * found[leg, low + 1]
    return out


def stretch_prior(prepared: Prepared) -> Floats:
    """Belief (F,) about the set stretch before anything is read on the table: the plan with the error of setting it."""
    sd = load().row("own-stretch-error").sd or 0.0
    return _normal(prepared.fine - prepared.sewn.stretch, m(sd))


def shift(prepared: Prepared, moved_mm: float) -> Floats:
    """Matrix (F, F): from the set stretch before to that after the junction was set again."""
    gap = prepared.fine[None, :] - prepared.fine[:, None] - m(moved_mm)
    return _normal(gap, m(number("own-protect-retension-error")))


def _normal(away: Floats, sd: float) -> Floats:
    density = np.exp(-0.5 * (away / sd) ** 2)
    out: Floats = density / density.sum(axis=-1, keepdims=True)
    return out
