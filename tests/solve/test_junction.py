"""What a junction carries: laid out again from the definitions, and in its limits and signs."""

from __future__ import annotations

from functools import cache
from itertools import pairwise

import numpy as np
import pytest

from sinewright.solve import answer as a
from sinewright.solve.junction import CARRIED, HELD, LIFTED, junction_load
from sinewright.solve.leg import LEARNED, SCAR, SETTLING_BONE, Legs
from sinewright.solve.passive_torque import ankle_passive_torque
from sinewright.transfer.plans import Operations, build_plans
from sinewright.units import rad

from ..virtual_people import HANGING, flawless, leg_model, people, plan

OPERATION = "tibialis_posterior.membrane_under.lateral_cuneiform_dorsum"
N = 40
RIGHT_ANGLE = rad(90.0)


@cache
def legs() -> Legs:
    return people("knee_dislocation_common_peroneal", N)


@cache
def plans() -> Operations:
    return build_plans([plan(OPERATION, 6.0)])


def full(value: float) -> np.ndarray:
    return np.full(N, value)


def test_held_is_the_muscle_at_that_length() -> None:
    found = junction_load(HELD, legs(), plans(), full(rad(-10.0)), full(0.5))
    losses = legs().losses.copy()
    losses[:, [SCAR, LEARNED]] = 1.0
    for i in range(0, N, 7):
        leg = leg_model(legs()._replace(losses=losses), plans(), i)
        leg.actuators["activation"][-1] = 0.5 * leg.activation[0]
        length = leg.length(len(leg.actuators) - 1, rad(-10.0), 0.0, 0.0)
        assert found[i] == pytest.approx(leg.tension(len(leg.actuators) - 1, length), rel=1e-9)


def test_foot_down_settling_and_rest_order_the_load_as_they_must() -> None:
    up, flat, down = (junction_load(HELD, legs(), plans(), full(rad(x)), full(0.0)) for x in (8.0, 0.0, -10.0))
    settled = junction_load(HELD, legs(), plans(), full(0.0), full(0.0), settled=True)
    works = junction_load(HELD, legs(), plans(), full(0.0), full(0.4))
    assert np.all(up <= flat) and np.all(flat <= down)
    assert np.all(settled <= flat) and np.median(settled) < np.median(flat)
    assert np.all(works >= flat)


def test_carried_balances_the_foot_by_the_donor_alone() -> None:
    extra = 2.0
    load = junction_load(CARRIED, legs(), plans(), full(0.0), full(extra), RIGHT_ANGLE)
    idle = junction_load(HELD, legs(), plans(), full(0.0), full(0.0))
    most = junction_load(HELD, legs(), plans(), full(0.0), full(1.0))
    assert np.all(load >= idle - 1e-9) and np.all(load <= most + 1e-9)
    compared = 0
    for i in range(0, N, 5):
        if not idle[i] + 1.0 < load[i] < most[i] - 1.0:
            continue
        compared += 1
        slack = leg_model(legs(), plans(), i)
        slack.actuators["offset"][-1] -= 10.0  # the donor hangs slack: what is left must be carried
        rest = slack.moments(0.0, 0.0, RIGHT_ANGLE, HANGING)[0]
        leg = leg_model(legs(), plans(), i)
        step = 1e-6
        last = len(leg.actuators) - 1
        arm = -(leg.length(last, step, 0.0, 0.0) - leg.length(last, -step, 0.0, 0.0)) / (2.0 * step)
        assert load[i] * arm + rest == pytest.approx(extra, abs=1e-3)
    assert compared


def test_more_to_carry_never_loads_less() -> None:
    loads = [junction_load(CARRIED, legs(), plans(), full(0.0), full(x), RIGHT_ANGLE) for x in (0.0, 1.0, 4.0, 400.0)]
    for less, more in pairwise(loads):
        assert np.all(more >= less - 1e-9)
    most = junction_load(HELD, legs(), plans(), full(0.0), full(1.0))
    np.testing.assert_allclose(loads[-1], most, rtol=1e-6)


def test_full_effort_is_the_pull_that_the_solver_prints() -> None:
    losses = flawless(legs()).losses
    execution = legs().execution
    ready = legs()._replace(losses=losses, execution=execution)
    out, failed = a.answer(ready, plans())
    found = junction_load(LIFTED, ready, plans(), full(0.0), full(1.0))
    good = (failed[:, 0] == 0) & np.isfinite(found)
    gap = np.abs(found[good] - out[good, 0, a.PULL])
    assert np.percentile(gap, 95.0) < 1e-3
    assert np.all(losses[:, SETTLING_BONE] == 0.0)


def test_scar_and_learning_spare_no_junction() -> None:
    losses = legs().losses.copy()
    losses[:, [SCAR, LEARNED]] = 0.3
    weak = junction_load(LIFTED, legs()._replace(losses=losses), plans(), full(0.0), full(1.0))
    np.testing.assert_allclose(weak, junction_load(LIFTED, legs(), plans(), full(0.0), full(1.0)))


def test_the_passive_ankle_is_in_what_is_carried() -> None:
    """A stiffer calf at neutral with the knee straight asks more of the donor than with the knee bent."""
    straight = junction_load(CARRIED, legs(), plans(), full(rad(3.0)), full(0.0), 0.0)
    bent = junction_load(CARRIED, legs(), plans(), full(rad(3.0)), full(0.0), RIGHT_ANGLE)
    moment = [ankle_passive_torque(r, rad(3.0), 0.0)[0] for r in legs().passive]
    assert np.median(moment) < 0.0
    assert np.all(straight >= bent - 1e-9)
