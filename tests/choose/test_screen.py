"""What is set aside before anything is computed: each reason by the finding that gives it, and nothing dropped."""

from __future__ import annotations

import pytest

from sinewright.case import Case, changed
from sinewright.choose.screen import reason_against, reason_without_rules
from sinewright.transfer.catalogue import Operation, catalogue

from ..virtual_people import EXAMPLES, blank, example, operation

TP = "tibialis_posterior.membrane_under.lateral_cuneiform_dorsum"
TP_OVER = "tibialis_posterior.membrane_over.lateral_cuneiform_dorsum"
TP_AT = "tibialis_posterior.membrane_over.anterior_tibial_below"
TP_EXTENSORS = "tibialis_posterior.membrane_under.long_extensors_above"
TP_MASS = "tibialis_posterior.membrane_under.extensor_mass_above"
PL = "peroneus_longus.front_of_fibula_under.anterior_tibial_above"
STIRRUP = "tibialis_posterior.membrane_under.anterior_tibial_and_long_peroneal_stump"
PAIR = f"{TP}+flexor_digitorum_longus.membrane_under.long_extensors_above"


def against(changes: dict[str, object], id: str) -> str | None:
    return reason_without_rules(changed(blank(), changes) if changes else blank(), operation(id))


@pytest.mark.parametrize(
    ("changes", "id", "words"),
    [
        ({"muscles.tibialis_posterior.state": "paralysed"}, TP, "Tibialis posterior is paralysed: it cannot pull."),
        ({"muscles.tibialis_posterior.state": "absent"}, TP, "Tibialis posterior is absent: it cannot pull."),
        ({"muscles.flexor_digitorum_longus.state": "absent"}, PAIR, "Long toe flexor is absent: it cannot pull."),
        ({"plan.only_donors": ["peroneus_longus"]}, TP, "not among the donors to weigh (plan.only_donors)"),
        ({"plan.exclude_donors": ["tibialis_posterior"]}, TP, "not to be weighed (plan.exclude_donors)"),
        ({"plan.exclude_donors": ["flexor_digitorum_longus"]}, PAIR, "not to be weighed (plan.exclude_donors)"),
        ({"plan.retinaculum": "under"}, TP_OVER, "asks for a run under the retinaculum"),
        ({"plan.retinaculum": "over"}, TP, "asks for a run over the retinaculum"),
        ({"plan.retinaculum": "over"}, PL, "asks for a run over the retinaculum"),
        ({"foot.extensor_mass": "absent"}, TP_AT, "no tendons left in front of the ankle"),
        ({"foot.extensor_mass": "absent"}, TP_MASS, "no tendons left in front of the ankle"),
        ({"foot.extensor_mass": "scarred together"}, TP_AT, "Part of one scarred mass"),
        ({"foot.extensor_mass": "free tendons"}, TP_MASS, "not one common mass"),
        ({}, TP_MASS, "not one common mass"),
        ({"muscles.tibialis_anterior.state": "absent"}, TP_AT, "tendon of the tibialis anterior is absent"),
        ({"muscles.extensor_digitorum_longus.state": "absent"}, TP_EXTENSORS, "extensor digitorum longus is absent"),
        ({"muscles.peroneus_longus.state": "absent"}, STIRRUP, "tendon of the peroneus longus is absent"),
    ],
)
def test_reason(changes: dict[str, object], id: str, words: str) -> None:
    found = against(changes, id)
    assert found is not None and words in found and found.endswith(".")


@pytest.mark.parametrize(
    ("changes", "id"),
    [
        ({}, TP),
        ({"muscles.tibialis_posterior.state": "weak"}, TP),
        ({"muscles.tibialis_posterior.state": "recovering"}, TP),
        ({"muscles.flexor_digitorum_longus.state": "absent"}, TP),
        ({"plan.only_donors": ["tibialis_posterior"]}, TP),
        ({"plan.only_donors": ["tibialis_posterior", "flexor_digitorum_longus"]}, PAIR),
        ({"plan.retinaculum": "under"}, PL),
        ({"plan.retinaculum": "either"}, TP_OVER),
        ({"foot.extensor_mass": "scarred together"}, TP_MASS),
        ({"foot.extensor_mass": "absent"}, TP),
        ({"muscles.tibialis_anterior.state": "paralysed"}, TP_AT),  # a paralysed muscle still has its tendon
        ({"muscles.peroneus_longus.state": "paralysed"}, STIRRUP),
    ],
)
def test_no_reason(changes: dict[str, object], id: str) -> None:
    assert against(changes, id) is None


def test_a_scarred_membrane_stops_what_goes_through_it_only() -> None:
    case: Case = changed(blank(), {"foot.membrane_scarred": True})
    through = [m for m in catalogue() if any(part.route.needs_membrane for part in m.parts)]
    others: list[Operation] = [m for m in catalogue() if m not in through]
    free = [m for m in through if reason_without_rules(case, m) is None]
    assert len(free) > 5 and all("membrane" in (reason_against(case, m) or "").lower() for m in free)
    assert not [m.id for m in others if "membrane" in (reason_against(case, m) or "").lower()]


@pytest.mark.parametrize("stem", EXAMPLES)
def test_every_reason_is_one_line_that_ends(stem: str) -> None:
    reasons = [reason_against(example(stem), moved) for moved in catalogue()]
    assert None in reasons, "an example of which nothing is weighed"
    for reason in reasons:
        assert reason is None or (reason.endswith(".") and "\n" not in reason and len(reason) < 300)
