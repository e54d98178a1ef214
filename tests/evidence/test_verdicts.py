"""Each verdict says inside just inside and outside just outside; a check turns when the legs are wrong."""

from dataclasses import replace
from functools import cached_property

import numpy as np
import pytest

from sinewright.anatomy.path import POSE_SIZE
from sinewright.evidence import CHECKS
from sinewright.evidence.moved import ROUND, UNDER, by_length, with_force
from sinewright.evidence.result import OUTSIDE, REPRODUCED, WITHIN, result_of
from sinewright.evidence.scene import Scene, in_turns
from sinewright.evidence.transfer import crossing
from sinewright.evidence.verdicts import (
    angle,
    centre_of_series,
    many,
    row,
    share_of_people,
    to_rounding,
    unit,
    within,
    within_range,
    within_sd,
)
from sinewright.solve.leg import Legs

MM = unit("mm")
PRINTED = row("out-hove1998-active-dorsiflexion")  # median 5 deg of 20 feet


def check(id: str):  # type: ignore[no-untyped-def]
    return next(c for c in CHECKS if c.id == id)


def test_an_angle_is_told_in_words() -> None:
    assert angle(5.0) == "5.0° up"
    assert angle(-12.34) == "12.3° down"
    assert unit("")(1.0) == "1.0"


@pytest.mark.parametrize(("found", "outcome"), [(59.9, WITHIN), (60.1, OUTSIDE), (40.1, WITHIN), (39.9, OUTSIDE)])
def test_one_standard_deviation_either_way(found: float, outcome: str) -> None:
    printed = replace(PRINTED, bounds=(50.0, 50.0), sd=10.0)
    assert within_sd(found, printed, MM).outcome == outcome
    with pytest.raises(ValueError, match="no standard deviation"):
        within_sd(found, replace(printed, sd=None), MM)


def test_ends_of_a_range_and_of_a_tolerance() -> None:
    assert within_range(4.0, 4.0, 9.0, MM).outcome == WITHIN
    assert within_range(9.01, 4.0, 9.0, MM).outcome == OUTSIDE
    assert within_range(float("nan"), 4.0, 9.0, MM).outcome == OUTSIDE
    assert within(11.0, 10.0, 1.0, MM).outcome == WITHIN
    assert within(11.1, 10.0, 1.0, MM).outcome == OUTSIDE


def test_rounding_of_print_is_half_the_last_digit() -> None:
    printed = replace(PRINTED, bounds=(1.23, 1.23))
    assert to_rounding([1.2349], [printed], 0.005, MM).outcome == REPRODUCED
    assert to_rounding([1.2352], [printed], 0.005, MM).outcome == OUTSIDE


def test_one_number_outside_makes_all_outside_and_is_named() -> None:
    good = many([1.0, 2.0], [1.1, 2.1], 0.2, ("a", "b"), MM)
    bad = many([1.0, 3.0], [1.1, 2.1], 0.2, ("a", "b"), MM)
    assert good.outcome == WITHIN and "2 of 2 inside" in good.found
    assert bad.outcome == OUTSIDE and "b 3.0 mm (outside)" in bad.found


def test_wilson_interval_of_7_in_12() -> None:
    # hand: p 0.5833, z 1.96: (0.5833 + 0.1601 -+ 0.3226)/1.3201 = 0.319 to 0.807
    printed = replace(PRINTED, bounds=(7.0, 7.0), n=12)
    assert share_of_people(0.325, printed).outcome == WITHIN
    assert share_of_people(0.312, printed).outcome == OUTSIDE
    assert share_of_people(0.80, printed).outcome == WITHIN
    assert share_of_people(0.815, printed).outcome == OUTSIDE


def test_a_centre_of_twenty_feet_must_be_one_that_the_group_gives() -> None:
    values = np.random.default_rng(2).normal(5.0, 8.0, 2000)

    def mean(x: np.ndarray) -> float:
        return float(np.mean(x))

    # standard error 8/sqrt(20) = 1.79: 95 % are 3.5 either way
    assert centre_of_series(values, replace(PRINTED, bounds=(7.5, 7.5)), mean, angle).outcome == WITHIN
    assert centre_of_series(values, replace(PRINTED, bounds=(9.5, 9.5)), mean, angle).outcome == OUTSIDE


def test_where_a_sweep_changes_side() -> None:
    assert crossing(np.array([3.0, 1.0, -1.0, -2.0, -3.0])) == pytest.approx(2.5)
    assert crossing(np.array([-1.0, -2.0, -3.0, -4.0, -5.0])) is None


class WeakLegs(Scene):
    """Healthy legs with a third of their force."""

    @cached_property
    def men(self) -> Legs:
        legs = Scene().men
        muscles = legs.muscles.copy()
        muscles[:, :, 0] /= 3.0
        return legs._replace(muscles=muscles)

    @cached_property
    def both(self) -> Legs:
        return in_turns(self.men, self.men)


@pytest.mark.parametrize("id", ["torque-plantarflexion-dafonseca2025", "active-range-up-boone1979"])
def test_weak_legs_turn_a_check_outside(id: str, scene: Scene) -> None:
    assert result_of(check(id), scene).outcome == WITHIN
    assert result_of(check(id), WeakLegs()).outcome == OUTSIDE


def test_a_pulled_foot_gives_back_the_length_and_balances(scene: Scene) -> None:
    for head in (UNDER, ROUND):
        text = f"{head}metatarsal_3_base"
        hang, pulled = with_force(scene, text, 0.0), by_length(scene, text, 15.0)
        took = (
            scene.way_mm(text, hang.ankle_deg, hang.subtalar_deg)[0]
            - scene.way_mm(text, pulled.ankle_deg, pulled.subtalar_deg)[0]
        )
        assert took == pytest.approx(15.0, abs=1e-6)
        again = with_force(scene, text, pulled.force)
        assert again.ankle_deg == pytest.approx(pulled.ankle_deg, abs=1e-6)


def test_the_hanging_foot_of_the_machine_is_that_of_the_solver(scene: Scene) -> None:
    """Second method: the program's own balance search, with nothing that pulls."""
    from sinewright.solve.actuators import actuator_rows
    from sinewright.solve.balance import HANGING, Limb, balance
    from sinewright.solve.leg import Body
    from sinewright.transfer.catalogue import path_table

    leg = scene.leg
    body = Body(path_table().elements, leg.points[0], leg.cylinders[0], leg.joint[0], scene.printed_passive, True)
    limb, poses = Limb(0.5 * np.pi, HANGING), np.empty((3, POSE_SIZE))
    ankle, subtalar, _, _, bad = balance(-0.1, 0.0, limb, actuator_rows()[:0], body, poses)
    hang = with_force(scene, f"{UNDER}metatarsal_3_base", 0.0)
    assert bad == 0
    assert np.degrees(ankle) == pytest.approx(hang.ankle_deg, abs=1e-6)
    assert np.degrees(subtalar) == pytest.approx(hang.subtalar_deg, abs=1e-6)
