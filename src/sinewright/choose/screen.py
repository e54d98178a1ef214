"""What is set aside before anything is computed, each with its reason. Nothing is dropped silently.

First what cannot be done or is not wanted, then what a rule blocks (``choose.rules``): only a block can be overridden.
"""

from sinewright.case import Case, state_of
from sinewright.choose.rules import blocked, rules_of_operation, rules_of_patient
from sinewright.transfer.catalogue import Operation, RoutedDonor

GONE = ("paralysed", "absent")


def reason_against(case: Case, moved: Operation) -> str | None:
    """Why this operation is set aside for this patient, in one sentence; None when it is weighed."""
    rules = (*rules_of_patient(case), *rules_of_operation(case, moved))
    return reason_without_rules(case, moved) or blocked(rules)


def reason_without_rules(case: Case, moved: Operation) -> str | None:
    """Why this operation cannot be done or is not wanted, whatever the rules say."""
    for part in moved.parts:
        for found in (_donor(case, part), _wish(case, part), _recipient(case, part)):
            if found:
                return found
    return _tendons_used(case, moved)


def _donor(case: Case, part: RoutedDonor) -> str | None:
    state = state_of(getattr(case.muscles, part.donor.muscle))
    if state in GONE:
        return f"{part.donor.title} is {state}: it cannot pull."
    return None


def _wish(case: Case, part: RoutedDonor) -> str | None:
    plan = case.plan
    if plan.only_donors and part.donor.muscle not in plan.only_donors:
        return f"{part.donor.title} is not among the donors to weigh (plan.only_donors)."
    if part.donor.muscle in plan.exclude_donors:
        return f"{part.donor.title} is not to be weighed (plan.exclude_donors)."
    way = plan.retinaculum
    under = part.route.name.endswith("_under") or part.recipient.joined_above
    if way == "under" and not under:
        return "The plan asks for a run under the retinaculum."
    if way == "over" and under:
        return "The plan asks for a run over the retinaculum."
    return None


def _recipient(case: Case, part: RoutedDonor) -> str | None:
    mass, to = case.foot.extensor_mass, part.recipient
    if not to.tendons:
        return None
    if to.name.startswith("extensor_mass"):
        if mass in (None, "free tendons"):
            return "The extensor tendons are not one common mass."
        return "There are no tendons left in front of the ankle to sew to." if mass == "absent" else None
    if mass == "absent":
        return "There are no tendons left in front of the ankle to sew to."
    if mass == "scarred together":
        return f"Part of one scarred mass, not to be sewn to alone: {to.title.split(',')[0]}."
    for name in to.tendons:
        if state_of(getattr(case.muscles, name)) == "absent":
            return f"The tendon of the {name.replace('_', ' ')} is absent."
    return None


def _tendons_used(case: Case, moved: Operation) -> str | None:
    for name in moved.operation.also_taken:
        if state_of(getattr(case.muscles, name)) == "absent":
            return f"The tendon of the {name.replace('_', ' ')} is absent."
    return None
