"""Exchanging the file of a store for a proved one, so that no moment is without a store and no write is lost."""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path
from typing import Any

from sinewright.store.engine import open_file, translated
from sinewright.store.errors import StoreBusyError, StoreDamagedError
from sinewright.store.files import SIDECARS, sync
from sinewright.store.place import Place

WAIT_S = 5.0


def replace_file(temporary: Path, place: Place, passphrase: str | None, moment: str, only_at: str | None = None) -> str:
    """Moves `temporary` over the store's file and returns the name under which the old one is kept ("" if none).

    The old file is locked against everyone while it is exchanged; a damaged one, which cannot be locked, is
    kept together with its log. `only_at` replaces only if the chain still ends with that hash.
    Raises StoreBusyError when another program has it open or wrote to it.
    """
    sync(temporary)
    if not place.path.exists():
        os.replace(temporary, place.path)
        sync(place.path.parent)
        return ""
    kept = place.path.with_name(f"{place.path.name}.replaced-{moment}")
    held = _held_alone(place, passphrase)
    try:
        if only_at is not None:
            _refuse_moved_on(held, place, only_at)
        if held is None:
            _keep_damaged(place.path, kept)
        else:
            _keep(place.path, kept)
        os.replace(temporary, place.path)
        sync(place.path.parent)
    finally:
        if held is not None:
            held.close()
    return kept.name


def _held_alone(place: Place, passphrase: str | None) -> Any:
    """A connection that keeps everybody else out of the file, with its log folded in; None if it is damaged."""
    raw = None
    try:
        raw = open_file(place.path, passphrase, WAIT_S, log=False)
        raw.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()
        if raw.execute("PRAGMA journal_mode = DELETE").fetchone()[0] != "delete":
            raise StoreBusyError(place.shown, _OPEN, _CLOSE)
        raw.execute("BEGIN EXCLUSIVE")
    except Exception as problem:
        if raw is not None:
            raw.close()
        if isinstance(problem, StoreBusyError):
            raise
        told = translated(place.shown, str(problem))
        if isinstance(told, StoreBusyError):
            raise StoreBusyError(place.shown, _OPEN, _CLOSE) from None
        if isinstance(told, StoreDamagedError):
            return None
        raise told from None
    return raw


def _refuse_moved_on(held: Any, place: Place, head: str) -> None:
    if held is None or held.execute("SELECT hash FROM chain_head").fetchone()[0] != head:
        raise StoreBusyError(place.shown, "somebody wrote to the store meanwhile", "nothing was replaced; do it again")


_OPEN = "another program has the store open"
_CLOSE = "nothing was replaced; close the other program and restore again"


def _keep(path: Path, kept: Path) -> None:
    try:
        os.link(path, kept)
    except OSError:  # a file system without links
        os.rename(path, kept)


def _keep_damaged(path: Path, kept: Path) -> None:
    for tail in ("", *SIDECARS):
        with suppress(FileNotFoundError):
            os.rename(path.with_name(path.name + tail), kept.with_name(kept.name + tail))
