"""A small folder of rows that a test may spoil."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from sinewright.reference import Reference
from sinewright.reference.rows import COLUMNS

ROW = {
    "id": "a-1",
    "quantity": "moment-arm",
    "structure": "achilles",
    "value": "-48",
    "unit": "mm",
    "source": "paper2001",
    "known": "read",
    "use": "fit",
}
SOURCES = """
[paper2001]
authors = "A"
year = 2001
verified = true

[paper2020]
authors = "B"
year = 2020
verified = true

[unkept]
title = "Tendons (citation not kept)"
"""

Build = Callable[..., Reference]


@pytest.fixture
def build(tmp_path: Path) -> Build:
    """``build({...}, {...}, choices="...")``: a Reference of rows that differ from ROW as given."""

    def make(*rows: dict[str, str], choices: str = "") -> Reference:
        lines = [",".join(COLUMNS)]
        lines += [",".join((ROW | row).get(column, "") for column in COLUMNS) for row in rows]
        (tmp_path / "arms.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
        (tmp_path / "sources.toml").write_text(SOURCES, encoding="utf-8")
        if choices:
            (tmp_path / "choices.csv").write_text(choices, encoding="utf-8")
        return Reference(tmp_path)

    return make
