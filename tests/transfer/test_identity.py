"""A muscle 'moved' to its own path, set stretch 0, sewn in its own posture, neither gains nor loses."""

from __future__ import annotations

import numpy as np
import pytest

from sinewright.muscle.names import FRONT, LEG_MUSCLES
from sinewright.solve import answer as a
from sinewright.solve.actuators import ACTIVATION
from sinewright.transfer.plans import build_plans
from sinewright.transfer.surgery import DONORS

from ..virtual_people import (
    BENT,
    HANGING,
    LYING,
    STRAIGHT,
    Floats,
    LegModel,
    flawless,
    leg_model,
    own_path,
    people,
    plan,
)

SAME = 1e-9
N = 60
BELOW_THE_KNEE = LEG_MUSCLES[:10]  # the gastrocnemius is no donor: a moved muscle does not cross the knee
UNTOUCHED = [plan(None, ankle_deg=0.0)]


def healthy(stem: str = "deep_branch_strong_peroneals", all_strong: bool = True) -> a.Legs:
    """Legs with every muscle at full strength, or as the case found them, and surgery without any loss."""
    legs = flawless(people(stem, N))
    return legs._replace(capacity=np.ones_like(legs.capacity)) if all_strong else legs


def answers(legs: a.Legs, plans: a.Operations, elastic: bool = True) -> Floats:
    out, failed = a.answer(legs, plans, elastic)
    assert not failed.any()
    return out[:, 0]


@pytest.mark.parametrize("elastic", [True, False], ids=["elastic", "rigid"])
@pytest.mark.parametrize("muscle", BELOW_THE_KNEE)
def test_rest_and_push_down_stay(muscle: str, elastic: bool) -> None:
    before = answers(healthy(), build_plans(UNTOUCHED), elastic)
    after = answers(healthy(), own_path(muscle), elastic)
    columns = [a.REST, a.REST_TABLE, a.REST_SUBTALAR]
    if muscle != "soleus":  # moved, the soleus no longer pushes down with the calf
        columns.append(a.PUSH)
    assert np.abs(after - before)[:, columns].max() < SAME


@pytest.mark.parametrize("muscle", FRONT)
def test_a_lifter_moved_to_its_own_path_lifts_as_before(muscle: str) -> None:
    before, after = answers(healthy(), build_plans(UNTOUCHED)), answers(healthy(), own_path(muscle))
    columns = [a.LIFT, a.LIFT_BENT, a.SUBTALAR_IN_LIFT, a.MOMENT]
    assert np.abs(after - before)[:, columns].max() < SAME


def with_native_effort(legs: a.Legs, i: int, muscle: int) -> LegModel:
    """The untouched leg in lift, with the donor contracting in place beside the lifters."""
    leg = leg_model(legs, build_plans(UNTOUCHED), i).ask(lift=True, capacity=legs.capacity[i])
    assert leg.actuators["counting"][muscle] == ACTIVATION
    leg.actuators["activation"][muscle] = legs.capacity[i, muscle]
    return leg


@pytest.mark.parametrize("donor", DONORS, ids=lambda donor: donor.muscle)
@pytest.mark.parametrize("all_strong", [True, False], ids=["healthy", "as found"])
def test_lift_differs_only_by_what_the_donor_does_in_place(donor: object, all_strong: bool) -> None:
    muscle = LEG_MUSCLES.index(donor.muscle)  # type: ignore[attr-defined]
    legs = healthy(all_strong=all_strong)
    after = answers(legs, own_path(LEG_MUSCLES[muscle]))
    for i in range(0, N, 6):
        leg = with_native_effort(legs, i, muscle)
        hang = leg_model(legs, build_plans(UNTOUCHED), i).balance(a.DROPPED, 0.0, legs.execution[i, 3] + 0.5, LYING)
        rest = leg_model(legs, build_plans(UNTOUCHED), i).balance(*hang[:2], BENT, HANGING)
        straight = leg.balance(*rest[:2], STRAIGHT, LYING)
        bent = leg.balance(*straight[:2], BENT, HANGING)
        assert straight[4] == bent[4] == 0
        found = after[i, [a.LIFT, a.SUBTALAR_IN_LIFT, a.LIFT_BENT]]
        assert found == pytest.approx([straight[0], straight[1], bent[0]], abs=SAME)


def test_identity_is_lost_by_a_stretch_or_another_posture() -> None:
    """So that the tests above cannot pass by chance."""
    muscle = "tibialis_posterior"
    before = answers(healthy(), own_path(muscle))
    tight = own_path(muscle)
    tight.stretch[:] = 1e-3
    turned = own_path(muscle)
    turned.fixing[:, 0] = 0.02
    for changed in (tight, turned):
        assert (
            np.quantile(np.abs(answers(healthy(), changed) - before)[:, a.REST], 0.9) > 1e-4
        )  # relaxed, many a tendon is slack


def test_a_lifter_that_is_taken_and_not_used_is_missing() -> None:
    gone = build_plans(UNTOUCHED)
    gone.taken[0, LEG_MUSCLES.index("tibialis_anterior")] = 1
    before, after = answers(healthy(), build_plans(UNTOUCHED)), answers(healthy(), gone)
    assert np.all(after[:, a.MOMENT] < before[:, a.MOMENT]) and np.all(after[:, a.LIFT] < before[:, a.LIFT])
