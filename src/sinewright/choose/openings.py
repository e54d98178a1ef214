"""What would open a choice: the one change that puts an operation back on the ladder, and what it alone opens."""

from collections.abc import Iterable, Mapping

from sinewright.case import Case
from sinewright.choose.findings import listed
from sinewright.choose.screen import reason_without_rules
from sinewright.results import Fired, Opening
from sinewright.transfer.catalogue import Operation

NO_SINGLE = "several"


def openings(
    case: Case, patient: tuple[Fired, ...], spoken: Mapping[str, tuple[Fired, ...]], moved: Iterable[Operation]
) -> tuple[Opening, ...]:
    """Openings of every operation that one rule alone stops, or alone takes off the offer.

    Where every operation needs several changes at once, the fewest that open one are named together.

    Parameters
    ----------
    patient
        Rules about the patient.
    spoken
        Rules about each operation, by its id.
    moved
        Operations of the catalogue.
    """
    against = {
        each.id: _against((*patient, *spoken[each.id])) for each in moved if reason_without_rules(case, each) is None
    }
    opens: dict[str, list[str]] = {}
    changes: dict[str, Fired] = {}
    for id, rules in against.items():
        if len(rules) == 1:
            opens.setdefault(rules[0].code, []).append(id)
            changes.setdefault(rules[0].code, rules[0])
    found = tuple(Opening(code, _change(changes[code]), tuple(ids)) for code, ids in opens.items())
    left = any(not rules for rules in against.values())
    return found if found or left else _fewest(against)


def _against(rules: Iterable[Fired]) -> list[Fired]:
    """Rules that stop an operation or take it off the offer."""
    return [each for each in rules if each.stops or each.takes == "offer"]


def _change(fired: Fired) -> str:
    reason = f"a written reason under [plan.overrides] as {fired.code}"
    return f"{fired.opens}; or {reason}" if fired.opens else reason


def _fewest(against: Mapping[str, list[Fired]]) -> tuple[Opening, ...]:
    if not against:
        return ()
    least = min(len(rules) for rules in against.values())
    codes = next([each.code for each in rules] for rules in against.values() if len(rules) == least)
    ids = tuple(id for id, rules in against.items() if [each.code for each in rules] == codes)
    rules = {each.code: each for each in against[ids[0]]}
    together = listed(rules[code].opens or f"a written reason as {code}" for code in codes)
    return (Opening(NO_SINGLE, f"together: {together}", ids),)
