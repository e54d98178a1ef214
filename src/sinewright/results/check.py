"""What a case file holds: its entries, what is odd, which rules speak, what is worth measuring."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Literal

from sinewright.results.answer import Danger
from sinewright.results.brief import Brief
from sinewright.results.document import CaseDocument
from sinewright.results.weighing import Caution, Fired, Known, View, views_by_code


@dataclass(frozen=True)
class CaseEntry:
    """One filled entry of a case file."""

    path: str
    """dotted path of the entry in the case file"""
    value: bool | int | float | str | date | tuple[str, ...]
    """what stands there, in the unit beside it"""
    unit: str
    """unit of the value; empty for a word"""
    known: str
    """how it is known: measured, estimated or assumed; empty for a decision or a word"""
    text: str
    """the whole for print"""
    on: date | None = None
    """date of the finding; null: not given"""
    by: str = ""
    """role of who found it; empty: not given"""


@dataclass(frozen=True)
class ExaminationLine:
    """One step of the examination as a colleague would say it."""

    topic: str
    """step of the examination, such as donors or hindfoot"""
    text: str
    """what it found, one sentence; angles with their direction in words"""


@dataclass(frozen=True)
class Missing:
    """One finding worth making."""

    field: str
    """where it goes in the case file"""
    why: str
    """what it would tell"""
    source: str
    """source of the reason"""
    known: Known
    """how the reason is known"""


@dataclass(frozen=True)
class Spoken:
    """A rule and for how many operations it spoke."""

    rule: Fired
    """the rule"""
    operations: int
    """operations of which it was said"""


@dataclass(frozen=True, kw_only=True)
class Checked(CaseDocument):
    """What a case holds. Nothing is predicted."""

    document: Literal["check"] = "check"
    """kind of the document"""
    dangers: tuple[Danger, ...]
    """dangers of the patient, whatever is moved, those that stop an operation first"""
    needed_first: tuple[str, ...]
    """what an empty case needs before it is weighed, in words; empty where a muscle was examined"""
    examination: tuple[ExaminationLine, ...]
    """the examination in words, in the order in which it is done"""
    entries: tuple[CaseEntry, ...]
    """every filled entry, in the order of the file"""
    warnings: tuple[Caution, ...]
    """entries that contradict each other or are odd"""
    rules: tuple[Fired, ...]
    """rules that spoke about the patient, whatever is moved"""
    operation_rules: tuple[Spoken, ...]
    """rules that spoke about operations which the case itself does not set aside, blocks first"""
    rule_views: Mapping[str, tuple[View, ...]] = field(init=False, default_factory=dict)
    """what sources say, by the code of each rule"""
    missing: tuple[Missing, ...]
    """what is worth measuring, the most useful first"""

    def __post_init__(self) -> None:
        super().__post_init__()
        every = (*self.rules, *(spoken.rule for spoken in self.operation_rules))
        object.__setattr__(self, "rule_views", views_by_code(every))

    def brief(self) -> Brief:
        """Warnings and what is worth measuring; the entries are counted."""
        rows = (
            *(("warning", warning.text) for warning in self.warnings),
            *((f"rule, {rule.kind}", rule.text) for rule in self.rules),
            *(("worth measuring", f"{one.field}: {one.why}") for one in self.missing),
        )
        return Brief(self.title(), ("what", ""), rows, (f"{len(self.entries)} entries are filled.",))
