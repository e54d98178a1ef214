"""What a rule is: a code, what it looks for, the facts behind it, and a question whose answer is the sentence."""

from collections.abc import Callable
from dataclasses import dataclass

from sinewright.case import Case
from sinewright.choose.fact import Fact
from sinewright.results import Fired, Kind
from sinewright.transfer.catalogue import Operation


@dataclass(frozen=True)
class PatientRule:
    """A rule about the patient, whatever is moved. ``finds`` gives one sentence with the finding, or None."""

    code: str
    kind: Kind
    about: str
    facts: tuple[Fact, ...]
    finds: Callable[[Case], str | None]

    def fired(self, case: Case) -> Fired | None:
        """The rule as it speaks about this case, None when it is silent."""
        return _fired(self.code, self.kind, self.facts, self.finds(case), case)


@dataclass(frozen=True)
class OperationRule:
    """A rule about one operation on this patient. ``finds`` gives one sentence with the finding, or None."""

    code: str
    kind: Kind
    about: str
    facts: tuple[Fact, ...]
    finds: Callable[[Case, Operation], str | None]

    def fired(self, case: Case, moved: Operation) -> Fired | None:
        """The rule as it speaks about this operation, None when it is silent."""
        return _fired(self.code, self.kind, self.facts, self.finds(case, moved), case)


Rule = PatientRule | OperationRule


def _fired(code: str, kind: Kind, facts: tuple[Fact, ...], text: str | None, case: Case) -> Fired | None:
    if text is None:
        return None
    override = getattr(case.plan.overrides, code) if kind == "block" else None
    return Fired(code, kind, text, tuple(fact.view() for fact in facts), override or "")
