"""What a rule is: a code, what it looks for, the facts behind it, and a question whose answer is the sentence."""

from collections.abc import Callable
from dataclasses import dataclass

from sinewright.case import Case
from sinewright.choose.fact import Fact
from sinewright.results import Costs, Fired, Kind, Severity
from sinewright.transfer.catalogue import Operation


@dataclass(frozen=True)
class PatientRule:
    """A rule about the patient, whatever is moved. ``finds`` gives one sentence with the finding, or None.

    ``severity`` and ``opens``: see ``results.Fired``. What stops is a danger.
    """

    code: str
    kind: Kind
    about: str
    facts: tuple[Fact, ...]
    finds: Callable[[Case], str | None]
    severity: Severity = "caution"
    opens: str = ""

    @property
    def costs(self) -> Costs:
        """A rule about the patient holds for every operation alike, so that it moves none."""
        return "nothing"

    def fired(self, case: Case) -> Fired | None:
        """The rule as it speaks about this case, None when it is silent."""
        return _fired(self, self.finds(case), case)


@dataclass(frozen=True)
class OperationRule:
    """A rule about one operation on this patient. ``finds`` gives one sentence with the finding, or None.

    ``severity``, ``costs`` and ``opens``: see ``results.Fired``.
    """

    code: str
    kind: Kind
    about: str
    facts: tuple[Fact, ...]
    finds: Callable[[Case, Operation], str | None]
    severity: Severity = "caution"
    costs: Costs = "nothing"
    opens: str = ""

    def fired(self, case: Case, moved: Operation) -> Fired | None:
        """The rule as it speaks about this operation, None when it is silent."""
        return _fired(self, self.finds(case, moved), case)


Rule = PatientRule | OperationRule


def can_be_overridden(rule: Rule) -> bool:
    """Whether a written reason changes anything: for what stops, and for what costs an operation its place."""
    return rule.kind == "block" or rule.costs != "nothing"


def _fired(rule: Rule, text: str | None, case: Case) -> Fired | None:
    if text is None:
        return None
    override = getattr(case.plan.overrides, rule.code) if can_be_overridden(rule) else None
    severity: Severity = "danger" if rule.kind == "block" else rule.severity
    views = tuple(fact.view() for fact in rule.facts)
    return Fired(
        rule.code, rule.kind, text, views, override or "", severity=severity, costs=rule.costs, opens=rule.opens
    )
