"""Strength over the weeks: share of the strength on the day of the operation, with its spread.

The curves are proposals (rows he-curve-weave-* and he-curve-bone-*), shown as assumptions; between weeks they run
straight, after the last week they hold. Each junction keeps one place in the spread for all weeks. Patients who heal
slowly run through the same curve in longer time. No junction grows beyond an unharmed tendon or its own first strength.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sinewright.arrays import Floats
from sinewright.protect.constructs import ConstructStrength
from sinewright.reference import load

WEAVE_WEEKS, BONE_WEEKS = (0, 1, 2, 3, 4, 6, 12), (1, 3, 6, 12)
LAST_WEEK = 12.0
JUNCTIONS = 4096  # a power of two: places in the spreads, evenly filled
SEED = 23


@dataclass(frozen=True)
class HealingCurve:
    """Lower end, middle and upper end of the share of first strength at some weeks, (3, W), and the rows."""

    weeks: Floats
    share: Floats
    rows: tuple[str, ...]

    def at(self, week: float, place: Floats) -> Floats:
        """Share at a week for places (P,) between 0 and 1 in the spread (triangular)."""
        low, middle, high = (np.interp(week, self.weeks, line) for line in self.share)
        width = high - low
        if width == 0.0:
            return np.full_like(place, middle)
        top = (middle - low) / width
        below = low + np.sqrt(place * width * (middle - low))
        above = high - np.sqrt((1.0 - place) * width * (high - middle))
        out: Floats = np.where(place < top, below, above)
        return out


def curve_of(in_bone: bool) -> HealingCurve:
    """The healing curve of a fixation in bone or of tendon to tendon."""
    if not in_bone:
        ids = [f"he-curve-weave-week-{week}" for week in WEAVE_WEEKS]
        lines = []
        for id in ids:
            middle, row = load().fit_value(id), load().row(id)
            low, high = row.spread_ends if row.spread else (middle, middle)
            lines.append((low, middle, high))
        return HealingCurve(np.array(WEAVE_WEEKS, dtype=np.float64), np.array(lines).T, tuple(ids))
    spread = load().fit_value("own-protect-bone-healing-spread")
    ids = [f"he-curve-bone-week-{week}" for week in BONE_WEEKS]
    values = [load().fit_value(id) for id in ids]
    lines = [(1.0, 1.0, 1.0), *((v * (1.0 - spread), v, v * (1.0 + spread)) for v in values)]
    return HealingCurve(
        np.array((0, *BONE_WEEKS), dtype=np.float64), np.array(lines).T, (*ids, "own-protect-bone-healing-spread")
    )


@dataclass(frozen=True)
class Healing:
    """Many junctions of one construct in one patient: first strength [N] and place in the healing curve (J,)."""

    first: Floats
    place: Floats
    curve: HealingCurve
    slow: float
    cap: float

    def strength(self, week: float) -> Floats:
        """Strength [N] of every junction at a week, (J,)."""
        grown = self.first * self.curve.at(week / self.slow, self.place)
        return np.minimum(grown, np.maximum(self.first, self.cap))

    def p05(self, week: float) -> float:
        """Fifth percentile of strength [N] at a week."""
        return float(np.percentile(self.strength(week), 5.0))

    def p50(self, week: float) -> float:
        """Middle strength [N] at a week."""
        return float(np.percentile(self.strength(week), 50.0))


def heal(strength: ConstructStrength, slow: float = 1.0) -> Healing:
    """Spread the junctions of a construct over the weeks.

    Parameters
    ----------
    strength : the construct on the day of the operation [N]
    slow : factor on the time of healing; 1 for a patient in whom nothing slows it

    References
    ----------
    Rows ``he-curve-weave-week-*`` and ``he-curve-bone-week-*``; no junction grows stronger than
    ``own-protect-native-strength``.
    """
    places = (np.arange(JUNCTIONS) + 0.5) / JUNCTIONS
    shuffled = np.random.default_rng(SEED).permutation(places)
    cap = load().fit_value("own-protect-native-strength")
    return Healing(strength.quantile(places), shuffled, curve_of(strength.construct.in_bone), slow, cap)
