"""A moving bar on stderr, and a word before the first, slow run."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager

Progress = Callable[[int, int], None]


@contextmanager
def progress_bar(what: str) -> Iterator[Progress | None]:
    """A moving bar when a person watches stderr, else nothing but a word before the first, slow run."""
    from sinewright.compiled import prepared

    if not prepared():
        sys.stderr.write("sinewright: first run of this version: preparing the calculation takes about half a minute\n")
    if not sys.stderr.isatty():
        yield None
        return
    from rich.console import Console
    from rich.progress import Progress as Bar

    with Bar(console=Console(stderr=True), transient=True) as shown:
        task = shown.add_task(what, total=None)
        yield lambda done, total: shown.update(task, completed=done, total=total)
