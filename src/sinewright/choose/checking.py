"""What a case holds, before anything is computed: entries, contradictions, rules that speak, what is missing."""

from sinewright.case import Case, cautions, entries, findings_missing
from sinewright.case.needed import needed_first, nothing_examined
from sinewright.case.summary import summary
from sinewright.choose.rules import rules_of_operation, rules_of_patient
from sinewright.choose.screen import reason_without_rules
from sinewright.results import Checked, Spoken
from sinewright.transfer.catalogue import catalogue
from sinewright.version import __version__
from sinewright.wording.dangers import OF_PATIENT, dangers_of
from sinewright.wording.rules import grouped


def check(case: Case) -> Checked:
    """What a case holds, what is odd and what is worth measuring.

    Rules about an operation are those of operations that the case itself does not set aside.
    """
    left = (moved for moved in catalogue() if reason_without_rules(case, moved) is None)
    rules = rules_of_patient(case)
    operations = grouped(rules_of_operation(case, moved) for moved in left)
    return Checked(
        version=__version__,
        invented=case.invented,
        side=case.side,
        pseudonym=case.pseudonym,
        dangers=dangers_of(rules, OF_PATIENT),
        needed_first=needed_first(case) if nothing_examined(case) else (),
        examination=summary(case),
        entries=entries(case),
        warnings=cautions(case),
        rules=rules,
        operation_rules=tuple(Spoken(rule, count) for rule, count in operations),
        missing=findings_missing(case),
    )
