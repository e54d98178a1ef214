"""What to measure next, and which doubts the lift of the leading choices hangs on."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass
from typing import Literal

from sinewright.results.brief import Brief
from sinewright.results.document import Computed
from sinewright.results.weighing import OperationSummary

LEAST_TOLD = 0.01  # shares under this are said as nothing
TELLS = 0.03  # share of the doubt about lift under which a measurement is said to tell nothing


@dataclass(frozen=True)
class Answered:
    """Value of one finding. Shares are of the legs, gains are in worth (0..1) and in chance of the first goal.

    ``changes``: how often an ideal value would change the leading choice for something better; ``changes_read`` the
    same for the instrument; ``gain``, ``gain_read``: expected gain in worth; ``chance``: expected rise of the chance to
    clear without a brace when the choice follows the instrument; ``narrows``: share of the doubt (variance) about the
    lift of the leading choice that the instrument takes away; ``rows``, ``field``, ``again``: see ``Question``.
    """

    title: str
    """what would be known"""
    how: str
    """how it is measured"""
    can_be_measured: bool
    """false for what no measurement tells before the operation"""
    changes: float
    """how often an errorless value would change the first choice [0..1]"""
    changes_read: float
    """how often the instrument's reading would [0..1]"""
    gain: float
    """expected gain in utility of an errorless value"""
    gain_read: float
    """expected gain in utility of the instrument's reading"""
    chance: float
    """expected rise of the chance to clear without a brace, with the instrument"""
    narrows: float
    """share of the variance of the first choice's lift that the reading takes away"""
    rows: tuple[str, ...] = ()
    """ids of the reference rows that give the error of the reading"""
    field: str = ""
    """where the answer goes in the case file; empty when the case has no place for it"""
    again: bool = False
    """true when it was measured and a second reading would help"""
    tells: bool = dataclasses.field(init=False, default=False)
    """false when it would not change the first choice and tells little of its lift"""
    sentence: str = dataclasses.field(init=False, default="")
    """all this in one sentence"""

    def __post_init__(self) -> None:
        object.__setattr__(self, "tells", self.moves_first or self.narrows >= TELLS)
        object.__setattr__(self, "sentence", self._sentence())

    @property
    def moves_first(self) -> bool:
        """Whether the measurement would change the first choice often enough to be said."""
        return self.changes_read >= LEAST_TOLD

    def _sentence(self) -> str:
        if not self.can_be_measured:
            knowing = f"would change the first choice in {100 * self.changes:.0f} of 100 legs like this one"
            told = knowing if self.changes >= LEAST_TOLD else "would not change the first choice"
            return f"{self.title} cannot be known beforehand; knowing it {told}."
        doubt = f"takes away {100 * self.narrows:.0f} % of the doubt about its lift"
        if not self.moves_first:
            rest = f" but {doubt}" if self.narrows >= TELLS else ""
            return f"{self.how} would not change the first choice{rest}.{self._place()}"
        rise = f" and raise the chance to clear by {100 * self.chance:.0f} in 100" if self.chance >= LEAST_TOLD else ""
        return (
            f"{self.how} would change the first choice in {100 * self.changes_read:.0f} of 100 legs like this one "
            f"(known without error: {100 * self.changes:.0f}){rise}.{self._place()}"
        )

    def _place(self) -> str:
        return "" if self.field or not self.tells else " The case has no place for it yet."


@dataclass(frozen=True)
class Effect:
    """Total effect of one doubt: share of the variance, with its standard error over the pairs."""

    doubt: str
    """what is uncertain, in words"""
    total: float
    """share of the variance of the lift that stays when all else is known"""
    error: float
    """standard error of that share"""


@dataclass(frozen=True)
class Leading:
    """One leading choice and the doubts its lift hangs on."""

    choice: OperationSummary
    """the operation as it is sewn"""
    effects: tuple[Effect, ...]
    """doubts that its lift hangs on, largest first"""


@dataclass(frozen=True, kw_only=True)
class Asked(Computed):
    """What to measure next, and which doubts move the lift of each leading choice most."""

    document: Literal["ask"] = "ask"
    """kind of the document"""
    effective_sample_size: float
    """of the proposed virtual legs under the examination"""
    questions: tuple[Answered, ...]
    """most useful measurement first; what cannot be known last"""
    leading: tuple[Leading, ...]
    """best choice first"""

    def brief(self) -> Brief:
        """Every measurement that tells something."""
        rows = tuple(
            (one.how, f"{100 * one.changes_read:.0f} in 100", f"{100 * one.narrows:.0f} %")
            for one in self.questions
            if one.tells and one.can_be_measured
        )
        heads = ("measurement", "would change the first choice", "takes away of the doubt about its lift")
        return Brief(self.title(), heads, rows)
