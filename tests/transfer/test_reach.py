"""Reach: tendon from the muscle end to the cut, less the way left to the junction, less the overlap."""

from __future__ import annotations

import numpy as np
import pytest

from sinewright.anatomy.skeleton import landmark_index
from sinewright.solve import answer as a
from sinewright.transfer.catalogue import catalogue
from sinewright.transfer.plans import build_plans
from sinewright.units import m, mm

from ..virtual_people import Floats, flawless, leg_model, path_length, people, plan

STEM = "deep_branch_strong_peroneals"
ON_THE_SHANK = "peroneus_longus.front_of_fibula_under.anterior_tibial_above"
TO_BONE = "tibialis_posterior.membrane_under.lateral_cuneiform_dorsum"


def legs() -> a.Legs:
    return flawless(people(STEM, 40))


def margin(*plans: object, column: int = a.REACH) -> Floats:
    out, _ = a.answer(legs(), build_plans(list(plans)), moment_only=True)  # type: ignore[arg-type]
    return mm(out[:, :, column])


def test_by_hand_for_a_way_of_three_points() -> None:
    """Long peroneal in front of the fibula onto the anterior tibial tendon: two straight pieces on the shank."""
    plans = build_plans([plan(ON_THE_SHANK, 4.0)])
    at = [landmark_index()[w] for w in ("long_peroneal_origin", "front_of_fibula", "anterior_tibial_junction")]
    found = margin(plan(ON_THE_SHANK, 4.0))
    for i in range(5):
        points = legs().points[i, at]
        way = np.linalg.norm(points[1] - points[0]) + np.linalg.norm(points[2] - points[1])
        body, muscle = leg_model(legs(), plans, i).body, plans.donor[0, 0]
        whole = path_length(body, *plans.native[muscle], 0.0, 0.0)
        cuboid, end = legs().points[i, [landmark_index()[f"long_peroneal_{w}"] for w in ("cuboid", "insertion")]]
        to_the_cut = whole - np.linalg.norm(end - cuboid)  # cut at the cuboid groove
        assert found[i, 0] == pytest.approx(mm(to_the_cut - way) + 4.0 - 30.0, abs=1e-6)  # row own-weave-overlap


@pytest.mark.parametrize("moved", catalogue()[::4], ids=lambda moved: moved.id)
def test_a_millimetre_tighter_spares_a_millimetre_more(moved: object) -> None:
    found = margin(plan(moved, 0.0), plan(moved, 7.5))  # type: ignore[arg-type]
    assert found[:, 1] - found[:, 0] == pytest.approx(7.5, abs=1e-6)


def test_posture_does_not_matter_for_a_way_on_the_shank_alone() -> None:
    found = margin(*(plan(ON_THE_SHANK, 0.0, angle) for angle in (-20.0, 0.0, 20.0)))
    assert np.ptp(found, axis=1).max() < 1e-9


def test_a_foot_held_higher_spares_tendon_for_a_bone_of_the_foot() -> None:
    found = margin(*(plan(TO_BONE, 0.0, angle) for angle in (-20.0, 0.0, 20.0)))
    assert np.all(np.diff(found, axis=1) > 0.0)


def test_a_longer_overlap_takes_its_length() -> None:
    usual, long = plan(TO_BONE), plan(TO_BONE)
    long = type(long)(long.moved, long.ankle, long.subtalar, long.knee, long.stretch, overlap=m(45.0))
    found = margin(usual, long)
    assert found[:, 0] - found[:, 1] == pytest.approx(45.0 - 25.0, abs=1e-6)  # row own-tunnel-length


def test_of_two_donors_the_shorter_one_counts() -> None:
    pair = "tibialis_posterior.membrane_under.lateral_cuneiform_dorsum"
    other = "flexor_digitorum_longus.membrane_under.long_extensors_above"
    found = margin(plan(f"{pair}+{other}"), plan(pair), plan(other))
    assert found[:, 0] == pytest.approx(found[:, 1:].min(axis=1), abs=1e-9)
    past = margin(plan(f"{pair}+{other}"), plan(pair), plan(other), column=a.BELLY_PAST)
    assert past[:, 0] == pytest.approx(past[:, 1:].max(axis=1), abs=1e-9)


def test_a_tendon_joined_higher_up_reaches_more_easily_and_meets_muscle_sooner() -> None:
    above, below = (plan(f"tibialis_posterior.membrane_under.anterior_tibial_{w}") for w in ("above", "below"))
    reach, past = margin(above, below), margin(above, below, column=a.BELLY_PAST)
    assert np.all(reach[:, 0] > reach[:, 1]) and np.all(past[:, 0] > past[:, 1])


def test_margin_is_free_tendon_plus_belly_past_less_overlap() -> None:
    plans = build_plans([plan(TO_BONE, 3.0)])
    reach, past = margin(plan(TO_BONE, 3.0)), margin(plan(TO_BONE, 3.0), column=a.BELLY_PAST)
    for i in range(5):
        free = path_length(leg_model(legs(), plans, i).body, *plans.cut[0, 0], 0.0, 0.0)
        assert reach[i, 0] == pytest.approx(mm(free) + past[i, 0] - 25.0, abs=1e-6)


def test_nothing_moved_never_limits() -> None:
    assert np.all(margin(plan(None)) == 1000.0)
