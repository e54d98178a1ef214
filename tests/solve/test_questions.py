"""What the answers must obey in every leg: order, direction of each influence, and the meaning of the moment."""

from __future__ import annotations

import numpy as np
import pytest

from sinewright.anatomy.skeleton import Skeleton
from sinewright.case import changed
from sinewright.doubt.prior import PriorSampler
from sinewright.doubt.proposal import propose
from sinewright.muscle.names import LEG_MUSCLES
from sinewright.solve import answer as a
from sinewright.solve.leg import Legs
from sinewright.solve.native import effort_moments, native_lengths
from sinewright.solve.passive_torque import OFFSET, SUBTALAR_NEUTRAL, UPPER, UPPER_KNEE, WEIGHT
from sinewright.transfer.catalogue import catalogue
from sinewright.transfer.plans import build_plans, native_ends
from sinewright.units import rad

from ..virtual_people import Floats, example, flawless, leg_model, own_path, people, plan, turning

CASES = ("knee_dislocation_common_peroneal", "stiff_calf")
STRETCHES_MM = (-10.0, 0.0, 10.0, 20.0)
TP = "tibialis_posterior.membrane_under.lateral_cuneiform_dorsum"
WORKABLE = [m for m in catalogue() if "extensor_mass" not in m.id]
NO_TOES = [m for m in WORKABLE if "long_extensors" not in m.id]  # toes that must first be lifted may cost a little
HAIR = rad(1e-4)


def answers(legs: Legs, *plans: object) -> Floats:
    out, failed = a.answer(legs, build_plans(list(plans)))  # type: ignore[arg-type]
    return np.where((failed > 0)[:, :, None], np.nan, out)


def with_(legs: Legs, field: str, column: int, more: float = 0.0, times: float = 1.0) -> Legs:
    """The same legs with one column of an array changed."""
    part = getattr(legs, field).copy()
    part[:, column] = part[:, column] * times + more
    return legs._replace(**{field: part})


@pytest.mark.parametrize("stem", CASES)
def test_lift_is_above_rest_and_rest_above_push_down(stem: str) -> None:
    out = answers(flawless(people(stem)), *(plan(moved, s) for moved in NO_TOES[::3] for s in (0.0, 15.0)))
    assert np.nanmin(out[:, :, a.LIFT_BENT] - out[:, :, a.REST]) > -HAIR  # one posture, nobody or the lifters pull
    assert np.nanmin(out[:, :, a.LIFT] - out[:, :, a.PUSH]) > 0.0
    assert np.nanmin(out[:, :, a.REST] - out[:, :, a.PUSH]) > 0.0


@pytest.mark.parametrize("stem", CASES)
def test_sewn_tighter_the_foot_rests_higher_and_reaches_less_far_down(stem: str) -> None:
    for moved in WORKABLE[::6]:
        out = answers(people(stem), *(plan(moved, s) for s in STRETCHES_MM))
        for column in (a.REST, a.REST_TABLE):
            assert np.nanmin(np.diff(out[:, :, column], axis=1)) > -HAIR, (moved.id, column)
        # a tether that turns the hindfoot to its other stop may let the ankle of a single leg further down
        risen = np.diff(out[:, :, a.PUSH], axis=1)
        assert np.mean(risen > -HAIR) > 0.9, moved.id
        assert np.nanmedian(out[:, -1, a.PUSH] - out[:, 0, a.PUSH]) > 0.0
        assert np.nanmedian(out[:, -1, a.REST] - out[:, 0, a.REST]) > rad(5.0)


@pytest.mark.parametrize("stem", CASES)
def test_a_stronger_donor_lifts_higher_and_changes_nothing_at_rest(stem: str) -> None:
    i = LEG_MUSCLES.index("tibialis_posterior")
    weak = answers(with_(people(stem), "capacity", i, times=0.5), plan(TP, 10.0))
    strong = answers(people(stem), plan(TP, 10.0))
    for column in (a.LIFT, a.LIFT_BENT, a.MOMENT, a.PULL):
        assert np.nanmin(strong[:, :, column] - weak[:, :, column]) > 0.0
    for column in (a.REST, a.REST_TABLE, a.PUSH, a.REACH):
        assert np.array_equal(strong[:, :, column], weak[:, :, column], equal_nan=True)


@pytest.mark.parametrize(
    ("field", "column", "more", "answer", "sign"),
    [
        pytest.param("passive", WEIGHT, 5.0, a.REST, -1.0, id="a heavier foot hangs lower"),
        pytest.param("passive", UPPER, rad(5.0), a.LIFT, 1.0, id="a longer calf lets the foot higher"),
        pytest.param("passive", UPPER_KNEE, 0.05, a.LIFT_BENT, 1.0, id="more knee coupling helps the bent knee"),
        pytest.param("passive", OFFSET, 0.3, a.REST, -1.0, id="the constant pulls down"),
        pytest.param("passive", SUBTALAR_NEUTRAL, rad(2.0), a.SUBTALAR_IN_LIFT, 1.0, id="a hindfoot resting turned in"),
        pytest.param("execution", 0, 0.005, a.REST, 1.0, id="sewn tighter by mistake"),
        pytest.param("execution", 1, rad(5.0), a.REST, 1.0, id="the foot held higher while sewing"),
        pytest.param("losses", 3, 0.004, a.REST, -1.0, id="a bony fixation that settles"),
        pytest.param("losses", 0, -0.1, a.MOMENT, -1.0, id="a tendon caught in scar"),
        pytest.param("losses", 1, -0.1, a.LIFT, -1.0, id="a muscle that has not learned"),
    ],
)
def test_direction_of_each_influence(field: str, column: int, more: float, answer: int, sign: float) -> None:
    legs = people("knee_dislocation_common_peroneal")
    before, after = (answers(x, plan(TP, 10.0))[:, 0, answer] for x in (legs, with_(legs, field, column, more)))
    assert np.nanmin(sign * (after - before)) >= -1e-7
    assert np.nanmedian(sign * (after - before)) > 0.0


def test_rubbing_takes_strength_where_the_new_path_bends_more_than_the_old_one() -> None:
    legs, plans = people("knee_dislocation_common_peroneal"), [plan(TP, 10.0)]
    before, after = (answers(x, *plans)[:, 0, a.MOMENT] for x in (legs, with_(legs, "losses", 4, 0.1)))
    own, moved = plan_ends(TP)
    more = [turning(leg_model(legs, build_plans(plans), i).body, *moved) for i in range(len(before))]
    more -= np.array([turning(leg_model(legs, build_plans(plans), i).body, *own) for i in range(len(before))])
    # where it bends less than in place the donor is not made stronger than it was before the operation
    assert np.array_equal(np.sign(before - after), np.sign(np.maximum(more, 0.0)))


def plan_ends(id: str) -> tuple[Floats, Floats]:
    """First and last step of the donor in place and moved."""
    plans = build_plans([plan(id)])
    return plans.native[plans.donor[0, 0]], plans.ends[0, 0, 0]


def test_what_settling_takes_off_is_what_less_stretch_would_have_been() -> None:
    legs = flawless(people("stiff_calf"))
    settled = answers(with_(legs, "losses", 3, 0.004), plan(TP, 14.0))
    slack = answers(legs, plan(TP, 10.0))
    for column in (a.REST, a.LIFT, a.PUSH, a.MOMENT, a.PULL):
        assert settled[:, :, column] == pytest.approx(slack[:, :, column], abs=1e-6)
    on_table = answers(legs, plan(TP, 14.0))[:, :, a.REST_TABLE]  # read before anything has settled
    assert np.array_equal(settled[:, :, a.REST_TABLE], on_table)


@pytest.mark.parametrize("column", [a.LIFT, a.REST, a.PUSH, a.MOMENT])
def test_a_bony_fixation_does_not_care_how_a_weave_settles(column: int) -> None:
    legs = people("stiff_calf")
    before, after = (answers(x, plan(TP, 10.0))[:, 0, column] for x in (legs, with_(legs, "losses", 2, 0.01)))
    assert np.array_equal(before, after)


@pytest.mark.parametrize(("tendon", "elastic"), [("elastic", True), ("rigid", False)])
def test_a_healthy_leg_gives_its_normal_moment(tendon: str, elastic: bool) -> None:
    legs = propose(changed(example("stiff_calf"), {"plan.tendon": tendon}), PriorSampler(200, 3))[0]
    healthy = legs._replace(capacity=np.ones_like(legs.capacity))
    found, _ = a.answer(healthy, build_plans([plan(None)]), elastic)
    assert found[:, 0, a.MOMENT] == pytest.approx(legs.normal_lift, rel=1e-9)


def test_a_leg_without_lifters_lifts_nothing_and_rests_where_it_hangs() -> None:
    legs = people("stiff_calf")
    idle = answers(legs._replace(capacity=np.zeros_like(legs.capacity)), plan(None))[:, 0]
    assert np.all(idle[:, a.MOMENT] == 0.0) and np.all(idle[:, a.PULL] == 0.0)
    assert idle[:, a.LIFT_BENT] == pytest.approx(idle[:, a.REST], abs=1e-7)
    assert idle[:, a.LIFT] == pytest.approx(idle[:, a.PUSH], abs=1e-7)


def test_the_moment_alone_is_the_moment_of_the_whole_answer() -> None:
    plans = build_plans([plan(moved, 6.0) for moved in catalogue()[::4]])
    for elastic in (True, False):
        full, _ = a.answer(people("stiff_calf"), plans, elastic)
        quick, failed = a.answer(people("stiff_calf"), plans, elastic, moment_only=True)
        for column in (a.MOMENT, a.REACH, a.BELLY_PAST):
            assert np.array_equal(full[:, :, column], quick[:, :, column])
        assert np.all(np.isnan(quick[:, :, a.LIFT])) and not failed.any()


def test_moment_of_a_donor_is_tension_times_arm_by_the_muscle_in_place() -> None:
    """A donor 'moved' to its own path gives at neutral what it gave there (with the opposite use: it pushes down)."""
    legs = flawless(people("stiff_calf"))
    alone = np.zeros_like(legs.capacity)
    i = LEG_MUSCLES.index("tibialis_posterior")
    alone[:, i] = 1.0
    moved, _ = a.answer(legs._replace(capacity=alone), own_path("tibialis_posterior"))
    plans = build_plans([])
    neutral = np.zeros(len(alone))
    lengths = native_lengths(
        Skeleton(legs.points, legs.cylinders, legs.joint), plans.elements, native_ends(), neutral, neutral
    )
    native = effort_moments(legs.muscles, lengths, np.zeros(lengths.shape[:2]))
    assert moved[:, 0, a.MOMENT] == pytest.approx(native[:, i, 0], rel=1e-9)
