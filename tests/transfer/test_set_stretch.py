"""Set stretch by its definition (a donor at rest in place, then sewn), and what it does to the pull."""

from __future__ import annotations

import numpy as np
import pytest

from sinewright.muscle.equilibrium import MuscleTendon
from sinewright.muscle.names import LEG_MUSCLES
from sinewright.solve import answer as a
from sinewright.solve.actuators import muscle_tension
from sinewright.solve.leg import SETTLING_BONE, SETTLING_WEAVE, TOE_TAKE_UP
from sinewright.transfer.catalogue import catalogue
from sinewright.transfer.plans import NATIVE, build_plans
from sinewright.units import m, mm, rad

from ..virtual_people import Floats, flawless, leg_model, path_length, people, plan, shares_of

SINGLE = [moved for moved in catalogue() if "+" not in moved.id]
STEM, N = "deep_branch_strong_peroneals", 200


def new_length(
    legs: a.Legs, id_or_moved: object, set_stretch_mm: float, i: int, ankle: float, subtalar: float
) -> float:
    """l_MT,rest + s + L_new(q) - L_new(q_fix): rest at ankle neutral (the donors do not cross the knee)."""
    plans = build_plans([plan(id_or_moved, set_stretch_mm)])  # type: ignore[arg-type]
    body = leg_model(legs, plans, i).body
    ends, shares, count = plans.ends[0, 0], shares_of(legs, plans, i), plans.path_count[0, 0]

    def way(ankle: float, subtalar: float) -> float:
        return sum(float(shares[s]) * path_length(body, *ends[s], ankle, subtalar) for s in range(count))

    rest = path_length(body, *plans.native[plans.donor[0, 0]], 0.0, 0.0)
    fix = plans.fixing[0] + legs.execution[i, 1:]
    return rest + m(set_stretch_mm) + legs.execution[i, 0] + way(ankle, subtalar) - way(fix[0], fix[1])


@pytest.mark.parametrize("moved", SINGLE[::3], ids=lambda moved: moved.id)
def test_the_junction_pulls_what_the_definition_says(moved: object) -> None:
    """Pull in lift = tension of the donor at the defined length, after settling and toes, with the effort left."""
    legs = people(STEM)
    plans = build_plans([plan(moved, 9.0)])  # type: ignore[arg-type]
    out, failed = a.answer(legs, plans)
    muscle = plans.donor[0, 0]
    for i in np.flatnonzero(failed[:, 0] == 0)[:10]:
        losses, answer = legs.losses[i], out[i, 0]
        length = new_length(legs, moved, 9.0, i, answer[a.LIFT], answer[a.SUBTALAR_IN_LIFT])
        length -= losses[SETTLING_BONE if plans.bone[0, 0] else SETTLING_WEAVE]
        length -= losses[TOE_TAKE_UP] * ("long_extensors" in moved.id)  # type: ignore[attr-defined]
        constants, activation = MuscleTendon(*legs.muscles[i, muscle]), float(leg_model(legs, plans, i).activation[0])
        expected = muscle_tension(constants, activation, float(length), True)[0]
        assert answer[a.PULL] == pytest.approx(expected, rel=1e-6, abs=1e-6)


@pytest.mark.parametrize("moved", SINGLE[::4], ids=lambda moved: moved.id)
def test_stretch_zero_leaves_the_fibres_as_they_lay(moved: object) -> None:
    """In the fixing posture the muscle-tendon length is that at rest in place, plus the stretch, whatever the way."""
    legs = flawless(people(STEM))
    for stretch in (-8.0, 0.0, 12.0):
        plans = build_plans([plan(moved, stretch, ankle_deg=-5.0)])  # type: ignore[arg-type]
        for i in range(5):
            leg = leg_model(legs, plans, i)
            rest = leg.length(int(plans.donor[0, 0]), 0.0, 0.0, rad(30.0))
            assert mm(leg.length(NATIVE, rad(-5.0), 0.0, rad(30.0)) - rest) == pytest.approx(stretch, abs=1e-9)


def test_tighter_is_positive_and_stretches_the_donor() -> None:
    legs = flawless(people(STEM))
    moved = "tibialis_posterior.membrane_under.lateral_cuneiform_dorsum"
    slack, tight = (leg_model(legs, build_plans([plan(moved, s)]), 0) for s in (0.0, 15.0))
    lengths = [leg.length(NATIVE, 0.1, 0.0, 0.0) for leg in (slack, tight)]
    assert mm(lengths[1] - lengths[0]) == pytest.approx(15.0)
    assert tight.tension(NATIVE, lengths[1]) > slack.tension(NATIVE, lengths[0])


def test_a_foot_held_higher_while_sewing_leaves_the_tendon_longer_afterwards_in_neutral() -> None:
    """With the same fibre length in the fixing posture, a higher foot while sewing means tighter at neutral."""
    legs = flawless(people(STEM))
    moved = "tibialis_posterior.membrane_under.lateral_cuneiform_dorsum"
    low, high = (leg_model(legs, build_plans([plan(moved, 5.0, angle)]), 0) for angle in (0.0, 15.0))
    assert high.length(NATIVE, 0.0, 0.0, 0.0) > low.length(NATIVE, 0.0, 0.0, 0.0)


def test_errors_of_the_surgeon_add_to_what_was_planned() -> None:
    legs = flawless(people(STEM))
    moved = "peroneus_longus.front_of_fibula_under.anterior_tibial_above"
    wrong = legs.execution.copy()
    wrong[:, 0], wrong[:, 1], wrong[:, 2] = m(3.0), rad(4.0), rad(-2.0)
    out, _ = a.answer(legs._replace(execution=wrong), build_plans([plan(moved, 7.0)]))
    sewn = plan(moved, 10.0, 12.0)
    meant, _ = a.answer(legs, build_plans([type(sewn)(sewn.moved, sewn.ankle, rad(-2.0), sewn.knee, sewn.stretch)]))
    columns = [a.REST, a.LIFT, a.PUSH, a.MOMENT, a.REACH]
    assert out[:, 0, columns] == pytest.approx(meant[:, 0, columns], abs=1e-7)


def effort(legs: a.Legs, moved: object) -> Floats:
    plans = build_plans([plan(moved, 0.0)])  # type: ignore[arg-type]
    return np.array([leg_model(legs, plans, i).activation[0] for i in range(20)])


def test_without_losses_the_donor_keeps_its_strength() -> None:
    legs = flawless(people(STEM))
    for moved in SINGLE[::5]:
        i = LEG_MUSCLES.index(moved.parts[0].donor.muscle)
        assert effort(legs, moved) == pytest.approx(legs.capacity[:20, i], rel=1e-12)


def test_lift_alone_uses_the_donor() -> None:
    legs = flawless(people(STEM))
    leg = leg_model(legs, build_plans([plan(SINGLE[0])]), 0)
    assert leg.ask(push=True, capacity=legs.capacity[0]).actuators["activation"][NATIVE] == 0.0
    assert leg.ask(lift=True, capacity=legs.capacity[0]).actuators["activation"][NATIVE] > 0.0
