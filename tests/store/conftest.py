"""The same tests on both kinds of store: a file of its own, and a schema of its own on a local server."""

from __future__ import annotations

import os
import secrets
from collections.abc import Iterator
from pathlib import Path

import pytest

from sinewright.store.place import Place, find_place
from sinewright.store.store import Store

SERVER = os.environ.get("SINEWRIGHT_TEST_POSTGRES", "")
REQUIRED = os.environ.get("SINEWRIGHT_REQUIRE_POSTGRES") == "1"


def server_place() -> Place:
    """A schema that does not exist yet; skips, or fails when a server is required."""
    if not SERVER:
        if REQUIRED:
            pytest.fail("a PostgreSQL server is required, and SINEWRIGHT_TEST_POSTGRES names none")
        pytest.skip("no PostgreSQL server; .ci/with-postgres runs the tests with one")
    return find_place(f"{SERVER}?schema=test_{secrets.token_hex(6)}")


@pytest.fixture(params=["sqlite", "postgresql"])
def place(request: pytest.FixtureRequest, tmp_path: Path) -> Place:
    """Where a store may be made."""
    return server_place() if request.param == "postgresql" else find_place(str(tmp_path / "store.db"))


@pytest.fixture
def file_place(tmp_path: Path) -> Place:
    """Where a store may be made in a file."""
    return find_place(str(tmp_path / "store.db"))


@pytest.fixture
def store(place: Place) -> Iterator[Store]:
    """A new empty store."""
    with Store.open(place, create=True) as opened:
        yield opened
