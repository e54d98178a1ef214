"""Constants equal their rows; published check values; slopes, inverses; no surprise outside the range."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sinewright.muscle import curves
from sinewright.reference import load

CONSTANTS = [
    *[
        (getattr(curves, f"B{i}{j}"), f"curve-degroote2016-active-force-length-b{i}-{j}")
        for i in (1, 2, 3, 4)
        for j in (1, 2, 3)
    ],
    (curves.PASSIVE_STIFF_K, "curve-degroote2016-passive-force-length-k"),
    (curves.PASSIVE_STIFF_E, "curve-degroote2016-passive-force-length-e"),
    (curves.PASSIVE_SOFT_K, "curve-degroote2016-passive-force-length-k"),
    (curves.PASSIVE_SOFT_E, "curve-millard2013-limits-passive-strain-at-f0"),
    *[(getattr(curves, f"D{i}"), f"curve-degroote2016-force-velocity-d{i}") for i in (1, 2, 3, 4)],
    *[(getattr(curves, f"C{i}"), f"curve-degroote2016-tendon-c{i}") for i in (1, 2, 3)],
]
PASSIVE_OPTIONS = [
    (curves.PASSIVE_STIFF_K, curves.PASSIVE_STIFF_E),
    (curves.PASSIVE_SOFT_K, curves.PASSIVE_SOFT_E),
]


@pytest.mark.parametrize(("constant", "row"), CONSTANTS)
def test_constant_equals_its_row(constant: float, row: str) -> None:
    assert constant == load().fit_value(row)


def test_tendon_rate_equals_its_row() -> None:
    # curve-degroote2016-tendon-kt, printed to 3 decimals for e0 = 0.049
    assert curves.tendon_rate(0.049) == pytest.approx(load().row("curve-degroote2016-tendon-kt").value, abs=5e-4)


def _published(structure: str, quantity: str) -> list[tuple[float, float, str]]:
    """(argument, printed value, row id) of the check rows of one curve; sarcomere lengths are normalised."""
    found = []
    for row in load().rows(file="curves", quantity=quantity, structure=structure, use="check"):
        c = row.conditions
        if "sarcomere_um" in c:
            at = float(c["sarcomere_um"]) / float(c["optimum_um"])
        else:
            at = float(c.get("l") or c.get("v") or c["lT"])
        found.append((at, row.value, row.id))
    return found


@pytest.mark.parametrize(("at", "printed", "row"), _published("degroote2016 active-force-length", "active-force"))
def test_degroote_2016_active_values(at: float, printed: float, row: str) -> None:
    """Printed with 3 decimals (l) or 2 (sarcomere length): half a unit of the last."""
    assert curves.active_force(at) == pytest.approx(printed, abs=0.5e-3 if "check" in row else 5e-3)


@pytest.mark.parametrize(("at", "printed", "row"), _published("degroote2016 force-velocity", "velocity-factor"))
def test_degroote_2016_velocity_values(at: float, printed: float, row: str) -> None:
    assert curves.force_velocity(at) == pytest.approx(printed, abs=5e-4), row


@pytest.mark.parametrize(("at", "printed", "row"), _published("degroote2016 tendon", "tendon-force"))
def test_degroote_2016_tendon_values(at: float, printed: float, row: str) -> None:
    """The row at slack length prints -0.013 and asks for a clamp: the smooth floor gives 0 there."""
    assert curves.tendon_force(at, 0.049) == pytest.approx(max(printed, 0.0), abs=5e-4), row


def test_smooth_floor_stays_within_its_stated_error() -> None:
    raw = np.linspace(-0.02, 0.02, 4001)
    error = [curves.floor_smooth(x)[0] - max(x, 0.0) for x in raw]
    assert min(error) >= 0.0
    assert max(error) == pytest.approx(curves.FLOOR / 4)


@pytest.mark.parametrize(("k", "e"), PASSIVE_OPTIONS)
def test_passive_force_reaches_one_at_its_stretch_and_nothing_when_slack(k: float, e: float) -> None:
    assert curves.passive_force(1.0 + e, k, e) == pytest.approx(1.0)
    assert curves.passive_force(curves.passive_slack(k, e), k, e) == pytest.approx(0.0, abs=1e-15)
    assert curves.passive_force(0.3, k, e) == 0.0


def test_soft_passive_option_is_softer_everywhere_above_slack() -> None:
    for lf in np.linspace(1.05, 2.5, 30):
        assert curves.passive_force(lf, *PASSIVE_OPTIONS[1]) < curves.passive_force(lf, *PASSIVE_OPTIONS[0])


def test_slopes_are_the_derivatives() -> None:
    """Central differences with h = 1e-6: error about h^2 f''' + 1e-16/h = 1e-10, on slopes up to 500."""
    h = 1e-6
    pairs = [(curves.active_force, curves.active_force_slope, np.linspace(0.01, 2.99, 300))]
    for k, e in PASSIVE_OPTIONS:
        pairs.append(
            (
                lambda x, k=k, e=e: curves.passive_force(x, k, e),
                lambda x, k=k, e=e: curves.passive_force_slope(x, k, e),
                np.linspace(0.5, 3.0, 300),
            )
        )
    for e0 in (0.011, 0.049):
        pairs.append(
            (
                lambda x, e0=e0: curves.tendon_force(x, e0),
                lambda x, e0=e0: curves.tendon_force_slope(x, e0),
                np.linspace(0.98, 1.15, 300),
            )
        )
    for force, slope, points in pairs:
        for x in points:
            assert slope(x) == pytest.approx((force(x + h) - force(x - h)) / (2 * h), rel=2e-5, abs=1e-7)


@pytest.mark.parametrize("e0", [0.011, 0.033, 0.049, 0.1])
def test_tendon_reaches_f0_at_its_strain_and_inverts(e0: float) -> None:
    assert curves.tendon_force(1.0 + e0, e0) == pytest.approx(1.0)
    for force in (1e-6, 1e-3, 0.0019, 0.0021, 0.3, 1.0, 4.9, 5.1, 40.0):
        ratio, slope = curves.tendon_ratio_and_slope(force, e0)
        assert curves.tendon_force(ratio, e0) == pytest.approx(force, rel=1e-9)
        assert curves.tendon_force_slope(ratio, e0) == pytest.approx(slope, rel=1e-9)
    assert curves.tendon_force(curves.tendon_ratio(0.0, e0), e0) == pytest.approx(0.0, abs=1e-15)


def test_tendon_starts_where_stated() -> None:
    # curve-degroote2016-tendon-form prints zero force at lT = 1.0016 (e0 = 0.049)
    assert curves.tendon_start(0.049) == pytest.approx(1.0016, abs=5e-5)
    assert curves.tendon_start(0.0361) == pytest.approx(1.0, abs=5e-6)
    assert curves.tendon_start(0.011) == pytest.approx(0.99695, abs=1e-5)


def test_velocity_inverts_and_never_pushes() -> None:
    for v in np.linspace(-1.0, 1.5, 60):
        assert curves.velocity_at(curves.force_velocity(v)) == pytest.approx(v, abs=1e-9)
    assert curves.force_velocity(-2.0) == 0.0


@pytest.mark.parametrize(("k", "e"), PASSIVE_OPTIONS)
def test_passive_tendon_and_velocity_never_fall(k: float, e: float) -> None:
    assert np.all(np.diff([curves.passive_force(x, k, e) for x in np.linspace(0, 4, 2000)]) >= 0.0)
    assert np.all(np.diff([curves.tendon_force(x, e / 15) for x in np.linspace(0.9, 1.5, 2000)]) >= 0.0)
    assert np.all(np.diff([curves.force_velocity(x) for x in np.linspace(-1.5, 1.5, 2000)]) >= 0.0)


def test_active_force_rises_then_falls_once() -> None:
    """One peak only: the search for the smallest stable balance rests on it."""
    steps = np.diff([curves.active_force(x) for x in np.linspace(0.0, 3.0, 30001)])
    assert np.count_nonzero(np.diff(np.sign(steps))) == 1


@settings(max_examples=300, deadline=None)
@given(
    lf=st.floats(-1.0, 3.0),
    ratio=st.floats(-1e3, 1e3),
    e0=st.floats(1e-4, 0.2),
    k=st.floats(1.0, 8.0),
    e=st.floats(0.2, 1.5),
    v=st.floats(-1e3, 1e3),
    force=st.floats(0.0, 1e3),
)
def test_no_curve_ever_gives_nan_infinity_or_a_push(
    lf: float, ratio: float, e0: float, k: float, e: float, v: float, force: float
) -> None:
    values = [
        *curves.active_force_and_slope(lf),
        *curves.passive_force_and_slope(lf, k, e),
        *curves.tendon_force_and_slope(ratio, e0),
        curves.force_velocity(v),
        curves.tendon_ratio(force, e0),
        curves.velocity_at(min(force, 10.0)),
    ]
    assert all(math.isfinite(x) for x in values)
    assert min(values[0], *values[2:7]) >= 0.0


def test_active_force_at_the_vanishing_bell_is_finite() -> None:
    """b3 + b4 lf = 0 at lf = 0.1495 for the second term."""
    assert math.isfinite(curves.active_force(0.1495))
    assert curves.active_force(0.1495) == pytest.approx(curves.active_force(0.1496), abs=1e-4)
