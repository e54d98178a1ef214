"""The rules with their sources: which speak about a patient, which about one operation, and what they set aside.

A rule warns or blocks. It blocks only where no source that was read accepts the operation as it stands, or where the
harm would be grave and can be put right first; where sources disagree it warns and shows them side by side. A block
is overridden by a written reason under ``[plan.overrides]`` of the case file.
"""

from collections.abc import Iterable

from sinewright.case import CODES, Case
from sinewright.choose import rules_balance, rules_body, rules_cover, rules_health, rules_moving, rules_timing
from sinewright.choose.rule import OperationRule, PatientRule, Rule
from sinewright.results import COSTS, Caution, Costs, Fired
from sinewright.transfer.catalogue import Operation

PATIENT: tuple[PatientRule, ...] = (*rules_body.RULES, *rules_timing.RULES, *rules_health.RULES)
OPERATION: tuple[OperationRule, ...] = (*rules_moving.RULES, *rules_balance.RULES, *rules_cover.RULES)
ALL: tuple[Rule, ...] = (*PATIENT, *OPERATION)


def rules_of_patient(case: Case) -> tuple[Fired, ...]:
    """Rules that speak about the patient, whatever is moved; what stops first, dangers before the rest."""
    return _blocks_first(rule.fired(case) for rule in PATIENT)


def rules_of_operation(case: Case, moved: Operation) -> tuple[Fired, ...]:
    """Rules that speak about one operation on this patient; what stops first, dangers before the rest."""
    return _blocks_first(rule.fired(case, moved) for rule in OPERATION)


def blocked(fired: tuple[Fired, ...]) -> str | None:
    """The sentence of the first block without a written reason against it, None when nothing stops."""
    return next((each.text for each in fired if each.stops), None)


def costs_of(fired: tuple[Fired, ...]) -> Costs:
    """The most that the rules take from an operation, written reasons counted."""
    return max((each.takes for each in fired), key=COSTS.index, default="nothing")


def overridden(fired: tuple[Fired, ...]) -> str:
    """What was overridden and why, one sentence each; empty when nothing was."""
    return " ".join(f'{each.text} Overridden: "{each.override.strip()}".' for each in fired if each.override)


def idle_overrides(case: Case, fired: tuple[Fired, ...]) -> tuple[Caution, ...]:
    """A caution for each written reason whose rule did not speak."""
    spoken = {each.code for each in fired}
    written = [code for code in CODES if getattr(case.plan.overrides, code) and code not in spoken]
    return tuple(
        Caution(
            "override-not-needed",
            f"plan.overrides.{code} gives a reason, but that rule does not speak about this case.",
            "sinewright-judgement",
            "judged",
        )
        for code in written
    )


def _blocks_first(found: Iterable[Fired | None]) -> tuple[Fired, ...]:
    fired = [each for each in found if each is not None]
    return tuple(sorted(fired, key=lambda each: each.rank))
