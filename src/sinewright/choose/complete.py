"""Joins what the rules say, the other ways and the stance balance to a weighing."""

from dataclasses import replace

from sinewright.case import Case
from sinewright.choose.answer import with_answer
from sinewright.choose.openings import openings
from sinewright.choose.options import options
from sinewright.choose.rules import idle_overrides, overridden, rules_of_operation, rules_of_patient
from sinewright.choose.stance import balance, subtalar_capacity
from sinewright.choose.turning import turning
from sinewright.doubt.virtual import Virtual
from sinewright.results import Fired, Outcome, Weighing
from sinewright.transfer.catalogue import catalogue


def complete(case: Case, virtual: Virtual | None, weighing: Weighing) -> Weighing:
    """The weighing with its rules, options, openings and balances; ``virtual`` holds the legs it was computed on, None
    where no number could be given.

    A rule that was overridden stays in the outcome, and its reason is said beside the outcome's own.
    """
    patient = rules_of_patient(case)
    spoken = {moved.id: rules_of_operation(case, moved) for moved in catalogue()}
    taken = {moved.id: moved.taken for moved in catalogue()}
    moments = subtalar_capacity(virtual.legs, weighing.tendon == "elastic") if virtual is not None else None
    outcomes = []
    for outcome in weighing.outcomes:
        rules = (*spoken.get(outcome.choice.id, ()), *turning(case, outcome))
        gone = taken.get(outcome.choice.id)
        left = None
        if virtual is not None and moments is not None and gone and outcome.quantities:
            left = balance(moments, virtual.legs.capacity, gone, virtual.sample)
        outcomes.append(replace(outcome, reason=_with_overrides(outcome, rules), rules=rules, balance=left))
    every = (*patient, *(rule for one in outcomes for rule in one.rules))
    done = replace(
        weighing,
        warnings=(*weighing.warnings, *idle_overrides(case, every)),
        outcomes=tuple(outcomes),
        rules=patient,
        options=options(case, None if weighing.refused else any(one.status != "set aside" for one in outcomes)),
        openings=openings(case, patient, spoken, catalogue()),
    )
    return with_answer(done)


def _with_overrides(outcome: Outcome, rules: tuple[Fired, ...]) -> str:
    told = overridden(rules) if outcome.status != "set aside" else ""
    return " ".join(part for part in (outcome.reason, told) if part)
