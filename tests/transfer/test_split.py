"""Shares of a split tendon by virtual work: one tension, each limb its share, arms as the lengths change."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from sinewright.anatomy.path import POSE_SIZE, length_and_moment_arms, set_pose
from sinewright.solve.actuators import path_of
from sinewright.transfer.catalogue import recipients
from sinewright.transfer.plans import NATIVE, build_plans

from ..virtual_people import Floats, LegModel, flawless, leg_model, people, plan

SPLIT = (
    "tibialis_posterior.membrane_under.split_medial_cuneiform_cuboid",
    "tibialis_posterior.membrane_under.anterior_tibial_and_long_peroneal_stump",
    "tibialis_posterior.membrane_under.extensor_mass_above",
)
POSES = ((-0.4, 0.1), (0.0, 0.0), (0.2, -0.2))


def path(leg: LegModel, ankle: float, subtalar: float) -> Floats:
    pose = np.empty(POSE_SIZE)
    set_pose(leg.body.joint, ankle, subtalar, pose)
    return np.array(path_of(leg.actuators[NATIVE], 0.0, leg.body, pose))


@pytest.mark.parametrize("id", SPLIT)
def test_arms_are_minus_the_slope_of_the_shared_length(id: str) -> None:
    leg, h = leg_model(flawless(people("stiff_calf")), build_plans([plan(id)]), 2), 1e-5
    for ankle, subtalar in POSES:
        by_ankle = path(leg, ankle + h, subtalar)[0] - path(leg, ankle - h, subtalar)[0]
        by_subtalar = path(leg, ankle, subtalar + h)[0] - path(leg, ankle, subtalar - h)[0]
        assert path(leg, ankle, subtalar)[1:] == pytest.approx([-by_ankle / (2 * h), -by_subtalar / (2 * h)], abs=1e-8)


@pytest.mark.parametrize("id", SPLIT)
def test_the_moment_is_the_sum_of_what_each_limb_pulls(id: str) -> None:
    plans = build_plans([plan(id, 10.0)])
    leg = leg_model(flawless(people("stiff_calf")), plans, 2)
    leg.actuators["activation"][NATIVE] = 0.7
    idle = replace(leg, actuators=leg.actuators[:NATIVE])
    for ankle, subtalar in POSES:
        tension = leg.tension(NATIVE, path(leg, ankle, subtalar)[0])
        pose, expected = np.empty(POSE_SIZE), np.zeros(2)
        set_pose(leg.body.joint, ankle, subtalar, pose)
        body = leg.body
        for (first, last), share in zip(plans.ends[0, 0], plans.shares[0, 0], strict=True):
            if share > 0.0:
                moment_arms = length_and_moment_arms(
                    body.elements, first, last, body.points, body.cylinders, body.joint, pose
                )[1:]
                expected += share * tension * np.array(moment_arms)
        down = np.array([0.0, -1.0, 0.0])
        found = leg.moments(ankle, subtalar, 0.0, down)[:2] - idle.moments(ankle, subtalar, 0.0, down)[:2]
        assert found == pytest.approx(expected, rel=1e-9, abs=1e-9)


def test_a_split_lies_between_its_limbs() -> None:
    legs = flawless(people("stiff_calf"))
    one = "tibialis_posterior.membrane_under."
    both, inner, outer = (
        path(leg_model(legs, build_plans([plan(one + name)]), 0), 0.0, 0.0)
        for name in ("split_medial_cuneiform_cuboid", "medial_cuneiform_dorsum", "cuboid_dorsum")
    )
    assert both[1:] == pytest.approx(0.5 * (inner[1:] + outer[1:]), abs=1e-12)
    assert outer[2] < both[2] < inner[2]  # medial insertions turn in, lateral ones out


@pytest.mark.parametrize("recipient", recipients().values(), ids=lambda r: r.name)
def test_shares_add_up_to_one(recipient: object) -> None:
    assert sum(recipient.shares) == pytest.approx(1.0) and min(recipient.shares) > 0.0  # type: ignore[attr-defined]
    assert len(recipient.shares) == len(recipient.tails) <= 3  # type: ignore[attr-defined]


def test_an_offset_lengthens_the_whole_and_leaves_the_arms() -> None:
    leg = leg_model(flawless(people("stiff_calf")), build_plans([plan(SPLIT[0])]), 0)
    before = path(leg, 0.1, 0.0)
    leg.actuators["offset"][NATIVE] += 0.01
    assert path(leg, 0.1, 0.0) - before == pytest.approx([0.01, 0.0, 0.0], abs=1e-12)
