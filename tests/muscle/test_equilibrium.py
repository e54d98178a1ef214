"""Balance of muscle and tendon against an independent root finder, limits, monotonicity and status."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest
from scipy.optimize import brentq

from sinewright.muscle import curves, equilibrium
from sinewright.muscle.equilibrium import (
    BAD_INPUT,
    BALANCED,
    SHORTEST,
    SINGLE_ROOT_ABOVE,
    SLACK,
    MuscleTendon,
)

STIFF = (curves.PASSIVE_STIFF_K, curves.PASSIVE_STIFF_E)
F0 = 600.0


def elastic_force_and_stiffness(
    l_mt: float, l_slack: float, a: float, F0: float, l0: float, pen0: float, e0: float, kp: float, ep: float
) -> tuple[float, float, int, int, float]:
    """See ``equilibrium``; the constants one by one."""
    muscle = MuscleTendon(float(F0), float(l0), float(l_slack), float(pen0), float(e0), float(kp), float(ep))
    return equilibrium.elastic_force_and_stiffness(muscle, float(l_mt), float(a))


def elastic_force(*given: float, **named: float) -> tuple[float, float, int, int]:
    return elastic_force_and_stiffness(*given, **named)[:4]


def rigid_force_and_stiffness(
    l_mt: float, l_slack: float, a: float, F0: float, l0: float, pen0: float, kp: float, ep: float
) -> tuple[float, float, float]:
    muscle = MuscleTendon(float(F0), float(l0), float(l_slack), float(pen0), 0.05, float(kp), float(ep))
    return equilibrium.rigid_force_and_stiffness(muscle, float(l_mt), float(a))


def rigid_force(*given: float) -> tuple[float, float]:
    return rigid_force_and_stiffness(*given)[:2]


def _excess(l_mt: float, l_slack: float, a: float, l0: float, pen0: float, e0: float) -> Callable[[float], float]:
    """Muscle pull minus tendon force [F0] at a fibre angle: written with the angle, unlike the solver."""
    h = l0 * math.sin(pen0)

    def excess(p: float) -> float:
        pen = math.atan2(h, p)
        lf = (p / math.cos(pen) if p else h) / l0
        pull = (a * curves.active_force(lf) + curves.passive_force(lf, *STIFF)) * math.cos(pen)
        return pull - curves.tendon_force((l_mt - p) / l_slack, e0)

    return excess


def _draw(rng: np.random.Generator) -> tuple[float, float, float, float, float, float]:
    l0, l_slack = rng.uniform(0.03, 0.23), rng.uniform(0.1, 0.4)
    pen0, e0 = rng.uniform(0.0, 0.6), rng.uniform(0.008, 0.07)
    a = rng.choice([0.0, 0.02, rng.uniform(0, 1), 1.0])
    return l_slack + l0 * rng.uniform(0.45, 1.75), l_slack, a, l0, pen0, e0


def test_elastic_balance_agrees_with_brent() -> None:
    """500 wide draws; the oracle brackets the force balance itself and knows nothing of the length balance.

    1e-9 relative to the force, with a floor of 1e-9 F0 for forces near nothing.
    """
    rng = np.random.default_rng(11)
    checked = 0
    while checked < 500:
        l_mt, l_slack, a, l0, pen0, e0 = _draw(rng)
        if curves.tendon_rate(e0) * l0 / l_slack < SINGLE_ROOT_ABOVE:
            continue  # several roots: the scan test below
        force, fibre, status, _ = elastic_force(l_mt, l_slack, a, F0, l0, pen0, e0, *STIFF)
        if status == SLACK:
            assert a == 0.0
            assert force == 0.0
            continue
        excess = _excess(l_mt, l_slack, a, l0, pen0, e0)
        p = brentq(excess, 1e-9, l_mt - l_slack * 0.99, xtol=1e-16, rtol=1e-15, maxiter=500)
        expected = excess(p) + curves.tendon_force((l_mt - p) / l_slack, e0)
        assert status == BALANCED
        assert force / F0 == pytest.approx(expected, rel=1e-9, abs=1e-9)
        assert fibre == pytest.approx(math.hypot(p, l0 * math.sin(pen0)), abs=1e-9)
        checked += 1


def test_returned_balance_holds_in_both_equations() -> None:
    """Tendon force at the length left over equals the fibre's pull to 1e-9 F0."""
    rng = np.random.default_rng(12)
    for _ in range(500):
        l_mt, l_slack, a, l0, pen0, e0 = _draw(rng)
        force, fibre, status, steps = elastic_force(l_mt, l_slack, a, F0, l0, pen0, e0, *STIFF)
        assert status in (BALANCED, SLACK)
        assert steps <= 12
        if status == BALANCED:
            p = math.sqrt(fibre**2 - (l0 * math.sin(pen0)) ** 2)
            assert _excess(l_mt, l_slack, a, l0, pen0, e0)(p) == pytest.approx(0.0, abs=1e-9)
            assert force == pytest.approx(F0 * curves.tendon_force((l_mt - p) / l_slack, e0), abs=1e-9 * F0)


def test_no_second_root_above_the_stated_stiffness() -> None:
    """sup |fL'|/(fL + c3) on the falling limb is 2.87: below SINGLE_ROOT_ABOVE."""
    lf = np.linspace(1.0, 3.0, 20001)
    ratio = max(-curves.active_force_slope(x) / (curves.active_force(x) + curves.C3) for x in lf)
    assert 2.8 < ratio < SINGLE_ROOT_ABOVE


def test_soft_long_tendon_takes_the_smallest_stable_balance() -> None:
    """Tendon 30 times the fibre and soft: several balances exist; the shortest stable fibre is returned."""
    l_slack, l0, e0, several = 0.6, 0.02, 0.09, 0
    for l_mt in l_slack + np.linspace(0.06, 0.09, 61):
        excess = _excess(l_mt, l_slack, 1.0, l0, 0.0, e0)
        grid = np.linspace(1e-9, l_mt - 0.99 * l_slack, 4000)
        values = np.array([excess(p) for p in grid])
        rising = np.flatnonzero((values[:-1] < 0.0) & (values[1:] >= 0.0))
        several += len(rising) > 1
        _, fibre, status, _ = elastic_force(l_mt, l_slack, 1.0, F0, l0, 0.0, e0, *STIFF)
        assert status == BALANCED
        assert grid[rising[0]] - 1e-9 <= fibre <= grid[rising[0] + 1] + 1e-9
    assert several > 3  # the case is really one with several balances


@pytest.mark.parametrize("pen0", [0.0, 0.25])
@pytest.mark.parametrize("a", [0.0, 0.3, 1.0])
def test_infinitely_stiff_tendon_is_the_rigid_one(a: float, pen0: float) -> None:
    """As e0 -> -0.005 the published form locks at 0.995 slack length; kT = 1e8 leaves 1e-7 of length."""
    e0, l_slack, l0 = -0.005 + 1.83e-8, 0.25, 0.06
    for l_mt in 0.25 + np.linspace(0.03, 0.1, 15):
        force, fibre, status, _ = elastic_force(l_mt, l_slack, a, F0, l0, pen0, e0, *STIFF)
        rigid, rigid_fibre = rigid_force(l_mt, 0.995 * l_slack, a, F0, l0, pen0, *STIFF)
        assert status in (BALANCED, SLACK)
        assert force == pytest.approx(rigid, abs=1e-4 * F0)
        if status == BALANCED:
            assert fibre == pytest.approx(rigid_fibre, abs=1e-6)


def test_stiffness_is_the_derivative_and_forces_are_continuous() -> None:
    """Central difference over 2 um against the returned stiffness, from slack to far overstretched."""
    h = 1e-6
    for a in (0.0, 0.5, 1.0):
        for pen0, e0 in ((0.0, 0.03), (0.4, 0.05)):
            for l_mt in np.linspace(0.275, 0.36, 40):
                x = (0.25, a, F0, 0.05, pen0)
                above, below = (elastic_force(l_mt + d, *x, e0, *STIFF)[0] for d in (h, -h))
                stiffness = elastic_force_and_stiffness(l_mt, *x, e0, *STIFF)[4]
                assert stiffness == pytest.approx((above - below) / (2 * h), rel=1e-4, abs=0.2)
                above, below = (rigid_force(l_mt + d, *x, *STIFF)[0] for d in (h, -h))
                stiffness = rigid_force_and_stiffness(l_mt, *x, *STIFF)[2]
                assert stiffness == pytest.approx((above - below) / (2 * h), rel=1e-4, abs=0.2)


def test_relaxed_force_never_falls_with_length_and_more_drive_never_pulls_less() -> None:
    x = {"l_slack": 0.25, "F0": F0, "l0": 0.05, "pen0": 0.2, "e0": 0.04, "kp": STIFF[0], "ep": STIFF[1]}
    relaxed = [elastic_force(l_mt=l_mt, a=0.0, **x)[0] for l_mt in np.linspace(0.2, 0.37, 200)]
    assert np.all(np.diff(relaxed) >= -1e-9)
    for l_mt in np.linspace(0.26, 0.35, 10):
        driven = [elastic_force(l_mt=l_mt, a=a, **x)[0] for a in np.linspace(0.0, 1.0, 30)]
        assert np.all(np.diff(driven) >= -1e-9)


def test_slack_is_a_status_with_force_zero() -> None:
    force, fibre, status, _ = elastic_force(0.24, 0.25, 0.0, F0, 0.05, 0.2, 0.04, *STIFF)
    assert (force, status) == (0.0, SLACK)
    assert fibre == pytest.approx(0.05 * curves.passive_slack(*STIFF))
    force, fibre, status, _ = elastic_force(0.24, 0.25, 1.0, F0, 0.05, 0.2, 0.04, *STIFF)
    assert (force, status) == (0.0, SLACK)
    assert fibre == pytest.approx(0.05 * math.sin(0.2))


@pytest.mark.parametrize("pen0", [0.0, 0.3])
@pytest.mark.parametrize("a", [0.0, 1.0])
def test_force_is_continuous_down_to_nothing(a: float, pen0: float) -> None:
    """Steps of 1 um from shorter than the tendon on: no jump above 0.5 N, in both models."""
    lengths = np.arange(0.248, 0.262, 1e-6)
    elastic = [elastic_force(x, 0.25, a, F0, 0.05, pen0, 0.03, *STIFF) for x in lengths]
    rigid = [rigid_force(x, 0.25, a, F0, 0.05, pen0, *STIFF)[0] for x in lengths]
    assert np.abs(np.diff([f for f, *_ in elastic])).max() < 0.5
    assert np.abs(np.diff(rigid)).max() < 0.5
    assert {s for _, _, s, _ in elastic} <= {BALANCED, SLACK, SHORTEST}
    if a and pen0 == 0.0:
        assert max(f for f, _, s, _ in elastic if s == SHORTEST) < 0.002 * F0


@pytest.mark.parametrize(
    "change", [{"l_slack": 0.0}, {"l0": -0.05}, {"e0": -0.005}, {"a": math.nan}, {"pen0": 1.6}, {"F0": -1.0}]
)
def test_bad_input_is_a_status_and_never_a_force(change: dict[str, float]) -> None:
    x = {"l_mt": 0.3, "l_slack": 0.25, "a": 1.0, "F0": F0, "l0": 0.05, "pen0": 0.2, "e0": 0.04}
    force, fibre, status, _ = elastic_force(**(x | change), kp=4.0, ep=0.6)
    assert status == BAD_INPUT
    assert math.isnan(force)
    assert math.isnan(fibre)


def test_every_status_has_a_sentence() -> None:
    assert set(equilibrium.STATUS_SENTENCE) == {0, 1, 2, 3, 4}


def test_slack_length_rule_by_hand() -> None:
    """Row ten-slack-length-rule: 300 mm - 68.3 mm x 3.14/2.7 x cos 9.6 deg = 221.7 mm (tibialis anterior)."""
    slack = equilibrium.slack_length(0.300, 0.0683, 3.14, 2.7, math.radians(9.6))
    assert slack == pytest.approx(0.300 - 0.0683 * 1.16296 * 0.98600, abs=1e-6)
