"""Files that appear whole or not at all, for their owner only, and never over the case they were made from."""

from __future__ import annotations

import contextlib
import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from sinewright.errors import InputError

SIDECARS = ("-wal", "-shm", "-journal")


@contextmanager
def beside(target: Path) -> Iterator[Path]:
    """A new empty file for its owner only in the folder of `target`; gone again unless it was moved, with
    what SQLite lays beside it."""
    handle, name = tempfile.mkstemp(dir=target.parent, prefix=f".{target.name}.", suffix=".part")
    os.close(handle)
    try:
        yield Path(name)
    finally:
        for each in (name, *(name + tail for tail in SIDECARS)):
            with contextlib.suppress(FileNotFoundError):
                os.unlink(each)


def publish(temporary: Path, target: Path) -> None:
    """Gives a finished file its name, forced to the disk. Raises FileExistsError rather than replace."""
    sync(temporary)
    try:
        os.link(temporary, target)
    except FileExistsError:
        raise
    except OSError:  # a file system without links, for instance a memory stick
        if target.exists():
            raise FileExistsError(target.name) from None
        os.rename(temporary, target)
    sync(target.parent)


def sync(path: Path) -> None:
    """Forces a file or a folder to the disk."""
    if os.name == "nt" and path.is_dir():
        return  # there a folder cannot be opened, and needs not be
    handle = os.open(path, os.O_RDONLY if path.is_dir() else os.O_RDWR)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def refuse_existing(target: Path, field: str) -> None:
    """Raises InputError when something called `target` exists, or when its folder does not."""
    if target.exists() or target.is_symlink():
        raise InputError(field, target.name, "a name that is not taken", "choose another; nothing is replaced")
    if not target.parent.is_dir():
        raise InputError(field, target.name, "a file in a folder that exists", "make the folder first")


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
        with beside(path) as new:
            new.write_bytes(content.encode("utf-8") if isinstance(content, str) else content)
            sync(new)
            os.replace(new, path)
    except OSError as problem:
        raise _refused(path, problem, option) from problem


def _refused(path: Path, problem: OSError, option: str) -> InputError:
    why = (problem.strerror or str(problem)).lower()
    return InputError(option, path, f"a file that can be written ({why})", "choose another folder or make room")
