"""Every rule speaks for the finding it is about and is silent without it; overrides; sources side by side."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from sinewright.case import CODES
from sinewright.choose.findings import earlier_moved
from sinewright.choose.rule import can_be_overridden
from sinewright.choose.rules import (
    ALL,
    OPERATION,
    PATIENT,
    blocked,
    costs_of,
    idle_overrides,
    overridden,
    rules_of_operation,
)
from sinewright.choose.screen import reason_against
from sinewright.transfer.catalogue import catalogue

from .choose_helpers import FRONT, case_with, of_operation, of_patient, operation

Changes = dict[str, Any]
STRAIGHT, BENT = "range.affected.dorsiflexion_knee_straight_deg", "range.affected.dorsiflexion_knee_bent_deg"
TP, BOTH_PERONEALS = "tibialis_posterior.membrane_under", "peroneus_longus.front_of_fibula_under.anterior_tibial_above+"
TP_LATERAL = "tibialis_posterior.membrane_under.lateral_cuneiform_dorsum"
TP_MEDIAL = "tibialis_posterior.membrane_under.medial_cuneiform_dorsum"
TP_CUBOID = "tibialis_posterior.membrane_under.cuboid_dorsum"
TP_SPLIT = "tibialis_posterior.membrane_under.split"
PL = "peroneus_longus.front_of_fibula_under.lateral_cuneiform_dorsum"
PL_MEDIAL = "peroneus_longus.front_of_fibula_over.medial_cuneiform_dorsum"
PB = "peroneus_brevis.front_of_fibula_under.lateral_cuneiform_dorsum"
TWO = "tibialis_posterior.membrane_under.lateral_cuneiform_dorsum+flexor_digitorum_longus"
FDL = "flexor_digitorum_longus.membrane_under.lateral_cuneiform_dorsum"

SOLEUS_4_MINUS = {"muscles.soleus.state": "weak", "muscles.soleus.grade": "4-"}
LEFT_AS_IT_IS = {"plan.calf_procedure": "none"}
# code, findings that fire it, findings close by that do not, words of the sentence
LIMIT_DOWN = "range.affected.plantarflexion_limit_down_deg"
OTHER_BENT = "range.other.dorsiflexion_knee_bent_deg"
OTHER_DOWN = "range.other.plantarflexion_limit_down_deg"
PATIENT_CASES: list[tuple[str, Changes, Changes, str]] = [
    (
        "fixed_below_neutral",
        LEFT_AS_IT_IS | {STRAIGHT: -10, BENT: -4},
        LEFT_AS_IT_IS | {STRAIGHT: -10, BENT: 0},
        "4° down",
    ),
    ("fixed_below_neutral", {"foot.equinus_fixed": True}, {"foot.equinus_fixed": False}, "every position of the knee"),
    (
        "fixed_below_neutral",
        {STRAIGHT: -20, BENT: -12, "plan.calf_procedure": "achilles lengthening", "plan.calf_gain_deg": 10},
        {STRAIGHT: -20, BENT: -12, "plan.calf_procedure": "achilles lengthening", "plan.calf_gain_deg": 12},
        "does not bring it to neutral",
    ),
    (
        "fixed_below_neutral",
        {STRAIGHT: -16, BENT: -7, "plan.calf_procedure": "gastrocnemius recession", "plan.calf_gain_deg": 16},
        {STRAIGHT: -16, BENT: 3, "plan.calf_procedure": "gastrocnemius recession", "plan.calf_gain_deg": 16},
        "a recession cannot raise it further",
    ),
    (
        "release_together",
        {STRAIGHT: -9, BENT: -4, "plan.calf_procedure": "achilles lengthening"},
        {STRAIGHT: -9, BENT: -4, "plan.calf_procedure": "none"},
        "planned together",
    ),
    (
        "weak_calf_lengthened",
        SOLEUS_4_MINUS | {STRAIGHT: -4, BENT: 12, "plan.calf_procedure": "gastrocnemius recession"},
        {STRAIGHT: -4, BENT: 12, "plan.calf_procedure": "gastrocnemius recession"},
        "a calcaneus foot",
    ),
    (
        "weak_calf_not_lengthened",
        SOLEUS_4_MINUS | {STRAIGHT: -4, BENT: 12},
        SOLEUS_4_MINUS | {STRAIGHT: 12, BENT: 20},
        "it is not lengthened",
    ),
    (
        "over_lengthening",
        {STRAIGHT: -4, BENT: 12, "foot.feeling_sole": "absent"},
        {STRAIGHT: 12, BENT: 20, "foot.feeling_sole": "absent"},
        "ulcerates",
    ),
    ("tight_calf", {STRAIGHT: 5, BENT: 11}, {STRAIGHT: 6, BENT: 11}, "a gastrocnemius recession done first"),
    ("tight_calf", {STRAIGHT: 10, BENT: 10}, {STRAIGHT: 10, BENT: 11}, "gastrocnemius and soleus are both short"),
    ("tight_calf", {STRAIGHT: -8, BENT: 6}, {STRAIGHT: 12, BENT: 20}, "8° down with the knee straight"),
    ("tight_calf", {STRAIGHT: 3, BENT: None}, {STRAIGHT: 8, BENT: None}, "is not given"),
    (
        "tight_calf",
        {STRAIGHT: 0, BENT: 5, "plan.calf_procedure": "gastrocnemius recession"},
        {STRAIGHT: 0, BENT: 5, "plan.calf_procedure": "achilles lengthening"},
        "leaves the soleus",
    ),
    ("short_of_preferred", {STRAIGHT: 9}, {STRAIGHT: 10}, "less than preferred"),
    ("fixing_posture", {STRAIGHT: 5, BENT: 8}, {STRAIGHT: 10, BENT: 12}, "instead of the usual 8° up"),
    (
        "fixing_posture",
        {STRAIGHT: 10, BENT: 13, "plan.fixing_ankle_deg": 15},
        {STRAIGHT: 10, BENT: 13, "plan.fixing_ankle_deg": 11},
        "goes to about 11° up",
    ),
    ("range_unknown", {STRAIGHT: None, BENT: None}, {STRAIGHT: None}, "not given"),
    (
        "weak_calf",
        {"muscles.soleus.state": "weak", "muscles.soleus.grade": "3+"},
        {"muscles.soleus.grade": "4"},
        "push-off",
    ),
    ("fused_ankle", {"foot.ankle_joint": "fused"}, {"foot.subtalar_joint": "fused"}, "no tendon can lift it"),
    ("short_arc", {STRAIGHT: 3, BENT: 3, LIMIT_DOWN: 1}, {STRAIGHT: 3, BENT: 3, LIMIT_DOWN: 40}, "moves 4 degrees"),
    (
        "short_arc",
        {STRAIGHT: 0, BENT: 4, LIMIT_DOWN: 20, OTHER_BENT: 15, OTHER_DOWN: 45},
        {STRAIGHT: 0, BENT: 4, LIMIT_DOWN: 40, OTHER_BENT: 15, OTHER_DOWN: 45},
        "the other one 60",
    ),
    ("poor_joints", {"foot.midfoot_joints": "stiff"}, {"foot.midfoot_joints": "sound"}, "Midfoot stiff"),
    ("fixed_claws", {"foot.toes": "fixed claws"}, {"foot.toes": "flexible claws"}, "fixed in a claw"),
    ("claw_toes", {"foot.toes": "flexible claws"}, {"foot.toes": "dropped"}, "still flexible"),
    ("ulcer_healed", {"foot.ulcer": "healed"}, {"foot.ulcer": "none"}, "opens again"),
    ("one_leg", {"leg.other_leg": "amputated"}, {"leg.other_leg": "sound"}, "the only foot to stand on"),
    ("one_leg", {"leg.other_leg": "impaired"}, {}, "cannot take the load"),
    ("wants_to_run", {"work.sport": "running, ten kilometres"}, {"work.sport": "chess"}, "not at a run"),
    ("fixed_shape", {"foot.hindfoot": "fixed varus"}, {"foot.hindfoot": "flexible varus"}, "Hindfoot in fixed varus"),
    ("active_infection", {"history.infection": "active"}, {"history.infection": "healed"}, "infected"),
    (
        "infection_healed",
        {"history.infection": "healed", "history.infection_healed_months": 4},
        {"history.infection": "healed", "history.infection_healed_months": 6},
        "4 months ago",
    ),
    ("infection_healed", {"history.infection": "healed"}, {}, "not given"),
    ("open_ulcer", {"foot.ulcer": "open"}, {"foot.ulcer": "healed"}, "ulcer"),
    ("open_wound", {"foot.skin_top_of_foot": "open wound"}, {"foot.skin_top_of_foot": "flap"}, "top of the foot"),
    ("poor_skin", {"foot.skin_front_of_shin": "graft"}, {"foot.skin_front_of_shin": "flap"}, "graft"),
    (
        "no_pulse",
        {"foot.dorsalis_pedis_pulse": "absent", "foot.posterior_tibial_pulse": "absent"},
        {"foot.dorsalis_pedis_pulse": "absent"},
        "Neither pulse",
    ),
    ("poor_circulation", {"foot.dorsalis_pedis_pulse": "Doppler only"}, {}, "Doppler only"),
    ("poor_circulation", {"history.circulation": "repaired"}, {"history.circulation": "good"}, "repaired"),
    ("numb_sole", {"foot.feeling_sole": "absent"}, {"foot.feeling_sole": "normal"}, "absent"),
    ("nerve_recovering", {"history.recovering": True}, {"history.recovering": False}, "still recovers"),
    ("early_transfer", {"history.onset_months": 4}, {"history.onset_months": 12}, "before that of 6, 12 and 18 months"),
    ("early_transfer", {"history.onset_months": 2}, {"history.cause": ["stroke or other central lesion"]}, "all marks"),
    ("onset_unknown", {"history.onset_months": None}, {}, "not given"),
    ("nerve_work_open", {"history.onset_months": 12}, {"history.onset_months": 13}, "still has its chance"),
    ("nerve_work_late", {"history.onset_months": 13}, {"history.onset_months": 12}, "late for nerve surgery"),
    ("nerve_work_late", {}, {f"muscles.{name}.state": "absent" for name in FRONT}, "20 months"),
    ("nerve_study_due", {"history.stable_months": 6}, {"history.stable_months": 12}, "No nerve study"),
    (
        "recovery_unclear",
        {"history.recovering": None, "history.nerve_studies": [{"result": "few new units"}]},
        {"history.recovering": None, "history.nerve_studies": [{"result": "no activity"}]},
        '"few new units"',
    ),
    (
        "leprosy_reaction",
        {"history.cause": ["leprosy"], "history.leprosy_treatment": "finished, reaction within 6 months"},
        {"history.cause": ["leprosy"], "history.leprosy_treatment": "finished"},
        "reaction",
    ),
    (
        "leprosy_treatment",
        {"history.cause": ["leprosy"], "history.leprosy_treatment": "in treatment"},
        {"history.cause": ["leprosy"], "history.leprosy_treatment": "finished"},
        "still runs",
    ),
    (
        "leprosy_timing",
        {"history.cause": ["leprosy"], "history.stable_months": 8},
        {"history.cause": ["leprosy"], "history.stable_months": 12},
        "8 months",
    ),
    ("hereditary", {"history.cause": ["hereditary neuropathy"]}, {}, "goes on"),
    ("central_cause", {"history.cause": ["cerebral palsy"]}, {"history.cause": ["disc"]}, "cerebral palsy"),
    ("disc", {"history.cause": ["disc"]}, {}, "disc"),
    ("spastic", {"history.spasticity": "mild"}, {"history.spasticity": "none"}, "mild"),
    ("age", {"person.age_years": 40}, {"person.age_years": 39.9}, "Age 40"),
    ("diabetes_or_smoking", {"history.smoking": "smokes"}, {"history.smoking": "stopped"}, "Smoking"),
    ("blood_thinner", {"history.blood_thinner": True}, {"history.blood_thinner": False}, "blood-thinning"),
]

DISC: Changes = {"history.cause": ["disc"]}
MOVED = {"history.earlier_surgery": [{"what": "tibialis posterior transfer through the membrane"}]}
NO_EVERTERS = {f"muscles.{name}.state": "paralysed" for name in ("peroneus_longus", "peroneus_brevis")} | {
    f"muscles.{name}.{what}": None
    for name in ("peroneus_longus", "peroneus_brevis")
    for what in ("grade", "force_N", "other_side_force_N", "lever_mm", "other_side_lever_mm", "tested_alone")
}
ROUND_INNER = "tibialis_posterior.round_tibia.navicular_dorsum"
OVER = "tibialis_posterior.membrane_over.lateral_cuneiform_dorsum"
TP_EXTENSORS = "tibialis_posterior.membrane_under.long_extensors_above"
WEAK_TP = {"muscles.tibialis_posterior.state": "weak"}
OPERATION_CASES: list[tuple[str, str, Changes, str, Changes, str]] = [
    (
        "weak_donor",
        TP,
        WEAK_TP | {"muscles.tibialis_posterior.grade": "3+"},
        TP,
        WEAK_TP | {"muscles.tibialis_posterior.grade": "4-"},
        "tibialis posterior grade 3+",
    ),
    ("moved_already", TP, MOVED, PL, MOVED, "moved already"),
    (
        "donor_below_four",
        TP,
        WEAK_TP | {"muscles.tibialis_posterior.grade": "4-"},
        TP,
        {"muscles.tibialis_posterior.grade": "4"},
        "Tibialis posterior grade 4-",
    ),
    ("donor_recovering", TP, {"muscles.tibialis_posterior.state": "recovering"}, TP, {}, "regaining its nerve"),
    ("donor_scarred", TP, {"muscles.tibialis_posterior.state": "scarred"}, TP, {}, "bound down by scar"),
    ("donor_root", TP, DISC, "flexor_hallucis_longus", DISC, "the same root"),
    ("donor_root_unmeasured", TP, DISC | {"muscles.tibialis_posterior.force_N": None}, TP, DISC, "own root hit"),
    ("inner_without_everter", ROUND_INNER, NO_EVERTERS, TP_LATERAL, NO_EVERTERS, "no muscle is left"),
    ("inner_without_everter", TP_MEDIAL, NO_EVERTERS, TP_MEDIAL, {}, "medial cuneiform"),
    (
        "middle_in_varus",
        "tibialis_posterior.membrane_under.intermediate_cuneiform_dorsum",
        {"foot.hindfoot": "flexible varus"},
        TP_LATERAL,
        {"foot.hindfoot": "flexible varus"},
        "further out holds it better",
    ),
    (
        "forefoot_turned_in",
        "tibialis_posterior.round_tibia.lateral_cuneiform_dorsum",
        {"foot.forefoot": "fixed varus"},
        TP_LATERAL,
        {"foot.forefoot": "fixed varus"},
        "turns it in further",
    ),
    (
        "everter_taken_in_varus",
        PL,
        {"foot.hindfoot": "flexible varus"},
        TP_LATERAL,
        {"foot.hindfoot": "flexible varus"},
        "taken from a foot in varus",
    ),
    ("flat_arch", TP, {"foot.arch": "flat"}, TP, {"foot.arch": "flat"} | NO_EVERTERS, "goes on pulling it down"),
    (
        "skin_graft_on_route",
        TP,
        {"foot.skin_front_of_shin": "graft"},
        "tibialis_posterior.round_tibia.lateral_cuneiform_dorsum",
        {"foot.skin_front_of_shin": "graft"},
        "front of the shin",
    ),
    ("thin_skin_on_route", OVER, {"foot.skin_top_of_foot": "thin"}, TP, {"foot.skin_top_of_foot": "thin"}, "close"),
    (
        "single_vessel",
        TP,
        {"foot.dorsalis_pedis_pulse": "absent"},
        PL,
        {"foot.dorsalis_pedis_pulse": "absent"},
        "behind the inner ankle",
    ),
    (
        "single_vessel",
        TP,
        {"foot.posterior_tibial_pulse": "absent"},
        ROUND_INNER,
        {"foot.posterior_tibial_pulse": "absent"},
        "the window is cut beside it",
    ),
    (
        "toe_extensors_in_claws",
        TP_EXTENSORS,
        {"foot.toes": "flexible claws"},
        TP_LATERAL,
        {"foot.toes": "flexible claws"},
        "long toe extensors",
    ),
    ("toe_flexor_alone", FDL, {}, TWO, {}, "weak for a foot that hangs"),
    ("toe_flexor_alone", FDL, {}, FDL, {"history.spasticity": "marked"}, "weak for a foot that hangs"),
    ("toe_flexor_taken", FDL, {}, TP_LATERAL, {}, "leaves the toes"),
    ("weak_partner", TWO, WEAK_TP | {"muscles.tibialis_posterior.grade": "3"}, TWO, {}, "only a tether"),
    (
        "donor_measured_weak",
        TP,
        {"muscles.tibialis_posterior.force_N": 52},
        TP,
        {"muscles.tibialis_posterior.force_N": 53},
        "measures 50 % of the other leg, grade 5 by hand",
    ),
    ("donor_just_four", TP, {"muscles.tibialis_posterior.grade": "4"}, TP, {}, "grade 4"),
    ("donor_not_alone", TP, {"muscles.tibialis_posterior.tested_alone": None}, TP, {}, "not tested alone"),
    ("donor_grade_only", TP, {"muscles.tibialis_posterior.force_N": None}, TP, {}, "no dynamometer value"),
    (
        "donor_fat",
        TP,
        {"muscles.tibialis_posterior.fat_system": "Mercuri", "muscles.tibialis_posterior.fat_grade": "3"},
        TP,
        {"muscles.tibialis_posterior.fat_system": "Goutallier", "muscles.tibialis_posterior.fat_grade": "2"},
        "Mercuri 3",
    ),
    ("membrane_scarred", TP, {"foot.membrane_scarred": True}, PL, {"foot.membrane_scarred": True}, "scarred"),
    ("scar_on_route", PL, {"foot.scar_bed": ["outer shin"]}, TP, {"foot.scar_bed": ["outer shin"]}, "outer shin"),
    (
        "no_retinaculum",
        TP,
        {"foot.retinaculum": "absent"},
        "tibialis_posterior.membrane_over",
        {"foot.retinaculum": "absent"},
        "no retinaculum",
    ),
    ("poor_retinaculum", TP, {"foot.retinaculum": "divided"}, TP, {}, "divided"),
    (
        "growth_plates",
        TP_LATERAL,
        {"foot.bone": "growing"},
        "tibialis_posterior.membrane_under.anterior_tibial_below",
        {"foot.bone": "growing"},
        "growing bone",
    ),
    ("soft_bone", TP_LATERAL, {"foot.bone": "soft"}, TP_LATERAL, {}, "soft"),
    ("no_outward_balancer", BOTH_PERONEALS, {}, PL, {}, "no peroneal of grade 4 is left"),
    (
        "no_outward_balancer",
        PL,
        {"muscles.peroneus_brevis.state": "weak", "muscles.peroneus_brevis.grade": "3"},
        BOTH_PERONEALS,
        {"foot.subtalar_joint": "fused"},
        "pulls the foot in",
    ),
    (
        "short_peroneal_unopposed",
        TP,
        {},
        TP,
        {"muscles.peroneus_brevis.state": "weak", "muscles.peroneus_brevis.grade": "3"},
        "the arch may flatten",
    ),
    ("low_arch", TP, {"foot.arch": "flat"}, PL, {"foot.arch": "flat"}, "flat"),
    ("first_ray", PL, {}, TP_LATERAL, {}, "first ray"),
    ("short_peroneal_taken", PB, {}, PL, {}, "short peroneal"),
    (
        "pull_adds_varus",
        TP_MEDIAL,
        {"foot.hindfoot": "flexible varus"},
        TP_LATERAL,
        {"foot.hindfoot": "flexible varus"},
        "inner side: medial cuneiform",
    ),
    (
        "pull_adds_valgus",
        TP_CUBOID,
        {"foot.hindfoot": "flexible valgus"},
        TP_CUBOID,
        {"foot.hindfoot": "flexible varus"},
        "outer side: cuboid",
    ),
    (
        "peroneal_to_inner_side",
        PL_MEDIAL,
        {},
        PL_MEDIAL,
        WEAK_TP | {"muscles.tibialis_posterior.grade": "2"},
        "keeps pulling in",
    ),
    (
        "whole_tendon_spastic",
        TP_LATERAL,
        {"history.spasticity": "marked"},
        TP_SPLIT,
        {"history.spasticity": "marked"},
        "whole",
    ),
]


@pytest.mark.parametrize(("code", "fires", "silent", "words"), PATIENT_CASES)
def test_a_rule_about_the_patient(code: str, fires: Changes, silent: Changes, words: str) -> None:
    spoken = of_patient(fires)
    assert words in spoken[code].text
    assert not spoken[code].text[0].islower() and spoken[code].text.endswith(".")
    assert code not in of_patient(silent)


@pytest.mark.parametrize(("code", "start", "fires", "other", "silent", "words"), OPERATION_CASES)
def test_a_rule_about_an_operation(
    code: str, start: str, fires: Changes, other: str, silent: Changes, words: str
) -> None:
    spoken = of_operation(start, fires)
    assert words in spoken[code].text
    assert not spoken[code].text[0].islower() and spoken[code].text.endswith(".")
    assert code not in of_operation(other, silent)


def test_every_rule_is_tried() -> None:
    assert {each[0] for each in PATIENT_CASES} == {rule.code for rule in PATIENT}
    assert {each[0] for each in OPERATION_CASES} == {rule.code for rule in OPERATION}


def test_the_quiet_case_hears_only_that_nerve_surgery_is_late() -> None:
    assert set(of_patient()) == {"nerve_work_late"}
    assert set(of_operation(FDL)) == {"toe_flexor_taken", "toe_flexor_alone"}


def test_one_weak_donor_of_two_warns_and_does_not_block() -> None:
    assert "weak_donor" not in of_operation(TWO, WEAK_TP | {"muscles.tibialis_posterior.grade": "3"})


def test_a_nerve_study_made_early_is_asked_for_again() -> None:
    changes = {"history.onset_months": 5, "history.stable_months": None, "history.recovering": None}
    early = changes | {"history.nerve_studies": [{"on": date(2025, 2, 1), "result": "no activity"}]}
    late = changes | {"history.nerve_studies": [{"on": date(2025, 5, 20), "result": "no activity"}]}
    assert "1 month after onset" in of_patient(early)["nerve_study_due"].text
    assert "nerve_study_due" not in of_patient(late)


def test_timing_keeps_disagreeing_sources_side_by_side() -> None:
    views = of_patient({"history.onset_months": 7})["early_transfer"].views
    told = " ".join(view.text for view in views)
    assert all(f"{months} months" in told for months in (3, 6, 12, 18))
    assert len({view.key for view in views}) >= 5
    assert all(view.source and view.known for view in views)


def test_what_stops_or_costs_a_place_can_be_overridden_and_nothing_else() -> None:
    once = {"growth_plates"}  # stopped once; old files may still give a reason
    computed = {"turns_inward"}  # a finding of the numbers, not of the case
    assert {rule.code for rule in ALL if can_be_overridden(rule)} == set(CODES) - once - computed
    assert len({rule.code for rule in ALL}) == len(ALL)


def test_what_costs_the_offer_says_what_would_open_it_or_names_a_danger() -> None:
    for rule in ALL:
        if rule.costs != "nothing":
            assert rule.severity == "danger" or rule.code == "middle_in_varus"
        if rule.kind == "block" and rule.code != "fused_ankle":
            assert rule.opens


def test_a_written_reason_gives_the_place_back() -> None:
    varus = {"foot.hindfoot": "flexible varus"}
    reason = varus | {"plan.overrides.pull_adds_varus": "osteotomy of the heel in the same sitting"}
    without, written = (rules_of_operation(case_with(c), operation(TP_MEDIAL)) for c in (varus, reason))
    assert costs_of(without) == "offer"
    assert costs_of(written) == "nothing"
    assert 'Overridden: "osteotomy of the heel in the same sitting".' in overridden(written)


@pytest.mark.parametrize(
    ("words", "moved"),
    [
        ("transfer of tibialis posterior to the foot elsewhere", {"tibialis_posterior"}),
        ("FDL and FHL moved to the toe extensors", {"flexor_digitorum_longus", "flexor_hallucis_longus"}),
        ("peroneus longus harvested for a ligament", {"peroneus_longus"}),
        ("repair of the posterior tibial artery, veins removed", set()),
        ("nerve transfer from the branch of tibialis posterior", set()),
        ("tibialis posterior tendon repaired", set()),
        ("removal of a plate over the long peroneal", set()),
    ],
)
def test_what_was_moved_is_read_from_the_words(words: str, moved: set[str]) -> None:
    assert set(earlier_moved(case_with({"history.earlier_surgery": [{"what": words}]}))) == moved


def test_what_is_named_as_moved_stands_above_the_words() -> None:
    surgery = [{"what": "tibialis posterior transfer, given up: nothing moved", "moved": ["peroneus_longus"]}]
    assert set(earlier_moved(case_with({"history.earlier_surgery": surgery}))) == {"peroneus_longus"}


def test_a_block_sets_every_operation_aside_until_a_reason_is_written() -> None:
    ulcer = {"foot.ulcer": "open"}
    assert {reason_against(case_with(ulcer), moved) for moved in catalogue()} >= {
        "A pressure ulcer of the foot is open."
    }
    assert all(reason_against(case_with(ulcer), moved) for moved in catalogue())
    written = ulcer | {"plan.overrides.open_ulcer": "healed by the day of surgery, seen weekly"}
    assert reason_against(case_with(written), operation(TP_LATERAL)) is None
    assert of_patient(written)["open_ulcer"].override == "healed by the day of surgery, seen weekly"


def test_an_override_of_one_block_leaves_the_others() -> None:
    changes = {"foot.ulcer": "open", "history.infection": "active"}
    written = changes | {"plan.overrides.open_ulcer": "healed by the day of surgery, seen weekly"}
    assert reason_against(case_with(written), operation(TP_LATERAL)) == "The leg is infected."


def test_an_overridden_operation_says_what_was_overridden_and_why() -> None:
    case = case_with({"plan.overrides.no_outward_balancer": "subtalar fusion in the same sitting"})
    fired = rules_of_operation(case, operation(BOTH_PERONEALS))
    assert blocked(fired) is None
    assert 'Overridden: "subtalar fusion in the same sitting".' in overridden(fired)


def test_a_reason_nobody_asked_for_is_mentioned() -> None:
    case = case_with({"plan.overrides.no_pulse": "angiography shows two open arteries"})
    (caution,) = idle_overrides(case, ())
    assert "plan.overrides.no_pulse" in caution.text
