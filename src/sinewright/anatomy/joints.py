"""Directions of the two oblique hinges from the angles anatomists print.

Right foot, x forward, y up, z to the right. Right-hand turns are positive: dorsiflexion about the ankle axis,
inversion about the subtalar axis. Angles in radians; arrays of any one shape go in, (..., 3) comes out.
"""

import numpy as np
from numpy.typing import ArrayLike

from sinewright.arrays import Floats


def ankle_axis(frontal: ArrayLike, transverse: ArrayLike) -> Floats:
    """Unit vector of the ankle axis, pointing out to the lateral side.

    Args:
        frontal: angle to the long axis of the shank seen from in front, lateral end lower [rad].
        transverse: angle to the long axis of the foot seen from above, lateral end further back [rad].

    Source: Inman 1976, Isman and Inman 1969 (rows ax-talocrural-*).

    >>> ankle_axis(np.radians(82.7), np.radians(84.0)).round(4).tolist()
    [-0.1037, -0.1264, 0.9865]
    """
    x, y = -1.0 / np.tan(np.asarray(transverse)), -1.0 / np.tan(np.asarray(frontal))
    return _unit(np.stack(np.broadcast_arrays(x, y, np.ones_like(x + y)), axis=-1))


def subtalar_axis(inclination: ArrayLike, deviation: ArrayLike) -> Floats:
    """Unit vector of the subtalar axis, pointing forward, up and to the inner side.

    Args:
        inclination: rise above the sole, forward [rad].
        deviation: turn from the long axis of the foot towards the inner side [rad].

    Source: Inman as quoted by Krahenbuhl 2017, Manter 1941 (rows ax-subtalar-*).

    >>> subtalar_axis(np.radians(42.0), np.radians(23.0)).round(4).tolist()
    [0.6841, 0.6691, -0.2904]
    """
    up, inward = np.asarray(inclination), np.asarray(deviation)
    parts = (np.cos(up) * np.cos(inward), np.sin(up), -np.cos(up) * np.sin(inward))
    return np.stack(np.broadcast_arrays(*parts), axis=-1)


def _unit(v: Floats) -> Floats:
    out: Floats = v / np.linalg.norm(v, axis=-1, keepdims=True)
    return out
