"""Published claims held against the program."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import Literal, get_args

from sinewright.results.brief import Brief
from sinewright.results.document import Document
from sinewright.results.weighing import Known

Agreement = Literal["reproduced", "within published spread", "outside", "cannot be checked"]


@dataclass(frozen=True)
class CheckResult:
    """One published claim held against the program, ready to print. `known` is that of the least known row."""

    id: str
    """name of the check"""
    claim: str
    """what was published"""
    source_key: str
    """key of the source"""
    citation: str
    """the source"""
    setup: str
    """how the program was set up"""
    expected_text: str
    """what was published, in words"""
    found_text: str
    """what the program gives, in words"""
    outcome: Agreement
    """how the claim stands"""
    reason: str
    """why it lies outside or cannot be checked"""
    row_ids: tuple[str, ...]
    """ids of the reference rows it is held against"""
    known: Known
    """how the least known row is known"""

    def __post_init__(self) -> None:
        if self.outcome not in get_args(Agreement):
            raise ValueError(f"CheckResult.outcome is {self.outcome!r}, allowed: {', '.join(get_args(Agreement))}")


@dataclass(frozen=True, kw_only=True)
class EvidenceDocument(Document):
    """Every published claim that is held against the program; about no person."""

    document: Literal["evidence"] = "evidence"
    """kind of the document"""
    invented: None = None
    """null: about no person"""
    side: None = None
    """null: about no person"""
    checks: tuple[CheckResult, ...]
    """the claims in the order of the report"""

    def brief(self) -> Brief:
        """How many claims stand how, and those outside."""
        counts = Counter(check.outcome for check in self.checks)
        told = "; ".join(f"{outcome}: {count}" for outcome, count in counts.most_common())
        outside = [check for check in self.checks if check.outcome == "outside"]
        rows = tuple((check.claim, check.expected_text, check.found_text) for check in outside)
        return Brief(self.title(), ("outside: claim", "published", "this program"), rows, (told,))
