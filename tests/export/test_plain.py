"""Nobody reads a field of a case file or a rule's code on a page: cautions are sentences, in both languages."""

from __future__ import annotations

import re
from dataclasses import replace
from importlib.resources import files

import pytest

from sinewright.choose import turning
from sinewright.choose.options import WAYS
from sinewright.choose.rules import ALL
from sinewright.export.consent import COUNTED, RISK_FILE, consent_content, consent_page
from sinewright.export.patient import patient_page
from sinewright.export.plain import FLAGS, WARNINGS, own_habits, plain_cautions, spoken
from sinewright.export.planned import Planned
from sinewright.export.theatre import cautions_of, theatre_page
from sinewright.reference import load
from sinewright.results import Caution, Fired, View
from sinewright.transfer.catalogue import catalogue
from sinewright.transfer.surgery import DONORS, RECIPIENTS, ROUTES
from sinewright.wording.language import OWN, words_in

from ..support.reading import GRADE_AT_12, grade
from .paper import sheets, words_of

FIELD = re.compile(r"[a-z]\.[a-z]+_[a-z]|[a-z]_[a-z]+|_(?:deg|mm|Nm|N)\b")
CITED = re.compile(r"\S+: [^:]*doi \S+|rh-\S+|own-\S+")


@pytest.mark.parametrize("language", OWN)
def test_every_rule_warning_way_risk_and_donor_has_its_sentence(language: str) -> None:
    table = words_in(language).table
    codes = {rule.code for rule in ALL} | {turning.CODE}
    assert codes | set(FLAGS.values()) | set(filter(None, WARNINGS.values())) | {"other", "overridden"} == set(
        table["caution"]
    )
    assert {way.id for way in WAYS} == set(table["way"])
    counts = [row.quantity for row in load().rows(file=RISK_FILE) if row.quantity.startswith(COUNTED)]
    assert {name.removeprefix(COUNTED).replace("-", "_") for name in counts} <= set(table["risk"])
    muscles = {donor.muscle for donor in DONORS}
    assert muscles == set(table["donor"]) == set(table["cost"]) == set(table["muscle"]) - {"and"}
    assert {route.name for route in ROUTES} == set(table["route"])
    assert {site.name for site in RECIPIENTS} == set(table["site"])


def test_every_warning_of_a_case_is_known_here() -> None:
    """Codes are read from the file that makes them: a new one without a sentence fails here."""
    text = (files("sinewright.case") / "cautions.py").read_text("utf-8")
    made = set(re.findall(r"_(?:judged|from_row)\(\"([a-z-]+)\"", text))
    assert len(made) >= 10 and made <= set(WARNINGS)


def test_english_words_of_the_trade_are_those_of_the_program() -> None:
    table = words_in("en").table
    for group, things in (("donor", DONORS), ("route", ROUTES), ("site", RECIPIENTS)):
        for thing in things:
            assert table[group][getattr(thing, "muscle", None) or thing.name] == thing.title  # type: ignore[attr-defined]


@pytest.mark.parametrize("language", OWN)
@pytest.mark.parametrize("section", ["caution", "cost", "way"])
def test_a_child_of_twelve_can_read_each_sentence_group(language: str, section: str) -> None:
    table = words_in(language).table[section]
    texts = [value["what"] if isinstance(value, dict) else value for value in table.values()]
    assert grade("\n".join(texts), language) <= GRADE_AT_12
    assert not [text for text in texts if FIELD.search(text)]


@pytest.mark.parametrize("language", OWN)
def test_a_child_of_twelve_can_read_the_companion(planned: Planned, language: str) -> None:
    told = consent_content(planned, "a4", False, words_in(language))
    lines = [told["dots"], told["risks_intro"], *told["cautions"], *told["not_known"]]
    lines += [text for one in told["choices"] for text in (one["title"], one["words"], one["doubt"], one["cost"])]
    lines += [one["what"] for one in told["others"]]
    assert grade("\n".join(lines), language) <= GRADE_AT_12


@pytest.mark.parametrize(
    ("field", "words"),
    [
        ("muscles.tibialis_posterior is grade 5", "tibialis posterior is grade 5"),
        ("muscles.soleus.force_N without lever_mm", "soleus, force without lever"),
        ("range.affected.plantarflexion_limit_down_deg is 5 deg", "plantarflexion limit down of this leg is 5 deg"),
        ("torque.affected.dorsiflexion_Nm is 3 Nm", "dorsiflexion of this leg is 3 Nm"),
        ("range.other: active dorsiflexion 5 deg", "range of the other leg: active dorsiflexion 5 deg"),
        ("person.age_years is 12", "age is 12"),
        ("leg.foot_length_mm is 300 mm", "foot length is 300 mm"),
        ("plan.overrides.fused_ankle gives", "the plan's overrides fused ankle gives"),
        ("4.5 mm of 2.1 in vs. one", "4.5 mm of 2.1 in vs. one"),
    ],
)
def test_a_field_becomes_words(field: str, words: str) -> None:
    assert spoken(field) == words


def warned(planned: Planned) -> Planned:
    """The same plan with every kind of warning and a written override."""
    path = "muscles.tibialis_posterior.force_N, range.affected.plantarflexion_limit_down_deg: check lever_mm"
    warnings = tuple(Caution(code, f"{path} ({code})", "x", "judged") for code in (*WARNINGS, "something-new"))
    rule = Fired(
        "fused_ankle", "block", "ankle joint fused", (View("x", "x", "x", "read"),), override="stiff by choice"
    )
    return replace(
        planned,
        weighing=replace(planned.weighing, warnings=warnings),
        outcome=replace(planned.outcome, rules=(rule, *planned.outcome.rules)),
    )


@pytest.mark.parametrize("language", OWN)
def test_no_field_path_stands_on_a_page(right_foot: Planned, language: str) -> None:
    changed, words = warned(right_foot), words_in(language)
    told = plain_cautions(changed, words)
    table = words.table["caution"]
    assert f"{table['fused_ankle']} {table['overridden']}" == told[0]
    assert {table[key] for key in (*filter(None, WARNINGS.values()), "other")} <= set(told)
    assert len(told) == len(set(told))
    pages = [consent_page(changed, language=language)[0], patient_page(changed, language)[0], theatre_page(changed)[0]]
    for pdf in pages:
        text = CITED.sub(" ", words_of(pdf))
        assert not FIELD.findall(re.sub(r"_{2,}", " ", text)), FIELD.findall(text)
    assert not [text for text in cautions_of(changed, 99) if FIELD.search(text)]


@pytest.mark.parametrize("language", OWN)
def test_habits_stand_on_the_patient_page(left_foot: Planned, language: str) -> None:
    habits = own_habits(left_foot, words_in(language))
    assert len(habits) == 3, "numb sole, diabetes, blood thinner of the invented case"
    told = words_of(patient_page(left_foot, language)[0]).replace("- ", "")
    assert all(text.replace("- ", "") in told for text in habits)


def test_the_german_pages_hold_no_english_title(planned: Planned) -> None:
    """All operations of the program are worded, not only the leading ones."""
    english = {thing.title for thing in (*ROUTES, *RECIPIENTS)} | {donor.title for donor in DONORS[1:]}
    for sheet in sheets(patient_page(planned, "de")[0]):
        text = sheet.words.replace("- ", "")
        assert not [title for title in english if title in text]
    words = words_in("de")
    for moved in catalogue():
        for part in moved.parts:
            assert words.line(f"site.{part.recipient.name}") and words.line(f"route.{part.route.name}")


def test_the_tension_of_the_plan_stands_apart_on_the_theatre_page(planned: Planned) -> None:
    found = planned.leg.tension
    assert found is not None
    assert found.at_once_N.p75 >= found.after_relaxation_N.p75 >= found.settled_N.p75 >= 0.0
    told = words_of(theatre_page(planned)[0])
    assert f"Set, on a scale at once: {found.at_once_N.p50:.0f} N" in told
    assert f"Settled: {found.settled_N.p50:.0f} N" in told and f"longer by {found.creep_mm.p50:.1f} mm" in told


def test_the_language_files_are_of_the_package() -> None:
    assert all((files("sinewright.wording") / "languages" / f"{code}.toml").is_file() for code in OWN)
