"""Full force by norm and other leg, strength now by what was examined."""

from __future__ import annotations

import numpy as np
import pytest

from sinewright.doubt.force import LIFTERS, Forces
from sinewright.doubt.prior import PriorSampler
from sinewright.doubt.proposal import propose
from sinewright.muscle.names import LEG_MUSCLES
from sinewright.muscle.norms import torque_norm
from sinewright.solve.leg import Legs

from ..virtual_people import Floats, blank

N = 1500
TP, SOLEUS = LEG_MUSCLES.index("tibialis_posterior"), LEG_MUSCLES.index("soleus")


def people(text: str = "", n: int = N) -> tuple[Legs, Forces]:
    return propose(blank(text), PriorSampler(n, 21))


def strength(text: str, muscle: int = TP) -> Floats:
    return people(text)[0].capacity[:, muscle]


@pytest.mark.parametrize(("sex", "age"), [("male", 30), ("female", 30), ("male", 65)])
def test_norms_are_reproduced_at_neutral(sex: str, age: float) -> None:
    """The middle leg is brought to the norm exactly; the scatter of arms and fibres moves the median a little."""
    forces = people(f'[person]\nsex = "{sex}"\nage_years = {age}\n')[1]
    lift = torque_norm("dorsiflexors", sex, age).value  # type: ignore[arg-type]
    push = torque_norm("plantarflexors", sex, age).value  # type: ignore[arg-type]
    assert np.median(forces.normal_lift) == pytest.approx(lift, rel=0.08)
    assert np.median(-forces.moments[:, ~LIFTERS, 0].sum(axis=1)) == pytest.approx(push, rel=0.08)


def test_people_differ_in_strength_as_the_norms_say_or_more() -> None:
    forces = people('[person]\nsex = "male"\nage_years = 30\n')[1]
    norm = torque_norm("dorsiflexors", "male", 30.0)
    assert np.std(np.log(forces.normal_lift)) > 0.8 * norm.cv


def test_muscles_of_one_leg_are_strong_together() -> None:
    ln = np.log(people()[0].muscles[:, :, 0])
    r = np.corrcoef(ln.T)
    assert np.all(r > 0.0)
    assert r[TP, LEG_MUSCLES.index("flexor_digitorum_longus")] > r[TP, LEG_MUSCLES.index("tibialis_anterior")]


def test_the_other_legs_torque_pulls_the_draws() -> None:
    usual, strong, weak = (
        people(text)[1]
        for text in ("", "[torque.other]\ndorsiflexion_Nm = 55\n", "[torque.other]\ndorsiflexion_Nm = 15\n")
    )
    medians = [np.median(f.normal_lift) for f in (weak, usual, strong)]
    assert medians[0] < medians[1] < medians[2]
    spreads = [np.std(np.log(f.normal_lift)) for f in (usual, strong)]
    assert spreads[1] < spreads[0]


def test_the_other_legs_push_down_leaves_the_lifters_nearly_alone() -> None:
    usual, strong = (people(text)[1] for text in ("", "[torque.other]\nplantarflexion_Nm = 160\n"))
    push = [np.median(-f.moments[:, ~LIFTERS, 0].sum(axis=1)) for f in (usual, strong)]
    lift = [np.median(f.normal_lift) for f in (usual, strong)]
    assert push[1] / push[0] > 1.15 and 1.0 < lift[1] / lift[0] < push[1] / push[0]  # one limb: strong together


@pytest.mark.parametrize("state", ["paralysed", "absent"])
def test_a_muscle_without_contraction_is_exactly_nothing(state: str) -> None:
    found = strength(f'[muscles.tibialis_posterior]\nstate = "{state}"\n')
    assert np.all(found == 0.0)


def test_a_grade_is_wide_and_a_dynamometer_narrow() -> None:
    grade = strength('[muscles.tibialis_posterior]\ngrade = "4"\n')
    measured = strength("[muscles.tibialis_posterior]\nforce_N = 80\nother_side_force_N = 130\n")
    assert grade.std() / grade.mean() > 1.3 * measured.std() / measured.mean()
    assert np.median(measured) == pytest.approx(80 / 130, abs=0.08)


def test_a_higher_grade_is_stronger() -> None:
    found = [np.median(strength(f'[muscles.tibialis_posterior]\ngrade = "{g}"\n')) for g in ("2", "3", "4", "5")]
    assert np.all(np.diff(found) > 0.0) and found[0] < 0.2 < 0.6 < found[-1]


def test_a_measured_donor_beats_its_grade() -> None:
    both = strength('[muscles.tibialis_posterior]\ngrade = "5"\nforce_N = 40\nother_side_force_N = 130\n')
    alone = strength("[muscles.tibialis_posterior]\nforce_N = 40\nother_side_force_N = 130\n")
    assert np.array_equal(both, alone) and np.median(both) < 0.45


def test_strength_never_exceeds_what_is_possible() -> None:
    found = strength("[muscles.tibialis_posterior]\nforce_N = 300\nother_side_force_N = 100\n")
    assert np.all(found <= 1.2) and np.all(people()[0].capacity >= 0.0)


def test_how_each_strength_is_known_is_told() -> None:
    how = people('[muscles.tibialis_posterior]\ngrade = "4"\n[muscles.peroneus_longus]\nstate = "absent"\n', 20)[1].how
    assert "grade 4" in how["tibialis_posterior"] and "absent" in how["peroneus_longus"]
    assert "not examined" in how["soleus"] and set(how) == set(LEG_MUSCLES)


@pytest.mark.parametrize(("column", "low", "high"), [(1, 0.01, 0.2), (2, 0.019, 0.6), (3, 0.0, 0.7), (4, 0.004, 0.15)])
def test_every_muscle_stays_inside_the_range_of_its_curves(column: int, low: float, high: float) -> None:
    muscles = people("", 4000)[0].muscles
    assert np.all(np.isfinite(muscles)) and np.all(muscles[:, :, 0] > 0.0)
    assert low <= muscles[:, :, column].min() and muscles[:, :, column].max() <= high


@pytest.mark.parametrize("sex", ["female", "male"])
def test_a_donor_of_80_years_is_weaker_than_one_of_25(sex: str) -> None:
    size = "height_cm = 170\nmass_kg = 75\n"
    young, old = (people(f'[person]\nsex = "{sex}"\nage_years = {age}\n{size}', 300)[0] for age in (25, 80))
    assert np.median(old.muscles[:, TP, 0]) < 0.85 * np.median(young.muscles[:, TP, 0])


@pytest.mark.parametrize(("sex", "age", "height", "mass"), [("female", 97, 170, 180), ("male", 110, 170, 75)])
def test_forces_are_numbers_for_every_person_that_a_case_may_hold(sex: str, age: int, height: int, mass: int) -> None:
    person = f'[person]\nsex = "{sex}"\nage_years = {age}\nheight_cm = {height}\nmass_kg = {mass}\n'
    assert np.all(np.isfinite(people(person, 20)[0].muscles))


def test_the_triceps_stays_most_of_the_push_down_in_old_age() -> None:
    forces = people('[person]\nsex = "male"\nage_years = 92\nheight_cm = 180\nmass_kg = 90\n', 300)[1]
    push = -forces.moments[:, :, 0]
    share = push[:, SOLEUS:].sum(axis=1) / push[:, ~LIFTERS].sum(axis=1)
    assert np.median(share) > 0.7
