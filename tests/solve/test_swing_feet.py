"""What swing says of whole feet: the healthy one, the dropped one, a tether, a trained donor, the whole prior."""

import numpy as np
import pytest

from sinewright.choose.sewing import as_sewn
from sinewright.doubt.prior import PriorSampler
from sinewright.doubt.proposal import propose
from sinewright.doubt.walk import FREE, NOTHING_MOVED, draw_walk, healthy_legs
from sinewright.evidence.people import healthy, palsy
from sinewright.reference import load
from sinewright.solve import swing as sw
from sinewright.solve.passive_torque import LOWER, LOWER_RATE, SUBTALAR_NEUTRAL, UPPER, UPPER_RATE
from sinewright.solve.walk import COSINE, FELT_X, FELT_Y, LEARNED, SINE
from sinewright.transfer.catalogue import catalogue
from sinewright.transfer.plans import build_plans
from sinewright.units import deg, rad

from .swing_people import CASE_HEALTHY, Ground, ground

MARGIN = 0.005


def run(g: Ground, **changed: object) -> np.ndarray:
    walk = g.drawn.walk._replace(**changed)  # type: ignore[arg-type]
    out, failed = sw.swing(g.legs, g.plans, walk, g.pushdown, g.rest_subtalar, MARGIN)
    assert not failed.any()
    return out


@pytest.fixture(scope="module")
def sound() -> tuple[np.ndarray, np.ndarray]:
    """Percent of the cycle (T+1,) and ankle (N, T+1) [deg] of 60 healthy legs at the speed of the curves."""
    g = ground(True, 60)
    walk = draw_walk(CASE_HEALTHY, g.legs, 3, 1.35)
    legs = healthy_legs(g.legs, PriorSampler(60, 3))
    track = sw.tracks(
        legs, build_plans([NOTHING_MOVED]), walk.walk, np.full(60, FREE), legs.passive[:, SUBTALAR_NEUTRAL]
    )
    percent = np.median(walk.toe_off) + (100.0 - np.median(walk.toe_off)) * np.linspace(0.0, 1.0, track.shape[1])
    return percent, np.asarray(deg(track[:, :, 0]))


def test_healthy_foot_swings_in_the_band_of_winter1991(sound: tuple[np.ndarray, np.ndarray]) -> None:
    """Middle of the virtual legs within the printed spread between people (3 to 5 deg) at every key point of swing."""
    percent, ankle = sound
    middle = np.median(ankle, axis=0)
    for row in load().rows(quantity="ankle-dorsiflexion-angle"):
        if row.id.startswith("ga-ankle-adult-") and row.condition_number("gait_percent") >= 65.0:
            found = float(np.interp(row.condition_number("gait_percent"), percent, middle))
            assert abs(found - row.value) <= (row.sd or 0.0), (row.id, found)


def test_dropped_foot_hangs_and_a_transfer_lifts_it() -> None:
    out = run(ground(False, 40))
    today, moved = np.median(deg(out[:, 0, sw.MID])), np.median(deg(out[:, 1, sw.MID]))
    assert today < -12.0
    assert moved > today + 8.0
    assert np.median(out[:, 0, sw.CLEARANCE]) < 0.0 < np.median(out[:, 0, sw.EXTRA_HIP])
    assert np.all(out[:, 0, sw.AVAILABLE] == 0.0)


def test_training_lifts_and_no_effort_still_tethers() -> None:
    g = ground(False, 30)
    timing = g.drawn.walk.timing
    out = []
    for activation in (0.0, 0.5, 1.0):
        changed = timing.copy()
        changed[:, LEARNED] = activation
        out.append(run(g, timing=changed))
    mids = [np.median(o[:, 1, sw.MID]) for o in out]
    assert mids[0] < mids[2]
    assert mids[0] <= mids[1] + 1e-9 <= mids[2] + 2e-9
    assert mids[0] > np.median(out[0][:, 0, sw.MID])
    assert np.all(out[0][:, 1, sw.AVAILABLE] == 0.0)
    assert np.all(out[2][:, 1, sw.AVAILABLE] >= out[1][:, 1, sw.AVAILABLE])


def test_a_foot_that_needs_no_steppage_clears_and_the_other_way_round() -> None:
    out = run(ground(False, 40))
    clears = out[:, :, sw.CLEARANCE] >= MARGIN
    assert np.all((out[:, :, sw.EXTRA_HIP] == 0.0) == clears)


def test_more_damping_is_slower() -> None:
    g = ground(True, 20)
    soft, stiff = (run(g, damping=g.drawn.walk.damping * k)[:, 0, sw.MID] for k in (0.5, 4.0))
    assert np.median(stiff) < np.median(soft)


HIP_RISE = 0.02  # m, amplitude of the hip in walking (from memory: 40 mm from lowest to highest)


def hip_slowed_over_the_leg(g: Ground) -> np.ndarray:
    """``base`` with a hip that trades all of its rise for forward speed: v dv = -g dy, highest at 80 percent."""
    steps = g.drawn.walk.base.shape[1] - 1
    percent = g.drawn.toe_off[:, None] + (100.0 - g.drawn.toe_off[:, None]) * np.arange(steps + 1) / steps
    turn = 4.0 * np.pi / g.drawn.person.cycle[:, None]
    amplitude = 9.80665 * HIP_RISE / g.drawn.speed * turn
    forward = amplitude * np.sin(4.0 * np.pi * (percent - 80.0) / 100.0)
    base = g.drawn.walk.base.copy()
    base[:, :, FELT_X] += forward * base[:, :, COSINE]
    base[:, :, FELT_Y] -= forward * base[:, :, SINE]
    return base


def test_what_the_even_forward_speed_of_the_hip_leaves_out() -> None:
    """The sizes that ``solve.gait`` states, for an exchange without loss (people reach about two thirds of it)."""
    g = ground(False, 40)
    plain, slowed = run(g), run(g, base=hip_slowed_over_the_leg(g))
    change = np.abs(deg(slowed - plain))
    dropped, moved = change[:, 0], change[:, 1]
    assert np.percentile(moved[:, [sw.MID, sw.STRIKE]], 95) < 1.0
    assert np.median(dropped[:, sw.STRIKE]) < 0.5
    assert np.median(dropped[:, sw.MID]) < 2.0
    assert np.percentile(dropped[:, sw.MID], 95) < 4.0
    least = 1e3 * np.abs((slowed - plain)[:, :, sw.CLEARANCE])
    assert np.all(np.median(least, axis=0) < 2.0) and np.percentile(least, 95) < 6.0
    clears = [(out[:, :, sw.CLEARANCE] >= MARGIN).mean(axis=0) for out in (plain, slowed)]
    assert np.all(np.abs(clears[1] - clears[0]) <= 2.0 / len(plain))


def test_same_answer_alone_and_in_company() -> None:
    """Neither the number of threads nor the other legs move a number."""
    g = ground(False, 60)
    whole, _ = sw.swing(g.legs, g.plans, g.drawn.walk, g.pushdown, g.rest_subtalar, MARGIN)
    few = type(g.legs)(*(part[50:] for part in g.legs))
    walk = type(g.drawn.walk)(*(part[50:] for part in g.drawn.walk))
    part, _ = sw.swing(few, g.plans, walk, g.pushdown[50:], g.rest_subtalar[50:], MARGIN)
    assert np.array_equal(whole[50:], part)


ENDS = ((LOWER, LOWER_RATE, -1.0), (UPPER, UPPER_RATE, 1.0))


@pytest.mark.parametrize("k", range(4))
def test_whole_prior_swings_without_a_failure(k: int) -> None:
    """Reduced from benchmarks/swing_prior.py: legs not conditioned on anything, any start in reach, any operation."""
    case = (palsy(True), palsy(False), healthy(True), healthy(False))[k]
    rng, n = np.random.default_rng(k), 40
    legs, _ = propose(case, PriorSampler(n, k))
    walk = draw_walk(case, legs, k, float(rng.uniform(0.3, 2.0))).walk
    plans = build_plans([as_sewn(case, moved) for moved in catalogue()[k::4]])
    c = len(plans.donor)
    plans = plans._replace(stretch=rng.uniform(-0.015, 0.03, c))
    start, subtalar = rad(rng.uniform(-60.0, 10.0, (n, c))), rad(rng.uniform(-15.0, 30.0, (n, c)))
    joint = legs.passive
    reach = [joint[:, [end]] + side * 3.0 / joint[:, [rate]] for end, rate, side in ENDS]  # held by 200 N.m
    out, failed = sw.swing(legs, plans, walk, np.clip(start, *reach), subtalar, MARGIN)
    assert not failed.any()
    assert np.isfinite(out).all()
