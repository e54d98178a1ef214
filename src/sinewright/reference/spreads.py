"""From the text of a value or a spread to numbers.

A printed spread becomes a standard deviation between people only under a stated rule:

========  ==================================================================================================
kind      rule
========  ==================================================================================================
sd        as printed; a printed band ``a..b`` of standard deviations gives its wider end
se        se * sqrt(n)
ci95      of a mean: width / (2 * 1.96) * sqrt(n), only with n >= 30, an interval symmetric about the
          value to one tenth of its width, and a unit that is neither a share (%) nor a ratio or score (1)
iqr       width / 1.349 (middle half of a normal distribution); two ends must be symmetric as above
range     none: it grows with n and rests on two people
cv        cv * |value|; below 1 it was printed as a share, from 2 as a percentage, between the two none
(empty)   none: the kind of spread is unknown
========  ==================================================================================================
"""

from __future__ import annotations

from math import isfinite, sqrt

Bounds = tuple[float, float]

_CI95_WIDTH_IN_SE = 2 * 1.96
_IQR_WIDTH_IN_SD = 1.349
_SMALLEST_N_FOR_CI95 = 30
_SYMMETRY = 0.1
_SHARES_AND_SCORES = frozenset({"1", "%"})


def parse_bounds(text: str) -> Bounds | None:
    """Read both ends of a printed value.

    Parameters
    ----------
    text : ``"5"``, ``"5..10"`` or empty

    Returns
    -------
    Low and high end, equal for one number; None for an empty text.

    Raises
    ------
    ValueError : anything else, or a range that falls

    Examples
    --------
    >>> parse_bounds("-57..-36")
    (-57.0, -36.0)
    """
    if not text:
        return None
    first, dots, second = text.partition("..")
    low = float(first)
    high = float(second) if dots else low
    if not (isfinite(low) and isfinite(high)) or high < low:
        raise ValueError(f"{text!r} is not a finite number or a range from low to high")
    return low, high


def standard_deviation(
    value: Bounds | None, unit: str, spread: Bounds | None, kind: str, n: int | None
) -> float | None:
    """Derive the standard deviation between people by the rules above.

    Parameters
    ----------
    value : both ends of the printed value [unit]
    unit : unit of the value; shares and scores have no standard deviation from an interval
    spread : both ends of the printed spread [unit; % or a share for cv]
    kind : sd, se, range, iqr, ci95 or cv; empty where unknown
    n : people or specimens

    Returns
    -------
    Standard deviation [unit], or None where the rules give none.

    Examples
    --------
    >>> standard_deviation((10.0, 10.0), "mm", (0.5, 0.5), "se", 16)
    2.0
    """
    if spread is None:
        return None
    if kind == "sd":
        return spread[1]
    if kind == "se":
        return spread[1] * sqrt(n) if n else None
    if kind == "ci95" and n and n >= _SMALLEST_N_FOR_CI95 and unit not in _SHARES_AND_SCORES:
        return _width(spread) / _CI95_WIDTH_IN_SE * sqrt(n) if _is_symmetric(value, spread) else None
    if kind == "iqr" and spread[0] == spread[1]:
        return spread[1] / _IQR_WIDTH_IN_SD
    if kind == "iqr":
        return _width(spread) / _IQR_WIDTH_IN_SD if _is_symmetric(value, spread) else None
    if kind == "cv" and value is not None:
        return _from_cv(0.5 * (value[0] + value[1]), spread[1])
    return None


def _from_cv(value: float, cv: float) -> float | None:
    if 1 <= cv < 2:
        return None
    return abs(value) * (cv if cv < 1 else cv / 100)


def _width(ends: Bounds) -> float:
    return ends[1] - ends[0]


def _is_symmetric(value: Bounds | None, ends: Bounds) -> bool:
    if value is None:
        return False
    off_centre = 0.5 * (value[0] + value[1]) - 0.5 * (ends[0] + ends[1])
    return abs(off_centre) <= _SYMMETRY * _width(ends)
