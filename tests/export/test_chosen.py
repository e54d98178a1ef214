"""A page speaks of an operation that a person chose; dangers stand on it whole; its table is that of `table`."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from datetime import date, datetime, timedelta
from math import ceil

import pytest

from sinewright.case import changed
from sinewright.errors import InputError
from sinewright.export.consent import consent_page
from sinewright.export.dangers import before_the_cut, danger_lines, stop_lines
from sinewright.export.patient import patient_page, planned_steps, toes_load
from sinewright.export.planned import CLEARS, LIFTS, Planned, falls_short, hundred_of, stop_share
from sinewright.export.theatre import theatre_page
from sinewright.export.tightening import MOST_MM, change_words, correction_rows
from sinewright.learn.entries import LIMBS, Limb, TableReading
from sinewright.learn.prepare import prepare
from sinewright.learn.session import Session
from sinewright.protect.protection import Wish, protection
from sinewright.results import Fired, Protection, View
from sinewright.units import m
from sinewright.wording.dangers import OF_OPERATION, OF_PATIENT
from sinewright.wording.language import words_in

from .paper import sheets, words_of

DAY = date(2026, 12, 1)
SPOKEN = (View("x", "x", "x", "read"),)


def with_chances(planned: Planned, share: float) -> Planned:
    chances = {key: replace(each, share=share, low=share, high=share) for key, each in planned.outcome.chances.items()}
    return replace(planned, outcome=replace(planned.outcome, chances=chances))


def protected(planned: Planned) -> Protection:
    bone = planned.leg.tendons(planned.leg.fixing)[0].laid.recipient.bone
    wish = Wish("tunnel_sutured" if bone else "weave", operated_on=DAY)
    return protection(planned.case, planned.outcome.choice.id, wish, 100, 1)


@pytest.mark.parametrize("page", [theatre_page, patient_page])
def test_what_nobody_chose_is_refused_or_a_draft_on_every_side(
    right_foot: Planned, page: Callable[[Planned], list[bytes]]
) -> None:
    unchosen = replace(right_foot, by_hand=False)
    with pytest.raises(InputError, match="--draft"):
        page(unchosen)
    drafted = page(replace(unchosen, draft=True))[0]
    assert all("DRAFT" in sheet.words for sheet in sheets(drafted))
    assert "nobody has chosen this operation" in words_of(drafted)
    assert "DRAFT" not in words_of(page(replace(right_foot, draft=True))[0])


@pytest.mark.parametrize("limb", LIMBS)
def test_the_table_of_resting_angles_is_that_of_table(right_foot: Planned, limb: Limb) -> None:
    choice = right_foot.outcome.choice
    prepared = prepare(right_foot.case, choice.id, draws=200, seed=1, planned=m(choice.set_stretch_mm))
    assert len(right_foot.corrections) >= 4
    told = words_of(theatre_page(right_foot)[0])
    for row, words in zip(right_foot.corrections, correction_rows(right_foot.corrections), strict=True):
        reading = TableReading("rest", row.rest_deg, datetime(2026, 11, 24), None, limb)
        advice = Session(prepared).add(reading).answer().advice
        here = row.lying_mm if limb == "lying" else row.hanging_mm
        assert here == (advice.to_planned_rest_mm if advice else None)
        assert here is None or abs(here) <= MOST_MM
        assert " ".join(words) in told


def test_a_change_is_said_as_a_verb_and_a_small_one_is_none() -> None:
    assert [change_words(mm) for mm in (4.2, -3.0, 1.0, None)] == ["tighten 4 mm", "slacken 3 mm", "leave it", "stop"]


def test_every_danger_stands_on_the_theatre_page_whatever_else_is_said(right_foot: Planned) -> None:
    spoken = tuple(Fired(code, "warn", f"{code} speaks", SPOKEN) for code in (*OF_PATIENT, *OF_OPERATION))
    loud = replace(right_foot, weighing=replace(right_foot.weighing, rules=spoken))
    lines = danger_lines(loud)
    told = words_of(theatre_page(loud)[0])
    assert len(lines) == len(OF_PATIENT) + len(OF_OPERATION)
    assert not [line for line in lines if line not in told]
    assert told.index("Dangers of this patient") < told.index("In order")


def test_cuff_thinner_artery_skin_and_sole_are_said_whether_found_or_not(left_foot: Planned) -> None:
    told = words_of(theatre_page(left_foot)[0])
    for name, found in before_the_cut(left_foot.case):
        assert f"{name}: {found}" in told
    assert "Blood thinner: yes" in told and "cuff down, no relaxant working" in told
    assert "checked against consent and skin mark" in told


def test_below_the_stated_chance_the_page_stops(right_foot: Planned) -> None:
    assert not stop_lines(with_chances(right_foot, stop_share() + 0.01))
    poor = with_chances(right_foot, stop_share() - 0.01)
    assert falls_short(poor.outcome) == (CLEARS, LIFTS)
    told = words_of(theatre_page(poor)[0])
    assert "STOP AND THINK" in told and all(line in told for line in stop_lines(poor))
    assert "STOP AND THINK" not in words_of(theatre_page(with_chances(right_foot, 0.9))[0])


@pytest.mark.parametrize(("construct", "bone"), [("weave", False), ("tunnel_sutured", True)])
def test_a_construct_that_cannot_be_the_junction_is_refused(planned: Planned, construct: str, bone: bool) -> None:
    ends = {one.laid.recipient.bone for one in planned.leg.tendons(planned.leg.fixing)}
    if bone in ends:
        assert "Construct: " in words_of(theatre_page(planned, construct=construct)[0])
    else:
        with pytest.raises(InputError, match="--construct"):
            theatre_page(planned, construct=construct)


def test_clearing_the_floor_is_told_before_lifting_on_all_pages(planned: Planned) -> None:
    clears, lifts = hundred_of(planned, CLEARS), hundred_of(planned, LIFTS)
    assert clears is not None and lifts is not None
    told = words_of(theatre_page(planned)[0])
    assert told.index(f"Clears the floor, no brace: {clears.words}") < told.index(f"reaches: {lifts.words}")
    told = words_of(patient_page(planned)[0])
    assert told.index(f"In {clears.words} the foot clears the floor") < told.index(f"In {lifts.words} it can lift")
    told = words_of(consent_page(planned)[0])
    assert told.index(f"In {clears.words} of these legs the foot clears") < told.index(f"In {lifts.words} of these")


@pytest.mark.parametrize(
    ("procedure", "said"),
    [("gastrocnemius recession", "calf muscle longer"), ("achilles lengthening", "above your heel longer")],
)
def test_a_planned_calf_procedure_stands_on_every_page(right_foot: Planned, procedure: str, said: str) -> None:
    planned = replace(right_foot, case=changed(right_foot.case, {"plan.calf_procedure": procedure}))
    patient, therapist = (sheet.words for sheet in sheets(patient_page(planned)[0]))
    assert said in patient and procedure.split()[1] in therapist
    assert said in words_of(consent_page(planned)[0]) and procedure in words_of(theatre_page(planned)[0])
    assert said not in words_of(patient_page(right_foot)[0])


def test_toes_are_held_still_where_they_pull_on_the_junction(planned: Planned) -> None:
    for recipient, donor, held in (
        ("long_extensors_below", "tibialis_posterior", True),
        ("extensor_mass_above", "tibialis_posterior", True),
        ("navicular_dorsum", "flexor_digitorum_longus", True),
        ("navicular_dorsum", "tibialis_posterior", False),
        ("anterior_tibial_above", "peroneus_longus", False),
    ):
        choice = replace(planned.outcome.choice, recipient=recipient, donor=donor)
        changed_to = replace(planned, outcome=replace(planned.outcome, choice=choice))
        assert toes_load(changed_to.outcome) is held
        told = words_of(patient_page(changed_to)[0])
        assert ("Let your toes rest" in told) is held and ("Wiggle your toes" in told) is not held
        assert "Do not push your foot down" in told and "push your toes" not in told


def test_dates_of_the_patient_page_are_those_of_the_calendar(right_foot: Planned) -> None:
    found = protected(right_foot)
    told = words_of(patient_page(right_foot, operation_on=DAY, steps=planned_steps(found))[0])
    begun = [line for line in found.lines if line.on is not None and line.key != "hold"]
    assert begun
    for line in begun:
        assert line.on is not None and line.week is not None
        assert line.on == DAY + timedelta(days=ceil(7.0 * line.week))
        assert f"not before {words_in('en').date(line.on)}" in told


def test_a_margin_that_is_not_kept_is_an_alarm_on_the_therapist_page(right_foot: Planned) -> None:
    found = protected(right_foot)
    low = replace(found.lines[1], green=False, ratio=0.6, needed=1.5)
    steps = planned_steps(replace(found, lines=(replace(found.lines[0], green=True), low, *found.lines[2:])))
    therapist = sheets(patient_page(right_foot, steps=steps)[0])[1].words
    assert "MARGIN NOT KEPT as scheduled: First weight bearing" in therapist
    assert "(0.60 x; 1.50 x asked for)" in therapist
    assert f"{100.0 * low.chance:.1f} of 100 would give way (at most {100.0 * found.most_chance:.1f})" in therapist
    kept = [replace(step, short_week=None) for step in steps]
    assert "MARGIN NOT KEPT" not in words_of(patient_page(right_foot, steps=kept)[0])
    assert not re.search(r"\b(?:rh|own)-", therapist), "no id of a row"


def test_the_companion_offers_nothing_that_falls_short(planned: Planned) -> None:
    own = planned.outcome.choice.donor
    outcomes = tuple(
        each
        if each.choice.donor == own
        else replace(
            each, chances={key: replace(one, share=0.01, low=0.01, high=0.01) for key, one in each.chances.items()}
        )
        for each in planned.weighing.outcomes
    )
    poor = replace(planned, weighing=replace(planned.weighing, outcomes=outcomes))
    told = words_of(consent_page(poor)[0])
    assert len(re.findall(r"of these legs the foot clears", told)) == 1
    assert ("Other muscles were worked out too" in told) is any(
        each.choice.donor != own and each.standing and each.status != "set aside" for each in outcomes
    )


def test_the_companion_tells_risks_of_its_own_operation_with_author_and_year(planned: Planned) -> None:
    told, donor = words_of(consent_page(planned)[0]), planned.outcome.choice.donor
    moved = "tibialis_posterior" in donor.split(" + ")
    assert ("Cho 2017" in told) is moved
    assert ("106 of 115" in told and "Why the two differ" in told) or donor != "tibialis_posterior"
    assert not re.search(r"cho2017|saaiq2024", told)
    for said in ("clot", "nerve may be hurt", "pain may stay", "infection", "walk on the heel", "still need the brace"):
        assert said in told


def test_a_muscle_without_published_counts_says_so(right_foot: Planned) -> None:
    choice = replace(right_foot.outcome.choice, donor="peroneus_longus", recipient="cuboid_dorsum")
    told = words_of(consent_page(replace(right_foot, outcome=replace(right_foot.outcome, choice=choice)))[0])
    assert "We read no study that counts what went wrong" in told and "Cho 2017" not in told


@pytest.mark.parametrize(("code", "turned"), [("pull_adds_varus", "lean in more"), ("no_outward_balancer", "for good")])
def test_which_way_the_foot_may_turn_is_said_once(right_foot: Planned, code: str, turned: str) -> None:
    choice = replace(right_foot.outcome.choice, donor="tibialis_posterior")
    outcome = replace(right_foot.outcome, choice=choice, rules=(Fired(code, "warn", code, SPOKEN),))
    card, _, rest = words_of(consent_page(replace(right_foot, outcome=outcome))[0]).partition("For your team")
    assert "turn out" not in card and turned in rest
