"""The few ways in which a found number is held against print. Units are those of the row; no arithmetic elsewhere."""

from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import ArrayLike

from sinewright.arrays import Bools, Floats
from sinewright.doubt.sample import wilson
from sinewright.evidence.result import CANNOT, OUTSIDE, REPRODUCED, WITHIN, Verdict
from sinewright.evidence.scene import Scene
from sinewright.reference import Row, load
from sinewright.results import Agreement
from sinewright.wording.directions import IN_OUT, UP_DOWN

Words = Callable[[float], str]


def angle(value_deg: float, digits: int = 1) -> str:
    """An ankle angle in words, never a bare sign: "5.0° up"."""
    return UP_DOWN.to(digits).one(value_deg)


def side(value: float, name: str = "deg", digits: int = 1) -> str:
    """A turn, or an arm that turns, in words: "5.0° inward"."""
    return replace(IN_OUT, unit=name, decimals=digits, zero="").one(value)


def unit(name: str, digits: int = 1) -> Words:
    """Printer of plain numbers with a unit."""
    return lambda value: f"{value:.{digits}f} {name}".rstrip()


def within_sd(found: float, row: Row, say: Words, sd: float | None = None) -> Verdict:
    """Inside one standard deviation between people: the row's own, or the one given from another row."""
    spread = row.sd if sd is None else sd
    if spread is None:
        raise ValueError(f"{row.id} has no standard deviation: name another row")
    inside = abs(found - row.value) <= spread
    return Verdict(f"{say(row.value)}, sd {spread:.3g}", say(found), WITHIN if inside else OUTSIDE)


def within_range(found: float, low: float, high: float, say: Words, more: str = "") -> Verdict:
    """Inside the printed ends."""
    told = say(found) + (f"; {more}" if more else "")
    return Verdict(f"{say(low)} to {say(high)}", told, WITHIN if low <= found <= high else OUTSIDE)


def within(found: float, printed: float, tolerance: float, say: Words, more: str = "") -> Verdict:
    """Inside a tolerance on either side that the set-up explains."""
    inside = abs(found - printed) <= tolerance
    told = say(found) + (f"; {more}" if more else "")
    return Verdict(f"{say(printed)}, give or take {tolerance:.3g}", told, WITHIN if inside else OUTSIDE)


def to_rounding(found: Sequence[float], rows: Sequence[Row], half_step: float, say: Words) -> Verdict:
    """Every number equal to print within half its last digit."""
    gaps = np.abs(np.array(found) - np.array([row.value for row in rows]))
    ends = f"{say(min(row.value for row in rows))} to {say(max(row.value for row in rows))}"
    expected = f"{len(rows)} numbers, {ends}" if len(rows) > 1 else say(rows[0].value)
    told = f"largest gap {gaps.max():.2g}, rounding {half_step:.2g}" if len(rows) > 1 else say(found[0])
    return Verdict(expected, told, REPRODUCED if bool(np.all(gaps <= half_step * 1.0001)) else OUTSIDE)


def many(found: ArrayLike, printed: ArrayLike, tolerance: ArrayLike, names: Sequence[str], say: Words) -> Verdict:
    """Several numbers, all of which must lie inside their tolerance; the found ones that do not are named."""
    a, b, t = np.broadcast_arrays(*(np.asarray(x, dtype=np.float64) for x in (found, printed, tolerance)))
    inside = np.abs(a - b) <= t
    expected = ", ".join(f"{n} {say(float(x))}" for n, x in zip(names, b, strict=True))
    told = ", ".join(
        f"{n} {say(float(x))}{'' if ok else ' (outside)'}" for n, x, ok in zip(names, a, inside, strict=True)
    )
    return Verdict(expected, f"{told}: {int(inside.sum())} of {inside.size} inside", _all(inside))


def direction(holds: bool, expected: str, found: str) -> Verdict:
    """A printed direction or order, which holds or does not."""
    return Verdict(expected, found, REPRODUCED if holds else OUTSIDE)


def share_of_people(found: float, row: Row) -> Verdict:
    """A count out of n people: inside the 95 % interval of a count (Wilson) around the printed share."""
    if row.n is None:
        raise ValueError(f"{row.id} does not say out of how many")
    p, n = row.value / row.n, row.n
    low, high = wilson(p, n)
    expected = f"{row.value:.0f} of {n} ({100 * p:.0f} %; 95 % interval {100 * low:.0f} to {100 * high:.0f} %)"
    return Verdict(expected, f"{100 * found:.0f} % of the virtual legs", WITHIN if low <= found <= high else OUTSIDE)


def centre_of_series(values: Floats, row: Row, middle: Callable[[Floats], float], say: Words) -> Verdict:
    """Hold a printed centre of n feet against the centres of as many virtual ones.

    Parameters
    ----------
    values : (N,) what the virtual legs say, in the unit of the row; NaN is left out
    row : printed centre and its number of feet
    middle : the centre that was printed, mean or median
    say : prints one value

    Returns
    -------
    Within where the print lies in the middle 95 % of the centres of 4000 groups of n legs drawn from ``values``.
    """
    if row.n is None:
        raise ValueError(f"{row.id} does not say how many feet")
    good = values[np.isfinite(values)]
    picks = np.random.default_rng(1).integers(0, len(good), (4000, row.n))
    low, high = np.quantile([middle(good[pick]) for pick in picks], [0.025, 0.975])
    spread = f" (feet {row.spread})" if row.spread_kind == "range" else ""
    told = f"{say(middle(good))}; groups of {row.n}: {say(float(low))} to {say(float(high))}"
    inside = bool(low <= row.value <= high)
    return Verdict(f"{say(row.value)}{spread}", told, WITHIN if inside else OUTSIDE)


def cannot(expected: str) -> Callable[[Scene], Verdict]:
    """A claim that is not answered; the check says why."""
    return lambda scene: Verdict(expected, "not computed", CANNOT)


def row(id: str) -> Row:
    """One row of the reference room."""
    return load().row(id)


def _all(inside: Bools) -> Agreement:
    return WITHIN if bool(inside.all()) else OUTSIDE
