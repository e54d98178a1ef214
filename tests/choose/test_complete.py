"""A whole weighing carries its rules, other ways and balances; a block sets aside, a written reason keeps."""

from __future__ import annotations

from sinewright.plan import weigh

from .choose_helpers import case_with

ONLY = {"plan.only_donors": ["peroneus_longus", "peroneus_brevis"], "person.sex": "female", "plan.set_stretch_mm": 5.0}
BOTH = "peroneus_longus.front_of_fibula_under.anterior_tibial_above+peroneus_brevis"
WHY = "a subtalar fusion in the same sitting is planned"


def test_a_blocked_operation_is_set_aside_and_a_written_reason_keeps_it() -> None:
    found = weigh(case_with(ONLY), draws=100)
    both = next(each for each in found.outcomes if each.choice.id.startswith(BOTH))
    assert both.status == "set aside" and "no peroneal of grade 4 is left" in both.reason
    assert both.rules[0].stops and both.balance is None
    computed = [each for each in found.outcomes if each.quantities]
    assert computed and all(each.balance for each in computed)
    assert [rule.code for rule in found.rules] == ["nerve_work_late"]
    assert [way.id for way in found.options][:2] == ["wait", "brace"]

    kept = weigh(case_with(ONLY | {"plan.overrides.no_outward_balancer": WHY}), draws=100)
    both = next(each for each in kept.outcomes if each.choice.id.startswith(BOTH))
    assert both.quantities and both.rules[0].override == WHY
    assert both.status != "set aside" and f'Overridden: "{WHY}".' in both.reason
    assert both.balance is not None and both.balance.outward_after_Nm.p50 < both.balance.outward_before_Nm.p50


def test_when_a_rule_about_the_patient_blocks_nothing_is_computed_and_each_says_why() -> None:
    found = weigh(case_with(ONLY | {"foot.ulcer": "open"}), draws=100)
    assert {each.status for each in found.outcomes} == {"set aside"}
    assert "A pressure ulcer of the foot is open." in {each.reason for each in found.outcomes}
    assert found.rules[0].code == "open_ulcer" and found.options
