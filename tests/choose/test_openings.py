"""A dead end says which single change opens what, and what has to be changed together where no single one does."""

from __future__ import annotations

from typing import Any

from sinewright.choose.openings import NO_SINGLE, openings
from sinewright.choose.rules import rules_of_operation, rules_of_patient
from sinewright.results import Opening
from sinewright.transfer.catalogue import catalogue

from .choose_helpers import case_with

Changes = dict[str, Any]


def opened(changes: Changes) -> dict[str, Opening]:
    case = case_with(changes)
    spoken = {moved.id: rules_of_operation(case, moved) for moved in catalogue()}
    return {each.code: each for each in openings(case, rules_of_patient(case), spoken, catalogue())}


def test_nothing_needs_opening_where_all_is_well_but_what_a_rule_takes() -> None:
    assert set(opened({})) <= {"no_outward_balancer"}


def test_one_block_on_the_patient_opens_everything_that_can_be_done() -> None:
    found = opened({"foot.ulcer": "open"})
    assert "an ulcer that has healed" in found["open_ulcer"].change
    assert len(found["open_ulcer"].opens) > 20


def test_a_scarred_membrane_opens_the_ways_through_it_alone() -> None:
    found = opened({"foot.membrane_scarred": True})["membrane_scarred"]
    assert found.opens and all("membrane" in id for id in found.opens)


def test_two_blocks_at_once_are_named_together() -> None:
    found = opened({"foot.ulcer": "open", "history.infection": "active"})
    assert set(found) == {NO_SINGLE}
    assert "ulcer" in found[NO_SINGLE].change and "infection" in found[NO_SINGLE].change


def test_what_costs_the_offer_is_opened_too() -> None:
    found = opened({"foot.hindfoot": "flexible varus"})
    assert "an insertion further out" in found["pull_adds_varus"].change
    assert all("dorsum" in id or "anterior_tibial" in id for id in found["pull_adds_varus"].opens)
