"""Ways other than a transfer: does each suit, for the finding that decides."""

from __future__ import annotations

from typing import Any

import pytest

from sinewright.choose.options import WAYS, options
from sinewright.results import Alternative

from .choose_helpers import DONORS, FRONT, case_with

GONE = {f"muscles.{name}.state": "absent" for name in FRONT}
WEAK = {f"muscles.{name}.{entry}": value for name in DONORS for entry, value in (("state", "weak"), ("grade", "3"))}
STRAIGHT, BENT = "range.affected.dorsiflexion_knee_straight_deg", "range.affected.dorsiflexion_knee_bent_deg"
NEARLY_FIXED = {STRAIGHT: 3, BENT: 3, "range.affected.plantarflexion_limit_down_deg": 1}


def way(id: str, changes: dict[str, Any]) -> Alternative:
    return next(each for each in options(case_with(changes)) if each.id == id)


@pytest.mark.parametrize(
    ("id", "changes", "suits", "words"),
    [
        ("wait", {"history.recovering": True}, "yes", "still recovers"),
        ("wait", {"history.onset_months": 7}, "unclear", "7 months since onset"),
        ("wait", {"history.onset_months": None}, "unclear", "not given"),
        ("wait", {}, "no", "20 months since onset and no recovery"),
        ("wait", GONE | {"history.recovering": True}, "no", "gone"),
        ("brace", {}, "yes", "prefers"),
        ("brace", {"foot.ulcer": "open"}, "unclear", "ulcer"),
        ("brace", {"foot.feeling_sole": "absent"}, "yes", "check skin"),
        ("stimulation", {"history.cause": ["stroke or other central lesion"]}, "yes", "central"),
        ("stimulation", {}, "no", "complete"),
        (
            "stimulation",
            {"muscles.tibialis_anterior.state": "weak", "muscles.tibialis_anterior.grade": "2"},
            "unclear",
            "",
        ),
        ("stimulation", GONE, "no", "nothing to stimulate"),
        ("nerve_surgery", {"history.onset_months": 5}, "yes", "5 months"),
        ("nerve_surgery", {"history.onset_months": 15}, "unclear", "15 months"),
        ("nerve_surgery", {}, "no", "20 months"),
        ("nerve_surgery", GONE | {"history.onset_months": 3}, "no", "nothing to reach"),
        ("calf_lengthening", {STRAIGHT: -6, BENT: 4}, "yes", "6° down"),
        ("calf_lengthening", {STRAIGHT: 4, BENT: 12}, "unclear", "does not lift"),
        ("calf_lengthening", {}, "no", "not short"),
        ("calf_lengthening", {STRAIGHT: None, BENT: None}, "unclear", "not given"),
        ("tenodesis", {}, "no", "A transfer is left"),
        ("tenodesis", WEAK, "yes", "hold the foot, not lift it"),
        ("tenodesis", WEAK | {"muscles.peroneus_longus.grade": None}, "unclear", "graded"),
        ("fusion", {"foot.ankle_joint": "arthritic"}, "yes", "ankle is arthritic"),
        ("fusion", {"foot.hindfoot": "fixed varus"}, "yes", "fixed varus"),
        ("fusion", NEARLY_FIXED, "unclear", "only 4 degrees"),
        ("fusion", WEAK, "unclear", "no transfer is left"),
        ("fusion", {}, "no", "for nothing"),
        ("fusion", {"foot.ankle_joint": "fused"}, "no", "fused already"),
        ("fusion", {"foot.ankle_joint": "arthritic", "foot.bone": "growing"}, "unclear", "before the bone has grown"),
        ("fusion", {"foot.subtalar_joint": "stiff"}, "unclear", "less left after it"),
        ("tenodesis", {"foot.ulcer": "open"}, "unclear", "what stands against it first"),
        ("tenodesis", {"foot.ankle_joint": "fused"}, "no", "no tendon to hold it"),
        ("free_and_retension", {}, "no", "Nothing was moved"),
        (
            "free_and_retension",
            {"history.earlier_surgery": [{"what": "transfer of tibialis posterior"}]},
            "yes",
            "freed, if it is slack it is shortened",
        ),
        ("free_muscle", {}, "no", "in place"),
        ("free_muscle", GONE | {"history.nerve_stump_living": True}, "yes", "living deep peroneal stump"),
        ("free_muscle", GONE | {"history.nerve_stump_living": False}, "no", "no living motor nerve"),
        ("free_muscle", GONE, "unclear", "is not given"),
    ],
)
def test_a_way_suits_for_what_is_found(id: str, changes: dict[str, Any], suits: str, words: str) -> None:
    found = way(id, changes)
    assert (found.suits, words in found.reason) == (suits, True), found.reason
    assert found.reason.endswith(".")


def test_ways_go_from_least_to_most_done_and_each_says_what_is_known() -> None:
    found = options(case_with())
    assert [each.id for each in found] == [each.id for each in WAYS]
    assert found[0].id == "wait" and found[-1].id == "fusion"
    assert all(view.source for each in found for view in each.views)
