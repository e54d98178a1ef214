"""What the first bytes of a SQLite file tell before it is opened as a database."""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path

from sinewright.errors import InputError
from sinewright.store.errors import NewerStoreError, StoreDamagedError
from sinewright.store.schema import APPLICATION_ID, SCHEMA

MAGIC = b"SQLite format 3\x00"
_RESTORE = "keep the file as it is and restore the last backup"


@dataclass(frozen=True)
class FileHead:
    """What the first hundred bytes of a file tell without opening it as a database."""

    plain: bool
    size: int
    expected_size: int
    schema: int
    application: int


def head_of(path: Path) -> FileHead:
    """The head of a file; fields are 0 unless it is a plain SQLite file."""
    with path.open("rb") as stream:
        start = stream.read(100)
        size = stream.seek(0, os.SEEK_END)
    if len(start) < 100 or not start.startswith(MAGIC):
        return FileHead(False, size, 0, 0, 0)

    def number(at: int, length: int = 4) -> int:
        return int.from_bytes(start[at : at + length], "big")

    page = number(16, 2)
    page = 65536 if page == 1 else page
    return FileHead(True, size, page * number(28), number(60), number(68))


def refuse_bad_head(path: Path, encrypted: bool) -> None:
    """Raises when the first bytes already show a cut, foreign or newer file. Reads only."""
    head = head_of(path)
    if head.size < 512:
        raise StoreDamagedError(path.name, f"the file is cut short ({head.size} bytes)", _RESTORE)
    if encrypted and head.plain:
        advice = "run sinewright store encrypt, or take the passphrase away"
        raise InputError("passphrase", "one", "none: this store is not encrypted", advice)
    if not encrypted and not head.plain:
        problem = "the file is encrypted, or it is not a store"
        raise StoreDamagedError(path.name, problem, "give its passphrase, or name another file")
    waiting = path.with_name(path.name + "-wal")
    if not head.plain or (waiting.exists() and waiting.stat().st_size > 0):
        return
    if head.application != APPLICATION_ID:
        raise StoreDamagedError(path.name, "this is a database of another program", "name another file")
    if head.schema > SCHEMA:
        problem = f"written by a later Sinewright (schema {head.schema}, this program knows up to {SCHEMA})"
        raise NewerStoreError(path.name, problem, "nothing was touched; install the later version")
    if head.size < head.expected_size:
        problem = f"the file is cut short ({head.size} of {head.expected_size} bytes)"
        raise StoreDamagedError(path.name, problem, _RESTORE)


def is_encrypted(path: Path) -> bool:
    """True for a file that exists and does not begin like a plain SQLite file."""
    try:
        head = head_of(path)
    except OSError:
        return False
    return head.size >= 512 and not head.plain
