"""The only place where degrees meet radians and millimetres meet metres.

Inside the package every quantity is SI with angles in radians. A name that ends in ``_deg`` or ``_mm``
stands at a border; one of these four functions is called exactly there. Each takes a float or an array and
returns the same shape.
"""

from __future__ import annotations

from math import pi
from typing import TYPE_CHECKING, TypeVar

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

Real = TypeVar("Real", float, "NDArray[np.float64]")

GRAVITY = 9.80665  # m/s2, standard gravity: exact, 3rd General Conference on Weights and Measures, 1901
_RAD_PER_DEG = pi / 180.0
_MM_PER_M = 1000.0


def rad(deg: Real) -> Real:
    """Angle in radians from an angle in degrees. ``rad(180.0) == pi``."""
    return deg * _RAD_PER_DEG


def deg(rad: Real) -> Real:
    """Angle in degrees from an angle in radians. ``deg(pi) == 180.0``."""
    return rad / _RAD_PER_DEG


def m(mm: Real) -> Real:
    """Length in metres from a length in millimetres. ``m(5.0) == 0.005``."""
    return mm / _MM_PER_M


def mm(m: Real) -> Real:
    """Length in millimetres from a length in metres. ``mm(0.005) == 5.0``."""
    return m * _MM_PER_M
