"""Published claims held against the program."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from sinewright.results.weighing import Known

Agreement = Literal["reproduced", "within published spread", "outside", "cannot be checked"]


@dataclass(frozen=True)
class CheckResult:
    """One published claim held against the program, ready to print. `known` is that of the least known row."""

    id: str
    claim: str
    source_key: str
    citation: str
    setup: str
    expected_text: str
    found_text: str
    outcome: Agreement
    reason: str
    row_ids: tuple[str, ...]
    known: Known
