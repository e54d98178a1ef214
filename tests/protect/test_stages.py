"""Stages: the longer week is printed, a weak junction with an eager schedule gets no green line, findings tighten."""

from __future__ import annotations

from datetime import date
from functools import cache

import numpy as np
import pytest

from sinewright.case import changed
from sinewright.errors import InputError
from sinewright.protect.constructs import find_construct, strength_of
from sinewright.protect.healing import heal
from sinewright.protect.protection import Wish, patient_of, protection
from sinewright.protect.stages import KEYS, STAGES, kept_at, margin_week, published_weeks, scheduled_week
from sinewright.reference import load
from sinewright.results import Protection, StageLine

from ..virtual_people import example

STEM = "knee_dislocation_common_peroneal"
TENDON = "tibialis_posterior.membrane_under.anterior_tibial_below"
BONE = "tibialis_posterior.membrane_under.lateral_cuneiform_dorsum"
DAY = date(2026, 3, 5)
DRAWS = 200


@cache
def found(construct: str = "weave", choice: str = TENDON, **more: object) -> Protection:
    wish = Wish(construct, operated_on=DAY, planned_mm=4.0, **more)  # type: ignore[arg-type]
    return protection(example(STEM), choice, wish, DRAWS, 1)


def line(result: Protection, key: str) -> StageLine:
    return next(each for each in result.lines if each.key == key)


def test_a_weak_construct_with_an_eager_schedule_is_refused_a_green_line_with_the_numbers() -> None:
    result = found("anchor", BONE, pace="early")
    assert not result.green
    motion = line(result, "motion")
    assert not motion.green
    assert motion.scheduled_week == load().row("rh-range-first-active").low
    assert motion.ratio < motion.needed == result.margin
    assert motion.chance > result.most_chance
    assert f"{motion.strength_p05_N:.0f} N or less against a middle load of {motion.load_p50_N:.0f} N" in motion.reason
    assert f"{motion.ratio:.1f} times, {motion.needed:.1f} wanted" in motion.reason
    assert motion.week is None and motion.on is None
    assert "The margin is not kept for" in result.sentences[0]


def test_a_strong_junction_keeps_what_a_weak_one_does_not() -> None:
    strong, weak = found("weave", pace="usual"), found("weave", pace="usual", tests="pessimistic")
    assert line(strong, "motion").green and line(strong, "hold").green
    assert not line(weak, "motion").green
    for one, other in zip(strong.lines, weak.lines, strict=True):
        assert one.ratio >= other.ratio and one.chance <= other.chance
        if other.margin_week is not None:
            assert one.margin_week is not None and one.margin_week <= other.margin_week


@pytest.mark.parametrize("pace", ["early", "usual", "late"])
def test_the_longer_week_is_printed_and_said(pace: str) -> None:
    result = found("weave", pace=pace)
    for each in result.lines:
        if each.week is None:
            assert each.on is None
            continue
        assert each.margin_week is not None
        assert each.week >= max(each.scheduled_week, each.margin_week)
        if each.longer == "healing":
            assert each.week == each.margin_week > each.scheduled_week
        elif each.longer == "schedule":
            assert each.week == each.scheduled_week >= each.margin_week
        assert each.on is not None
        assert 0 <= (each.on - DAY).days - 7.0 * each.week < 1.0, "a part of a day counts as a whole one"
        assert each.green == (each.margin_week <= each.scheduled_week)


def test_no_stage_comes_before_those_it_builds_on() -> None:
    for pace in ("early", "late"):
        lines = {each.key: each for each in found("weave", pace=pace).lines}
        for stage in STAGES:
            for earlier in stage.after:
                week, before = lines[stage.key].week, lines[earlier].week
                assert week is None or (before is not None and week >= before)


def test_every_stage_is_released_by_a_clinician_after_a_look() -> None:
    for each in found().lines:
        assert each.released_by and each.look_first
    assert any("never by its date" in text for text in found().sentences)


def test_schedules_are_the_published_ranges() -> None:
    for stage in STAGES[1:]:
        row = load().row(stage.published)
        assert row.use == "fit"
        assert published_weeks(stage) == (row.low, row.high)
        weeks = [scheduled_week(stage, pace, {}) for pace in ("early", "usual", "late")]  # type: ignore[arg-type]
        assert weeks == [row.low, row.value, row.high]
        assert scheduled_week(stage, "early", {stage.key: 7.5}) == 7.5
    assert scheduled_week(STAGES[0], "late", {}) == 0.0


def test_the_margin_week_is_kept_for_good_not_only_before_the_dip() -> None:
    """Strength dips after the first days: a load that day 0 stands but week 2 does not is not released at week 0."""
    healing = heal(strength_of(find_construct("weave")))
    tension = np.full(50, healing.p05(0.0) / 1.5 - 1.0)
    assert kept_at(healing, tension, 0.0, 1.5, 0.05).green
    assert not kept_at(healing, tension, 2.0, 1.5, 0.05).green
    week = margin_week(healing, tension, 1.5, 0.05)
    assert week is not None and week > 2.0
    assert margin_week(healing, np.full(50, 5000.0), 1.5, 0.05) is None
    assert margin_week(healing, np.full(50, 1.0), 1.5, 0.05) == 0.0


def test_chance_of_giving_way_by_counting() -> None:
    healing = heal(strength_of(find_construct("screw")))
    rng = np.random.default_rng(3)
    tension = np.exp(5.5 + 0.4 * rng.standard_normal(500))
    ours = kept_at(healing, tension, 4.0, 1.5, 0.05).chance
    pairs = rng.choice(healing.strength(4.0), 400_000) < rng.choice(tension, 400_000)
    assert ours == pytest.approx(pairs.mean(), abs=0.004)


def test_numb_sole_weight_diabetes_and_smoking_tighten_with_their_reason() -> None:
    case = changed(
        example(STEM),
        {
            "foot.feeling_sole": "absent",
            "person.mass_kg": 117.0,
            "history.diabetes": "insulin",
            "history.smoking": "smokes",
        },
    )
    patient = patient_of(case)
    value = load().fit_value
    assert patient.margin == pytest.approx(
        value("own-protect-numb-sole-factor") * 117.0 / value("own-protect-heavy-mass")
    )
    assert patient.slow == pytest.approx(value("own-protect-slow-diabetes") * value("own-protect-slow-smoking"))
    assert all(factor.reason for factor in patient.factors)
    assert patient_of(example(STEM)).factors == ()
    wish = Wish("weave", operated_on=DAY, planned_mm=4.0)
    tight, usual = protection(case, TENDON, wish, DRAWS, 1), found()
    assert line(tight, "gait").needed > line(usual, "gait").needed
    assert line(tight, "motion").needed == line(usual, "motion").needed, "not a loaded stage"
    assert line(tight, "motion").strength_p05_N < line(usual, "motion").strength_p05_N
    assert any("Tightened for this patient" in text for text in tight.sentences)
    assert any("which is not felt" in sign.see for sign in tight.signs)


def test_loads_order_and_set_tension_stands_apart() -> None:
    loads = {each.activity: each.load_N.p50 for each in found().carried}
    assert loads["cast"] < loads["stretch"] < loads["effort"]
    assert loads["cast"] < loads["lift"] < loads["swing"] < loads["effort"]
    tension = found().tension
    assert tension.at_once_N.p75 > tension.after_relaxation_N.p75 > tension.settled_N.p75
    assert tension.creep_mm.p50 > 0.0


def test_a_construct_that_does_not_fit_the_operation_is_said() -> None:
    assert any("check choice and construct" in each.text for each in found("screw", TENDON).warnings)
    assert not any("check choice and construct" in each.text for each in found("weave", TENDON).warnings)


@pytest.mark.parametrize(
    ("more", "field"),
    [
        ({"margin": 0.5}, "--margin"),
        ({"chance": 0.9}, "--chance"),
        ({"own_weeks": {"dance": 3.0}}, "--week"),
        ({"own_weeks": {"motion": -1.0}}, "--week motion"),
        ({"construct": "nail"}, "--construct"),
    ],
)
def test_wishes_that_cannot_be_are_refused(more: dict[str, object], field: str) -> None:
    with pytest.raises(InputError, match=field):
        protection(example(STEM), TENDON, Wish(**{"construct": "weave", **more}), DRAWS)  # type: ignore[arg-type]


def test_the_surgeons_own_margin_and_week_count() -> None:
    own = protection(
        example(STEM), TENDON, Wish("weave", planned_mm=4.0, margin=3.0, own_weeks={"motion": 2.0}), DRAWS, 1
    )
    assert line(own, "motion").needed == 3.0
    assert line(own, "motion").scheduled_week == 2.0
    assert own.operated_on is None and all(each.on is None for each in own.lines)


def test_same_input_same_result() -> None:
    wish = Wish("weave", planned_mm=4.0)
    assert protection(example(STEM), TENDON, wish, 120, 3) == protection(example(STEM), TENDON, wish, 120, 3)
    assert [each.key for each in found().lines] == list(KEYS)
