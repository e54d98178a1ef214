"""One way to compile a scalar function: cached on disk, sums not reordered, interpreter lock released.

The compiler's own disk cache looks at the file of a function alone: after a change in a file that it calls, old machine
code would be used in silence. So the cache lies in a folder named after the content of every file that holds compiled
functions; an update of the package never meets old code.
"""

import os
from collections.abc import Callable
from hashlib import sha256
from pathlib import Path
from typing import Any, TypeVar, cast

import numba
from numba import njit
from numba.core import config

Function = TypeVar("Function", bound=Callable[..., Any])
ROOMS = ("anatomy", "muscle", "transfer", "solve")


def cache_folder() -> Path:
    """The folder of this version's machine code, in the user's cache folder (XDG_CACHE_HOME, else ~/.cache)."""
    here = Path(__file__).parent
    digest = sha256(numba.__version__.encode())
    for path in (
        Path(__file__),
        here / "units.py",
        *(file for room in ROOMS for file in sorted((here / room).glob("*.py"))),
    ):
        digest.update(path.read_bytes())
    home = os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache"
    return Path(home) / "sinewright" / f"kernels-{digest.hexdigest()[:16]}"


def prepared() -> bool:
    """Whether this version's machine code lies ready; if not, the first answer waits for the compiler."""
    folder = Path(str(getattr(config, "CACHE_DIR", "")) or cache_folder())
    return folder.is_dir() and any(folder.iterdir())


if not getattr(config, "CACHE_DIR", ""):
    setattr(config, "CACHE_DIR", str(cache_folder()))  # noqa: B010  (the module declares no such name to a type checker)


def compiled(function: Function) -> Function:
    """Compile a function of numbers and of arrays handed to it; division by zero gives inf, not an exception.

    It may make no array of its own, not even by ``a[:] = b``; the compiler says so. In return no references are
    counted: every row passed on would cost two locked additions, half of the time of a swing (``benchmarks/weigh.py``).
    Working space is made by the Python function at the border, once for many legs.
    """
    compile_ = cast(Any, njit)  # its declared options leave out the counting of references
    made = compile_(cache=True, fastmath=False, nogil=True, error_model="numpy", _nrt=False)(function)
    return cast(Function, made)
