"""What to measure next, and which doubts the lift of the leading choices hangs on."""

from __future__ import annotations

from dataclasses import dataclass

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
    how: str
    can_be_measured: bool
    changes: float
    changes_read: float
    gain: float
    gain_read: float
    chance: float
    narrows: float
    rows: tuple[str, ...] = ()
    field: str = ""
    again: bool = False

    @property
    def tells(self) -> bool:
        """Whether the instrument would change the first choice, or take away doubt worth naming."""
        return self.moves_first or self.narrows >= TELLS

    @property
    def moves_first(self) -> bool:
        """Whether the measurement would change the first choice often enough to be said."""
        return self.changes_read >= LEAST_TOLD

    def sentence(self) -> str:
        """One sentence for the surgeon."""
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
    total: float
    error: float


@dataclass(frozen=True)
class Asked:
    """What to measure next, and which doubts move the lift of each leading choice (best first) most.

    ``effective_sample_size``: how many of the proposed legs agree with the examination.
    """

    questions: tuple[Answered, ...]
    fragile: tuple[tuple[OperationSummary, tuple[Effect, ...]], ...]
    effective_sample_size: float
