"""A file is written whole or not at all, and never over the case it was made from."""

from __future__ import annotations

import contextlib
import os
import tempfile
from pathlib import Path

from sinewright.errors import InputError


def check_target(path: Path, keep: Path | None = None, option: str = "--json") -> Path:
    """The file that may be written at `path`, links followed. Raises InputError; call it first of all.

    `keep` is the case file, which is refused under any of its names.
    """
    target = path.resolve()
    if target.is_dir():
        raise InputError(option, f"the folder {path}", "the name of a file", "add a file name to it")
    if not target.parent.is_dir():
        raise InputError(option, path, "a file in a folder that exists", f"make the folder {path.parent} first")
    if keep is not None and _same(target, keep):
        raise InputError(option, path, "any file but the case itself", "choose another name; the case is kept as it is")
    return target


def _same(one: Path, other: Path) -> bool:
    return one == other.resolve() or (one.exists() and other.exists() and os.path.samefile(one, other))


def write_whole(path: Path, content: str | bytes, option: str = "--json") -> None:
    """Writes `content` (text as UTF-8) to a new file beside `path`, for its owner only, then renames it over `path`.

    Raises InputError when the folder does not allow it; whatever goes wrong, no half-written file stays.
    """
    try:
        handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.", suffix=".part")
    except OSError as problem:
        raise _refused(path, problem, option) from problem
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(content.encode("utf-8") if isinstance(content, str) else content)
            stream.flush()
            os.fsync(stream.fileno())
        os.replace(name, path)
    except BaseException as problem:
        with contextlib.suppress(OSError):
            os.unlink(name)
        if isinstance(problem, OSError):
            raise _refused(path, problem, option) from problem
        raise


def _refused(path: Path, problem: OSError, option: str) -> InputError:
    why = (problem.strerror or str(problem)).lower()
    return InputError(option, path, f"a file that can be written ({why})", "choose another folder or make room")
