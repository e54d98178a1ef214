"""What to measure next as a JSON document: docs/ask.schema.json is made from the models below."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

from pydantic import Field

from sinewright.cli.document import Part, Rounded, json_text, rounded, schema_text
from sinewright.results import Side

if TYPE_CHECKING:
    from sinewright.results import Answered, Asked


class QuestionPart(Part):
    """One finding and what knowing it is worth; shares are of the virtual legs, from 0 to 1."""

    title: str
    how: str
    sentence: str
    can_be_measured: bool
    changes: Rounded = Field(description="how often an errorless value would change the first choice")
    changes_read: Rounded = Field(description="how often the instrument's reading would")
    gain: Rounded = Field(description="expected gain in worth of an errorless value")
    gain_read: Rounded = Field(description="expected gain in worth of the instrument's reading")
    chance: Rounded = Field(description="expected rise of the chance to clear without a brace, with the instrument")
    narrows: Rounded = Field(description="share of the variance of the first choice's lift that the reading takes away")
    tells: bool = Field(description="false when it would not change the first choice and tells little of its lift")
    field: str = Field(description="where the answer goes in the case file; empty when the case has no place for it")
    again: bool = Field(description="true when it was measured and a second reading would help")
    rows: tuple[str, ...] = Field(description="ids of the reference rows that give the error of the reading")


class DoubtPart(Part):
    """Total effect of one doubt on the lift: share of the variance, and its standard error."""

    doubt: str
    total: Rounded
    error: Rounded


class LeadingPart(Part):
    """One leading choice and the doubts its lift hangs on, largest first."""

    id: str
    title: str
    subtitle: str
    doubts: tuple[DoubtPart, ...]


class AskDocument(Part):
    """What `sinewright ask` found: a calculation to think with, not a medical device."""

    version: str
    seed: int
    draws: int
    side: Side
    pseudonym: str
    effective_sample_size: Rounded = Field(description="effective number of proposed virtual legs that agree")
    questions: tuple[QuestionPart, ...] = Field(description="most useful measurement first; what cannot be known last")
    leading: tuple[LeadingPart, ...] = Field(description="best worth first")


def ask_text(asked: Asked, version: str, seed: int, draws: int, side: Side, pseudonym: str) -> str:
    """The JSON document of what to measure next, ending in a newline."""
    document = AskDocument(
        version=version,
        seed=seed,
        draws=draws,
        side=side,
        pseudonym=pseudonym,
        effective_sample_size=rounded(asked.effective_sample_size),
        questions=tuple(_question(each) for each in asked.questions),
        leading=tuple(
            LeadingPart(
                id=choice.id,
                title=choice.title,
                subtitle=choice.subtitle,
                doubts=tuple(DoubtPart(doubt=e.doubt, total=rounded(e.total), error=rounded(e.error)) for e in effects),
            )
            for choice, effects in asked.fragile
        ),
    )
    return json_text(document.model_dump(mode="json"))


def _question(found: Answered) -> QuestionPart:
    return QuestionPart(
        title=found.title,
        how=found.how,
        sentence=found.sentence(),
        can_be_measured=found.can_be_measured,
        changes=rounded(found.changes),
        changes_read=rounded(found.changes_read),
        gain=rounded(found.gain),
        gain_read=rounded(found.gain_read),
        chance=rounded(found.chance),
        narrows=rounded(found.narrows),
        tells=found.tells,
        field=found.field,
        again=found.again,
        rows=found.rows,
    )


if __name__ == "__main__":
    target = Path(sys.argv[1] if len(sys.argv) > 1 else "docs/ask.schema.json")
    target.write_text(schema_text(AskDocument), encoding="utf-8")
