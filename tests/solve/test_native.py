"""The muscles in place: signs of their arms, and the moment of full effort by hand."""

from __future__ import annotations

import numpy as np
import pytest

from sinewright.anatomy.skeleton import Skeleton
from sinewright.muscle.equilibrium import MuscleTendon, elastic_force, rigid_force_and_stiffness
from sinewright.muscle.names import CALF, DEEP, FRONT, LEG_MUSCLES, SIDE
from sinewright.solve.native import effort_moments, native_lengths
from sinewright.transfer.catalogue import path_table
from sinewright.transfer.plans import build_plans, native_ends
from sinewright.units import rad

from ..virtual_people import Floats, leg_model, people, plan

N = 200


def lengths_at(ankle_deg: float, subtalar_deg: float = 0.0) -> Floats:
    legs = people("stiff_calf", N)
    skeleton = Skeleton(legs.points, legs.cylinders, legs.joint)
    angles = np.full(N, rad(ankle_deg)), np.full(N, rad(subtalar_deg))
    return native_lengths(skeleton, path_table().elements, native_ends(), *angles)


def columns(names: tuple[str, ...]) -> list[int]:
    return [LEG_MUSCLES.index(name) for name in names]


@pytest.mark.parametrize("ankle_deg", [-40.0, -20.0, 0.0, 10.0, 20.0, 25.0])
def test_which_muscles_lift_and_which_push_down(ankle_deg: float) -> None:
    moment_arms = lengths_at(ankle_deg)[:, :, 1]
    assert np.all(moment_arms[:, columns(FRONT)] > 0.0)
    assert np.all(moment_arms[:, columns((*CALF, "flexor_digitorum_longus", "flexor_hallucis_longus"))] < 0.0)
    assert np.all(np.median(moment_arms[:, columns((*SIDE, *DEEP))], axis=0) < 0.0)


@pytest.mark.parametrize("ankle_deg", [-30.0, 0.0])
def test_which_muscles_turn_in_and_which_turn_out(ankle_deg: float) -> None:
    moment_arms = np.median(lengths_at(ankle_deg)[:, :, 2], axis=0)
    assert np.all(
        moment_arms[columns(("tibialis_posterior", "flexor_digitorum_longus", "flexor_hallucis_longus"))] > 0.0
    )
    assert np.all(moment_arms[columns((*SIDE, "peroneus_tertius", "extensor_digitorum_longus"))] < 0.0)


def test_lengths_and_arms_are_those_of_the_pulls() -> None:
    legs = people("stiff_calf", N)
    found, plans = lengths_at(-15.0, 8.0), [plan(None)]
    for i in (0, 50):
        leg = leg_model(legs, build_plans(plans), i)
        lengths = [leg.length(k, rad(-15.0), rad(8.0), 0.0) for k in range(12)]
        assert lengths == pytest.approx(found[i, :, 0], abs=1e-15)
        h = 1e-5
        for k in range(12):
            rise = leg.length(k, rad(-15.0) + h, rad(8.0), 0.0) - leg.length(k, rad(-15.0) - h, rad(8.0), 0.0)
            assert found[i, k, 1] == pytest.approx(-rise / (2 * h), abs=1e-8)


@pytest.mark.parametrize("elastic", [True, False])
def test_effort_adds_active_force_times_arm(elastic: bool) -> None:
    legs, lengths, shift = people("stiff_calf", N), lengths_at(5.0, -4.0), np.full((N, 12), 0.004)
    found = effort_moments(legs.muscles, lengths, shift, elastic)
    for i in (0, 77):
        for k in range(12):
            muscle, whole = MuscleTendon(*legs.muscles[i, k]), lengths[i, k, 0] - 0.004
            force = elastic_force if elastic else rigid_force_and_stiffness
            forces = [force(muscle, whole, a)[0] for a in (1.0, 0.0)]
            expected = (forces[0] - forces[1]) * lengths[i, k, 1:]
            assert found[i, k] == pytest.approx(expected, abs=1e-9)


def test_a_bent_knee_takes_strength_from_the_gastrocnemius_pushing_down() -> None:
    legs, lengths = people("stiff_calf", N), lengths_at(-20.0)
    bent = np.zeros((N, 12))
    bent[:, 10:] = 0.03
    straight, slack = (-effort_moments(legs.muscles, lengths, s)[:, :, 0] for s in (np.zeros((N, 12)), bent))
    assert np.median(slack[:, 10:].sum(axis=1) / straight[:, 10:].sum(axis=1)) < 0.9
    assert np.array_equal(slack[:, :10], straight[:, :10])
