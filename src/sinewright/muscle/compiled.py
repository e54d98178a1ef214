"""One way to compile a scalar function: cached on disk, sums not reordered, interpreter lock released."""

from collections.abc import Callable
from typing import Any, TypeVar, cast

from numba import njit

Function = TypeVar("Function", bound=Callable[..., Any])


def compiled(function: Function) -> Function:
    """Compile a function of numbers; division by zero gives inf, not an exception.

    The disk cache of a caller does not notice a change in a function it calls from another file: after
    editing `curves.py`, touch `equilibrium.py` (or delete ``__pycache__``).
    """
    compile_ = njit(cache=True, fastmath=False, nogil=True, error_model="numpy")
    return cast(Function, compile_(function))
