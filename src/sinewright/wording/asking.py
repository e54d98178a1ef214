"""What to measure next, and what the lift of the leading choices hangs on, in sentences."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

from sinewright.wording.counts import percent

FURTHER = 2  # doubts named after the first
NOTHING = "No measurement asked about here would change the first choice: measuring more would only narrow the doubt."
DULL = "Asked about too, but would not change the first choice and would tell little of its lift"


class Measurement(Protocol):
    """What is needed of one answered question of `sinewright.choose.asking`."""

    @property
    def title(self) -> str: ...
    @property
    def can_be_measured(self) -> bool: ...
    @property
    def tells(self) -> bool: ...
    @property
    def moves_first(self) -> bool: ...
    @property
    def sentence(self) -> str: ...


class Doubt(Protocol):
    """What is needed of one effect of `sinewright.doubt.sensitivity`."""

    @property
    def doubt(self) -> str: ...
    @property
    def total(self) -> float: ...
    @property
    def error(self) -> float: ...


def worth_asking(questions: Sequence[Measurement]) -> list[str]:
    """A sentence for each measurement that tells something, the most useful first."""
    return [each.sentence for each in questions if each.can_be_measured and each.tells]


def beside_asking(questions: Sequence[Measurement]) -> list[str]:
    """What tells little, in one sentence, and that nothing would change the first choice where that is so."""
    can = [each for each in questions if each.can_be_measured]
    dull = "; ".join(f"{each.title[0].lower()}{each.title[1:]}" for each in can if not each.tells)
    told = [f"{DULL}: {dull}."] if dull else []
    return told if any(each.moves_first for each in can) else [*told, NOTHING]


def hangs_on(effects: Sequence[Doubt]) -> str:
    """One sentence: the doubt that moves the lift most with its share and error, then the next ones."""
    if not effects:
        return "nothing drawn here moves its lift."
    first, *others = effects
    told = (
        f"its lift hangs most on {first.doubt}, {percent(first.total):.0f} % of the doubt "
        f"(standard error {percent(first.error):.0f})"
    )
    further = [f"{each.doubt} {percent(each.total):.0f} % ({percent(each.error):.0f})" for each in others[:FURTHER]]
    return f"{told}; then {', '.join(further)}." if further else f"{told}."
