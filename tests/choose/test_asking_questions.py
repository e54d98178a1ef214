"""What is asked: every finding whose true value the legs carry, with the error of its instrument, and nothing else."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fnmatch import fnmatchcase
from functools import cache

import numpy as np
import pytest

from sinewright.case import Case, changed
from sinewright.case.fields import Section, bounds_of
from sinewright.case.listing import entry
from sinewright.choose.asking import questions
from sinewright.choose.asking_question import Examined, Question
from sinewright.choose.asking_strength import TENSION, _scan
from sinewright.doubt.torques import LIFTERS
from sinewright.doubt.virtual import draw
from sinewright.muscle.names import LEG_MUSCLES
from sinewright.reference import load
from sinewright.solve.leg import Legs
from sinewright.solve.passive_torque import MASS_X
from sinewright.solve.table import free_tendon
from sinewright.transfer.catalogue import catalogue
from sinewright.transfer.plans import build_plans
from sinewright.transfer.surgery import DONORS

from ..support.not_asked import NOT_ASKED, why_not_asked
from ..virtual_people import blank, example, plan

N = 500
SECTIONS = ("person", "leg", "range", "torque", "muscles")


@cache
def legs_of(stem: str) -> Examined:
    case = example(stem) if stem else blank()
    return Examined(case, draw(case, N, 1), 1)


@cache
def asked_of(stem: str) -> dict[str, Question]:
    examined = legs_of(stem)
    return {q.title: q for q in questions(examined.case, examined.virtual, 1)}


def numbers_of(model: type[Section], path: str) -> Iterator[str]:
    """Paths of every number found on the patient."""
    for name, field in model.model_fields.items():
        kind = field.annotation
        if bounds_of(field) is not None:
            yield f"{path}{name}"
        elif isinstance(kind, type) and issubclass(kind, Section):
            yield from numbers_of(kind, f"{path}{name}.")


def test_every_number_of_an_examination_is_asked_for_or_has_its_reason() -> None:
    asked = {q.field for q in asked_of("").values()} - {""}
    paths = []
    for section in SECTIONS:
        kind = Case.model_fields[section].annotation
        assert isinstance(kind, type) and issubclass(kind, Section)
        paths += list(numbers_of(kind, f"{section}."))
    assert asked <= set(paths)
    silent = [path for path in paths if path not in asked and not why_not_asked(path)]
    assert silent == []
    assert [path for path in asked if why_not_asked(path)] == []
    words = [f"muscles.{name}.{word}" for name in LEG_MUSCLES for word in ("grade", "fat_grade")]
    assert [pattern for pattern in NOT_ASKED if not any(fnmatchcase(path, pattern) for path in (*paths, *words))] == []


def test_what_was_measured_is_asked_again_only_as_a_second_reading() -> None:
    case = example("borderline_donor")
    for question in asked_of("borderline_donor").values():
        if question.field:
            assert (entry(case, question.field) is not None) == question.again
            assert question.again == question.how.startswith("A second reading")
    titles = set(asked_of("borderline_donor"))
    assert not titles & {"Strength of the tibialis posterior", "Lifting torque of the other leg", "Foot length"}
    assert {"Passive lift of the ankle, knee straight", "Stiffness of the hindfoot"} <= titles


def test_a_size_that_is_not_known_is_asked_for() -> None:
    case = changed(example("borderline_donor"), {"leg.shank_length_mm": None, "person.mass_kg": None})
    virtual = draw(case, 50, 1)
    found = {q.title: q for q in questions(case, virtual, 1)}
    assert {"Length of the shank", "Body mass"} <= set(found)
    assert "Foot length" not in found


def test_a_muscle_without_pull_and_a_donor_left_out_are_not_asked_for() -> None:
    examined = legs_of("borderline_donor")
    gone = [n for n in LEG_MUSCLES if getattr(examined.case.muscles, n).state == "paralysed"]
    names = [donor.title.lower() for donor in DONORS if donor.muscle in gone]
    assert names
    assert not any(name in title.lower() for name in names for title in asked_of("borderline_donor"))
    assert "Lifting torque of this leg" not in asked_of("borderline_donor")
    left_out = changed(examined.case, {"plan.exclude_donors": ("flexor_digitorum_longus",)})
    titles = {q.title for q in questions(left_out, examined.virtual, 1)}
    assert "Free tendon of the long toe flexor" not in titles
    assert "Free tendon of the great-toe flexor" in titles


def test_what_cannot_be_known_beforehand_is_said_to_be_so() -> None:
    assert [q.title for q in asked_of("").values() if not q.can_be_measured] == [
        "Scar and gliding of the moved tendon",
        "How well the muscle learns",
    ]


def test_true_values_are_those_of_the_legs() -> None:
    examined, asked = legs_of(""), asked_of("")
    legs, value = examined.legs, load().fit_value
    along = value("anth-foot-com-men-deleva1996") - value("own-ankle-axis-from-heel")
    assert asked["Foot length"].truth == pytest.approx(legs.passive[:, MASS_X] / along)
    assert asked["Lifting torque of the other leg"].truth is legs.normal_lift
    for donor in DONORS:
        moved = next(m for m in catalogue() if m.parts[0].donor == donor)
        free = free_tendon(legs, build_plans([plan(moved)]))  # as the table measures it
        title = f"Free tendon of the {donor.title[0].lower()}{donor.title[1:]}"
        assert asked[title].truth == pytest.approx(1000.0 * free)
    lifted = asked["Lifting torque of this leg"].truth
    weakest, strongest = legs.capacity[:, LIFTERS].min(axis=1), legs.capacity[:, LIFTERS].max(axis=1)
    assert np.all(lifted >= weakest * legs.normal_lift * (1 - 1e-9))
    assert np.all(lifted <= strongest * legs.normal_lift * (1 + 1e-9))


@pytest.mark.parametrize(
    ("title", "row", "per"),
    [
        ("Foot length", "own-size-reading-error", 0.001),
        ("Body mass", "own-ask-body-mass-error", 1.0),
        ("Free tendon of the tibialis posterior", "own-ask-tendon-length-error", 1.0),
        ("Resting angle of the hanging foot", "own-rest-reading-error", 1.0),
        ("Active lift, knee bent", "own-active-reading-error", 1.0),
    ],
)
def test_a_reading_errs_by_the_row_of_its_instrument(title: str, row: str, per: float) -> None:
    """Bound: four standard errors of a sampled standard deviation, 4 / sqrt(2 N)."""
    question = asked_of("")[title]
    assert row in question.rows
    error = question.reading - question.truth
    assert float(np.std(error)) == pytest.approx(load().fit_value(row) * per, rel=4.0 / (2.0 * N) ** 0.5)
    assert abs(float(np.mean(error))) < 4.0 * float(np.std(error)) / N**0.5


def test_a_relative_error_is_that_of_its_row() -> None:
    question = asked_of("")["Stiffness of the hindfoot"]
    spread = float(np.std(np.log(question.reading / question.truth)))
    share = load().fit_value("own-ask-hindfoot-stiffness-error") / 100.0
    assert spread == pytest.approx(np.sqrt(np.log1p(share**2)), rel=4.0 / (2.0 * N) ** 0.5)


def test_every_question_names_the_rows_of_its_error() -> None:
    for question in asked_of("").values():
        assert bool(question.rows) == question.can_be_measured
        for row in question.rows:
            load().fit_value(row)


def test_a_volume_says_of_the_force_what_the_specific_tension_leaves() -> None:
    """ln F = ln V + ln tension - ln fibre with known spreads: V, seen from F, has the correlation of the true V."""
    examined, donor = legs_of(""), DONORS[0]
    i, rng, n = LEG_MUSCLES.index(donor.muscle), np.random.default_rng(3), 40_000
    row = load().row(TENSION)
    tension = np.sqrt(np.log1p(((row.sd or 0.0) / row.value) ** 2))
    log_volume, log_tension = 0.3 * rng.standard_normal(n), tension * rng.standard_normal(n)
    legs = Legs(*(np.repeat(part[:1], n, axis=0) for part in examined.legs))
    legs.muscles[:, i, 0], legs.muscles[:, i, 1] = np.exp(log_volume + log_tension), 1.0
    many = Examined(examined.case, replace(examined.virtual, now=legs, legs=legs), 1)
    volume, _ = _scan(many, donor)
    full = np.log(legs.muscles[:, i, 0])
    assert float(np.std(np.log(volume))) == pytest.approx(0.3, rel=0.02)
    assert np.corrcoef(np.log(volume), full)[0, 1] == pytest.approx(np.corrcoef(log_volume, full)[0, 1], abs=0.01)
