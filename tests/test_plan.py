"""The whole chain: every example weighs, the same seed says the same, and nothing is dropped on the way."""

from __future__ import annotations

import json
from functools import cache

import pytest

from sinewright.case import changed
from sinewright.choose.sewing import as_sewn
from sinewright.errors import InputError
from sinewright.plan import find_choice, weigh
from sinewright.reference import load
from sinewright.results import QUANTITIES, Outcome, Weighing, json_text
from sinewright.transfer.catalogue import catalogue
from sinewright.units import deg, mm

from .virtual_people import EXAMPLES, blank, example

DRAWS = 120
FEW = {"plan.only_donors": ["tibialis_posterior"], "plan.set_stretch_mm": 8.0, "plan.retinaculum": "over"}
STEM = "knee_dislocation_common_peroneal"


@cache
def weighed(stem: str = STEM, seed: int = 1) -> Weighing:
    return weigh(example(stem), DRAWS, seed)


@cache
def few(seed: int = 1, draws: int = DRAWS, side: str = "", extra: tuple[tuple[str, object], ...] = ()) -> Weighing:
    """A quick weighing of some operations."""
    changes = {**FEW, **dict(extra)} | ({"side": side} if side else {})
    return weigh(changed(example(STEM), changes), draws, seed)


def computed(found: Weighing) -> list[Outcome]:
    """What was computed, by id: two weighings run alike."""
    return sorted((each for each in found.outcomes if each.quantities), key=lambda each: each.choice.id)


@pytest.mark.parametrize("stem", EXAMPLES)
def test_every_example_weighs_every_operation(stem: str) -> None:
    found = weighed(stem)
    assert sorted(each.choice.id for each in found.outcomes) == sorted(moved.id for moved in catalogue())
    assert len(computed(found)) >= 3
    for each in computed(found):
        assert set(each.quantities) == set(QUANTITIES)
        assert each.failed_share <= 0.02
    assert any(each.status == "workable" for each in found.outcomes) or stem in (
        "borderline_donor",
        "front_compartment_loss",
    )
    assert (found.draws, found.seed, found.side, found.pseudonym) == (
        DRAWS,
        1,
        example(stem).side,
        example(stem).pseudonym,
    )
    assert found.sources and found.assumptions and found.tendon == "elastic"


@pytest.mark.parametrize("stem", EXAMPLES)
def test_numbers_stay_inside_what_a_foot_can_do(stem: str) -> None:
    for each in computed(weighed(stem)):
        q = each.quantities
        for key in ("lift_deg", "lift_knee_bent_deg", "rest_deg", "rest_on_table_deg", "pushdown_deg"):
            assert -90.0 < q[key].p05 <= q[key].p95 < 60.0, (each.choice.id, key)
        assert q["pushdown_deg"].p50 < q["rest_deg"].p50 <= q["lift_knee_bent_deg"].p50 + 0.5
        assert abs(q["hindfoot_in_lift_deg"].p50) < 45.0
        assert q["junction_pull_N"].p05 >= 0.0 and q["junction_pull_N"].p95 < 3000.0
        assert -0.2 < q["share_of_normal"].p50 < 1.2


@pytest.mark.parametrize("stem", EXAMPLES)
def test_what_is_set_aside_keeps_its_id_and_its_reason(stem: str) -> None:
    for each in weighed(stem).outcomes:
        if each.status == "set aside":
            assert each.choice.id and each.choice.title and each.reason.endswith(".")


def test_same_case_draws_and_seed_say_the_same() -> None:
    assert few() == weigh(changed(example(STEM), FEW), DRAWS, 1)


def test_another_seed_says_a_little_else() -> None:
    a, b = few(draws=400), few(seed=2, draws=400)
    differences = [
        abs(x.quantities["lift_deg"].p50 - y.quantities["lift_deg"].p50)
        for x, y in zip(computed(a), computed(b), strict=True)
    ]
    assert all(0.0 < d < 3.0 for d in differences)


def test_the_mirrored_patient_gets_the_same_numbers() -> None:
    right, left = few(side="right"), few(side="left")
    assert (right.side, left.side) == ("right", "left")
    assert right.outcomes == left.outcomes


def gone(*muscles: str) -> dict[str, object]:
    """Changes that take muscles away, with all that was found in them."""
    empty = ("contraction_felt", "force_N", "other_side_force_N", "lever_mm", "other_side_lever_mm", "fat_grade")
    away: dict[str, object] = {}
    for name in muscles:
        away |= {f"muscles.{name}.state": "absent", f"muscles.{name}.grade": None}
        away |= {f"muscles.{name}.{field}": None for field in (*empty, "fat_system", "tested_alone")}
    return away


def test_an_absent_donor_is_set_aside_with_the_reason() -> None:
    away = gone("tibialis_posterior") | {"plan.only_donors": ["flexor_hallucis_longus"], "plan.set_stretch_mm": 8.0}
    found = weigh(changed(example(STEM), away), DRAWS)
    of_donor = [each for each in found.outcomes if each.choice.donor.startswith("tibialis_posterior")]
    assert {each.status for each in of_donor} == {"set aside"}
    assert any(each.reason == "Tibialis posterior is absent: it cannot pull." for each in of_donor)
    assert not any(each.quantities for each in of_donor)


def test_with_every_donor_gone_nothing_is_weighed_and_all_is_said() -> None:
    away = gone("tibialis_posterior", "flexor_digitorum_longus", "flexor_hallucis_longus")
    found = weigh(changed(example(STEM), away), DRAWS)  # the peroneals are paralysed in this case
    assert {each.status for each in found.outcomes} == {"set aside"}
    assert len(found.outcomes) == len(catalogue()) and all(each.reason for each in found.outcomes)


@pytest.mark.parametrize(
    ("person", "word"),
    [
        ('sex = "female"\nage_years = 98\nmass_kg = 50', "98 years"),
        ('sex = "male"\nheight_cm = 206', "206 cm"),
        ('sex = "male"\nmass_kg = 141', "45 to 110 kg"),
        ("age_years = 40", "Sex not given"),
    ],
)
def test_a_warning_beyond_the_evidence_travels_with_the_result(person: str, word: str) -> None:
    plan = 'only_donors = ["peroneus_brevis"]\nset_stretch_mm = 8'
    found = weigh(blank(f"[person]\n{person}\n[plan]\n{plan}\n"), DRAWS)
    document = json.loads(json_text(found))
    assert [each for each in found.warnings if word in each.text]
    assert word in json.dumps(document["warnings"])


def test_no_warning_is_said_twice() -> None:
    found = weigh(blank('[plan]\nonly_donors = ["peroneus_brevis"]\nset_stretch_mm = 8\n'), DRAWS)
    texts = [each.text for each in found.warnings]
    assert len(texts) == len(set(texts))


def test_the_plans_stretch_posture_and_tendon_are_used_and_told() -> None:
    given = {"plan.fixing_ankle_deg": 3.0, "plan.fixing_subtalar_deg": -2.0, "plan.fixing_knee_deg": 20.0}
    found = few(extra=tuple({**given, "plan.tendon": "rigid"}.items()))
    assert found.tendon == "rigid" and found.outcomes != few().outcomes
    for each in found.outcomes:
        fixing = each.choice.fixing
        assert (fixing.ankle_deg, fixing.subtalar_deg, fixing.knee_deg) == (3.0, -2.0, 20.0)
        assert each.choice.set_stretch_mm == 8.0


def test_without_wishes_the_usual_posture_is_taken_from_its_rows() -> None:
    sewn = as_sewn(blank(), catalogue()[0])
    assert deg(sewn.ankle) == pytest.approx(load().row("own-fixing-ankle").value)
    assert deg(sewn.knee) == pytest.approx(load().row("own-fixing-knee").value)
    assert sewn.subtalar == mm(sewn.stretch) == 0.0 and sewn.overlap is None and not sewn.scarred_mass


def test_calf_lengthening_lets_the_foot_higher() -> None:
    longer = few(extra=(("plan.calf_procedure", "achilles lengthening"), ("plan.calf_gain_deg", 10.0)))
    left = few(
        extra=(("plan.calf_procedure", "none"),)
    )  # a short calf counts as lengthened unless it is said to be left
    for before, after in zip(computed(left), computed(longer), strict=True):
        assert after.quantities["lift_deg"].p50 > before.quantities["lift_deg"].p50


def test_tighter_rests_higher_in_the_result_too() -> None:
    tight = few(extra=(("plan.set_stretch_mm", 16.0),))
    for before, after in zip(computed(few()), computed(tight), strict=True):
        assert after.quantities["rest_deg"].p50 > before.quantities["rest_deg"].p50
        gained = after.quantities["reach_margin_mm"].p50 - before.quantities["reach_margin_mm"].p50
        assert gained == pytest.approx(8.0, abs=1e-6)


def test_progress_reaches_all_legs() -> None:
    seen: list[tuple[int, int]] = []
    weigh(changed(example(STEM), FEW), DRAWS, progress=lambda done, total: seen.append((done, total)))
    assert seen[-1] == (DRAWS, DRAWS) and seen == sorted(seen)


def test_the_document_carries_what_was_asked_for() -> None:
    found = weighed()
    document = json.loads(json_text(found))
    assert {"document", "version", "invented", "caution", "side", "seed", "draws", "warnings"} <= set(document)
    assert len(document["outcomes"]) == len(catalogue())
    places = [each["standing"]["place"] for each in document["outcomes"] if each["standing"]]
    without = [each["standing"]["place"] for each in document["without"]]
    assert places == sorted(places) and sorted(places + without) == list(range(1, len(places) + 3))
    for each in document["outcomes"]:
        assert set(each["quantities"]) in (set(), set(QUANTITIES))
        assert each["quantities"] or each["status"] == "set aside"


def test_a_choice_that_is_none_names_some_that_are() -> None:
    with pytest.raises(InputError, match=r"choice: given \"round_the_moon\", allowed a number of the ladder"):
        find_choice(example(STEM), "round_the_moon")
    with pytest.raises(InputError, match="it cannot pull"):
        find_choice(example(STEM), "peroneus_longus.front_of_fibula_under.anterior_tibial_above")
