"""The table of a leg: equal to the full solver at its nodes, close to it between them."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from sinewright.solve import answer as a
from sinewright.solve import table as t
from sinewright.solve.leg import LEARNED, SCAR, SETTLING_BONE, SETTLING_WEAVE, Legs
from sinewright.transfer.plans import Operations, build_plans
from sinewright.units import deg, m, rad

from ..virtual_people import leg_model, people, plan

OPERATION = "tibialis_posterior.membrane_under.lateral_cuneiform_dorsum"
STEM, LEGS = "knee_dislocation_common_peroneal", 60
NODES_MM = (-10.0, -5.0, 0.0, 5.0, 10.0, 15.0)


def plans_at(stretches_mm: tuple[float, ...], knee_deg: float = 45.0) -> Operations:
    sewn = plan(OPERATION, 0.0, 8.0, knee_deg)
    return build_plans([replace(sewn, stretch=m(s)) for s in stretches_mm])


def steady(legs: Legs) -> Legs:
    """Legs whose knee is held without error, so that the table and the solver ask the same posture."""
    execution = legs.execution.copy()
    execution[:, 3] = 0.0
    return legs._replace(execution=execution)


@cache
def legs() -> Legs:
    return steady(people(STEM, LEGS))


@cache
def tabled() -> t.Table:
    return t.build_table(legs(), plans_at(NODES_MM), m(NODES_MM[0]), m(5.0), True)


def solved(gain: float, stretches_mm: tuple[float, ...] = NODES_MM) -> np.ndarray:
    """The full solver on legs without settling or error of stretch, the pull cut to ``gain``."""
    losses, execution = legs().losses.copy(), legs().execution.copy()
    losses[:, SCAR], losses[:, LEARNED] = gain, 1.0
    losses[:, [SETTLING_BONE, SETTLING_WEAVE]] = 0.0
    execution[:, 0] = 0.0
    out, failed = a.answer(legs()._replace(losses=losses, execution=execution), plans_at(stretches_mm))
    return np.where((failed > 0)[:, :, None], np.nan, out)


def close(found: np.ndarray, true: np.ndarray, limit: float) -> None:
    """Equal but for a few legs with two places of balance, of which the searches may find different ones."""
    gap = np.abs(found - true)
    assert np.nanpercentile(gap, 97.0) < limit


def test_nodes_are_the_solver() -> None:
    full, weak = solved(1.0), solved(0.4)
    close(tabled().rest[:, :, 1], full[:, :, a.REST_TABLE], 1e-6)
    close(tabled().hanging, full[:, :, a.REST], 1e-6)
    close(tabled().push, full[:, :, a.PUSH], 1e-6)
    close(tabled().lift[:, :, -1], full[:, :, a.LIFT], 1e-6)
    close(tabled().lift[:, :, 0], weak[:, :, a.LIFT], 1e-6)
    close(tabled().pull[:, :, -1], full[:, :, a.PULL], 1e-3)
    # every muscle in front is dead in this patient: stimulation at full drive is the lift
    close(tabled().stimulated[:, :, 0, -1], full[:, :, a.LIFT], 1e-6)
    assert tabled().good.mean() > 0.95


def test_between_nodes_the_look_up_stays_within_half_a_degree() -> None:
    between = (-7.5, -2.5, 2.5, 7.5)
    true, leg = solved(0.7, between), np.arange(LEGS)
    for i, stretch in enumerate(between):
        at = np.full(LEGS, m(stretch))
        lift = t.along(tabled(), t.at_gain(tabled().lift, leg, np.full(LEGS, 0.7)), leg, at)
        rest = t.along(tabled(), tabled().hanging, leg, at)
        for found, column in ((lift, a.LIFT), (rest, a.REST)):
            assert np.nanpercentile(np.abs(deg(found - true[:, i, column])), 90.0) < 0.5


@pytest.mark.parametrize("knee_deg", [20.0, 70.0])
def test_between_knees_too(knee_deg: float) -> None:
    out, failed = a.answer(t.without_error(legs()), plans_at(NODES_MM, knee_deg))
    sewn_otherwise = t.build_table(legs(), plans_at(NODES_MM, knee_deg), m(NODES_MM[0]), m(5.0), True)
    found = t.at_knee(sewn_otherwise.rest, rad(knee_deg))
    gap = np.abs(deg(found - out[:, :, a.REST_TABLE]))[failed == 0]
    assert np.percentile(gap, 97.0) < 0.2


def test_cubic_is_exact_at_nodes_and_for_a_parabola_inside() -> None:
    values = np.array([1.0, 0.0, 1.0, 4.0, 9.0])  # (x - 1)^2
    assert [t.cubic(values, float(i)) for i in range(5)] == values.tolist()
    assert t.cubic(values, 1.5) == pytest.approx(0.25)
    assert t.cubic(values, 2.25) == pytest.approx(1.5625)
    assert t.cubic(values, -3.0) == 1.0
    assert t.cubic(values, 40.0) == 9.0
    assert t.cubic(np.array([7.0]), 3.0) == 7.0


def test_relaxed_tension_and_free_tendon_are_those_of_the_leg() -> None:
    plans, stretches = plans_at((0.0,)), m(np.array([-5.0, 0.0, 8.0]))
    found = t.relaxed_tension(legs(), plans, stretches, True)
    free = t.free_tendon(legs(), plans)
    for i in (0, 17):
        leg = leg_model(t.without_error(legs()), plans, i)
        donor = int(plans.donor[0, 0])
        rest = leg.length(donor, 0.0, 0.0, 0.0)
        leg.actuators["offset"][-1] = 0.0
        for f, stretch in enumerate(stretches):
            assert found[i, f] == pytest.approx(leg.tension(len(leg.actuators) - 1, rest + stretch), abs=1e-9)
    assert np.all(np.diff(found, axis=1) >= 0.0), "tighter pulls more"
    assert np.all((free > m(60.0)) & (free < m(260.0)))
