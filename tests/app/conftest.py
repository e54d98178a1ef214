"""Stores, desks and browsers for the tests of the app."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from sinewright.store.place import Place
from sinewright.store.store import Store

from .app_browser import CHROMIUM, Served, browser


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    """An empty store."""
    with Store.open(Place("sqlite", "store.db", path=tmp_path / "store.db"), create=True) as opened:
        yield opened


@pytest.fixture(scope="module")
def chromium() -> Iterator[Any]:
    """One browser for the tests of a file; Debian's package chromium.

    It ends with the file: while it is open its event loop runs, and no test of pages without a browser could.
    """
    if not CHROMIUM.exists():
        pytest.skip("no browser: apt-get install chromium")
    with browser() as opened:
        yield opened


@pytest.fixture
def served(tmp_path: Path) -> Iterator[Served]:
    """A running app on an empty store."""
    app = Served(tmp_path / "store" / "store.db")
    app.start()
    try:
        yield app
    finally:
        app.stop()


@pytest.fixture
def quick(tmp_path: Path) -> Iterator[Served]:
    """A running app with few virtual legs."""
    app = Served(tmp_path / "store" / "store.db")
    app.start("--draws", "100")
    try:
        yield app
    finally:
        app.stop()
