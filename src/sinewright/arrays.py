"""Array types by what they hold. Kernels read 32-bit whole numbers; numpy's own index arrays are 64-bit."""

from collections.abc import Mapping
from typing import TypeVar, cast

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int32]
Indices = NDArray[np.int64]
Bools = NDArray[np.bool_]

Shapes = Mapping[str, tuple[int | str, ...]]
Record = TypeVar("Record", bound=tuple[object, ...])


def checked(record: Record, shapes: Shapes) -> Record:
    """Hold a named tuple of arrays against its stated shapes, and lay it out in the one way that kernels are built for.

    A kernel is compiled again for every other layout (read-only, spaced out), so such arrays are copied here.

    Parameters
    ----------
    record : NamedTuple
        Arrays by name.
    shapes : mapping of str to tuple
        Length of every axis of every array: a number, or a letter that stands for the same length wherever it is used.

    Returns
    -------
    NamedTuple
        The same, every array contiguous and writable.

    Raises
    ------
    ValueError
        Naming the array, its shape and the one expected.
    """
    lengths: dict[str, int] = {}
    ready = {}
    for name, expected in shapes.items():
        array = getattr(record, name)
        wanted = tuple(lengths.get(axis, axis) if isinstance(axis, str) else axis for axis in expected)
        fits = array.ndim == len(wanted)
        fits = fits and all(isinstance(w, str) or w == n for w, n in zip(wanted, array.shape, strict=True))
        if not fits:
            shown = ", ".join(str(w) for w in wanted)
            raise ValueError(f"{type(record).__name__}.{name} has the shape {array.shape}, expected ({shown})")
        lengths |= {axis: n for axis, n in zip(expected, array.shape, strict=True) if isinstance(axis, str)}
        ready[name] = np.require(array, requirements=("C", "W"))
    return cast(Record, record._replace(**ready))  # type: ignore[attr-defined]


def symmetric_root(covariance: Floats) -> Floats:
    """The symmetric square root of a covariance, which may be singular.

    A covariance has many roots, but one that is symmetric and not negative. An eigenvector may point either way, and
    those of equal eigenvalues any way, as the processor's library pleases: a root made of them alone would draw other
    legs from the same seed on another machine.

    Parameters
    ----------
    covariance : (n, n) symmetric, no eigenvalue below zero save by rounding

    Returns
    -------
    (n, n) symmetric S with S S = covariance

    >>> symmetric_root(np.array([[4.0, 0.0], [0.0, 9.0]])).tolist()
    [[2.0, 0.0], [0.0, 3.0]]
    """
    values, vectors = np.linalg.eigh(covariance)
    out: Floats = (vectors * np.sqrt(np.maximum(values, 0.0))) @ vectors.T
    return out
