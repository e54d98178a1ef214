"""Draws of walking: reproducible, refused where impossible, with the masses and lengths of print."""

import numpy as np
import pytest

from sinewright.doubt.virtual import draw
from sinewright.doubt.walk import Drawn, draw_walk
from sinewright.errors import InputError
from sinewright.evidence.people import healthy
from sinewright.reference import load
from sinewright.solve.leg import Legs
from sinewright.solve.walk import CENTRE, INERTIA, MASS

G = 9.80665


@pytest.fixture(scope="module")
def legs() -> Legs:
    return draw(healthy(True), 300, 2).legs


@pytest.fixture(scope="module")
def drawn(legs: Legs) -> Drawn:
    return draw_walk(healthy(True), legs, 2)


def test_same_seed_same_walk(legs: Legs, drawn: Drawn) -> None:
    again = draw_walk(healthy(True), legs, 2)
    other = draw_walk(healthy(True), legs, 3)
    assert all(np.array_equal(a, b) for a, b in zip(drawn.walk, again.walk, strict=True))
    assert not np.array_equal(drawn.walk.base, other.walk.base)


@pytest.mark.parametrize("speed", [0.0, -1.0, 0.29, 2.1, float("nan")])
def test_impossible_speeds_are_refused_with_what_is_allowed(legs: Legs, speed: float) -> None:
    with pytest.raises(InputError, match=r"0\.3 to 2 m/s"):
        draw_walk(healthy(True), legs, 2, speed)


def test_slower_walking_takes_longer_and_swings_less(legs: Legs) -> None:
    slow, fast = (draw_walk(healthy(True), legs, 2, v) for v in (0.6, 1.5))
    assert np.all(slow.walk.step > fast.walk.step)
    assert np.all(slow.person.size < fast.person.size)


def test_mass_and_inertia_of_the_foot_and_shoe(drawn: Drawn) -> None:
    """Bare foot of 75 kg: rows anth-foot-*-75kg; a shoe adds what anth-shoe-gravity-torque says."""
    foot = drawn.walk.foot
    shoe = load().row("own-swing-shoe-mass")
    bare = load().row("anth-foot-mass-75kg")
    assert bare.low + 0.2 < np.median(foot[:, MASS]) < bare.high + 0.7
    weight = np.median(foot[:, MASS] * G * foot[:, CENTRE])
    low = load().row("anth-foot-gravity-torque-75kg").low + load().row("anth-shoe-gravity-torque").low
    high = load().row("anth-foot-gravity-torque-75kg").high + load().row("anth-shoe-gravity-torque").high
    assert low < weight < high
    about_ankle = foot[:, INERTIA + 2] + foot[:, MASS] * (foot[:, CENTRE] ** 2 + foot[:, CENTRE + 1] ** 2)
    least = load().row("anth-foot-inertia-75kg").low
    assert least < np.median(about_ankle) < least + shoe.value * 0.27**2
    for one in foot[:50]:
        xx, yy, zz, xy, xz, yz = one[INERTIA:]
        tensor = np.array([[xx, xy, xz], [xy, yy, yz], [xz, yz, zz]])
        principal = np.linalg.eigvalsh(tensor)
        assert principal[0] > 0.0 and principal[0] + principal[1] > principal[2]


def test_lengths_of_the_leg_are_those_of_a_person_of_its_height(drawn: Drawn) -> None:
    """A man of 178 cm: hip centre to floor 0.53 of stature (drillis1966), within 4 %."""
    person = drawn.person
    height = np.median(person.thigh + person.shank + person.ankle_height)
    assert height == pytest.approx(0.53 * 1.78, rel=0.04)


def test_kept_walks_let_a_healthy_foot_pass(drawn: Drawn, legs: Legs) -> None:
    """Legs whose own healthy foot would scrape the floor are rare among those kept."""
    from sinewright.doubt.prior import PriorSampler
    from sinewright.doubt.walk import FREE, NOTHING_MOVED, healthy_legs
    from sinewright.solve import swing as sw
    from sinewright.solve.passive_torque import SUBTALAR_NEUTRAL
    from sinewright.transfer.plans import build_plans

    sound, subtalar = healthy_legs(legs, PriorSampler(300, 2)), legs.passive[:, [SUBTALAR_NEUTRAL]]
    plans = build_plans([NOTHING_MOVED])
    out, failed = sw.swing(sound, plans, drawn.walk, np.full((300, 1), FREE), subtalar, 0.0)
    assert not failed.any()
    assert np.mean(out[:, 0, sw.CLEARANCE] > 0.0) > 0.9


def test_every_number_drawn_is_a_row_that_may_set_a_parameter(drawn: Drawn) -> None:
    assert len(drawn.rows) > 50
    assert all(load().row(id).use == "fit" for id in drawn.rows)
