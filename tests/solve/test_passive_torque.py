"""The passive joints against the printed passive torques (riener1999), and their behaviour beyond any print."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import brentq

from sinewright.doubt.prior import PriorSampler
from sinewright.doubt.stiffness import lengthen_calf, limit_at, printed_limits
from sinewright.reference import Row, load
from sinewright.solve import passive_torque as r
from sinewright.units import deg, rad

from ..virtual_people import Floats, blank, people

ROWS = load().rows(structure="ankle")
TORQUE = [row for row in ROWS if row.id.startswith("pa-riener-torque-")]
ANGLE = [row for row in ROWS if row.id.startswith("pa-riener-angle-at-")]
SLOPE = [row for row in ROWS if row.id.startswith("pa-riener-slope-")]


def printed() -> Floats:
    """Resistance of the printed mean ankle."""
    limits, out = printed_limits(PriorSampler(1, 0)), np.zeros(r.PASSIVE_SIZE)
    out[r.UPPER_RATE], out[r.LOWER_RATE] = limits["upper_rate"] / rad(1.0), limits["lower_rate"] / rad(1.0)
    out[r.UPPER], out[r.LOWER] = rad(limits["upper"]), rad(limits["lower"])
    out[r.UPPER_KNEE], out[r.LOWER_KNEE], out[r.OFFSET] = limits["upper_knee"], limits["lower_knee"], limits["offset"]
    out[r.SUBTALAR_STIFFNESS], out[r.INWARD], out[r.OUTWARD], out[r.STOP_RATE] = 15.0, 0.4, -0.2, 14.0
    return out


def lifting(row: Row) -> float:
    """Passive moment [N.m, + lifts] in the posture of a row."""
    at = row.conditions
    return float(r.ankle_passive_torque(printed(), rad(float(at["ankle_deg"])), rad(float(at["knee_deg"])))[0])


def test_the_printed_rows_are_there() -> None:
    assert len(TORQUE) == 36 and len(ANGLE) == 10 and len(SLOPE) == 2


@pytest.mark.parametrize("row", TORQUE, ids=lambda row: row.id)
def test_riener_1999_passive_torque(row: Row) -> None:
    # printed positive where it resists dorsiflexion, rounded to 0.01 N.m; two constants are recalled
    assert -lifting(row) == pytest.approx(row.value, abs=0.0051)


@pytest.mark.parametrize("row", ANGLE, ids=lambda row: row.id)
def test_riener_1999_angle_at_torque(row: Row) -> None:
    torque, knee = float(row.conditions["torque"].split()[0]), rad(float(row.conditions["knee_deg"]))
    found = limit_at(printed()[None], torque, knee, upward=True)[0]
    assert found == pytest.approx(row.value, abs=0.051)  # printed to 0.1 deg


@pytest.mark.parametrize("row", SLOPE, ids=lambda row: row.id)
def test_riener_1999_slope_at_neutral(row: Row) -> None:
    slope = r.ankle_passive_torque(printed(), 0.0, rad(float(row.conditions["knee_deg"])))[1]
    assert -slope * rad(1.0) == pytest.approx(row.value, abs=0.0051)  # N.m/deg


def test_riener_1999_angle_of_no_torque() -> None:
    row = load().row("pa-riener-zero-torque-knee-0")
    found = brentq(lambda ankle: r.ankle_passive_torque(printed(), ankle, 0.0)[0], rad(-40.0), rad(10.0))
    assert deg(found) == pytest.approx(row.value, abs=0.51)  # printed to 1 deg


def test_each_branch_alone_holds_the_reference_torque_at_its_limit() -> None:
    passive, knee = printed(), 0.7
    passive[r.OFFSET] = 0.0
    upper = passive[r.UPPER] + passive[r.UPPER_KNEE] * knee
    lower = passive[r.LOWER] + passive[r.LOWER_KNEE] * knee
    for angle, other, torque in ((upper, r.LOWER, -r.REFERENCE_TORQUE), (lower, r.UPPER, r.REFERENCE_TORQUE)):
        alone = passive.copy()
        alone[other] += 10.0 if other == r.UPPER else -10.0
        assert r.ankle_passive_torque(alone, angle, knee)[0] == pytest.approx(torque, rel=1e-9)


def test_signs() -> None:
    passive = printed()
    assert (
        r.ankle_passive_torque(passive, rad(25.0), 0.0)[0] < 0.0 < r.ankle_passive_torque(passive, rad(-50.0), 0.0)[0]
    )
    assert r.subtalar_passive_torque(passive, 0.5)[0] < 0.0 < r.subtalar_passive_torque(passive, -0.4)[0]
    knees = [r.ankle_passive_torque(passive, rad(10.0), knee)[0] for knee in np.linspace(0.0, 2.0, 9)]
    assert np.all(np.diff(knees) > 0.0)  # the calf gives way when the knee bends


def test_the_joint_pushes_back_harder_the_further_it_goes() -> None:
    passive, angles = printed(), np.linspace(-1.5, 1.2, 400)
    for moment in (
        [r.ankle_passive_torque(passive, x, 0.3) for x in angles],
        [r.subtalar_passive_torque(passive, x) for x in angles],
    ):
        values, slopes = np.array(moment).T
        assert np.all(np.isfinite(values)) and np.all(np.diff(values) < 0.0) and np.all(slopes < 0.0)


def test_slopes_against_differences_also_where_the_exponent_is_straightened() -> None:
    passive, h = printed(), 1e-6
    for x in (-9.0, -3.5, -0.3, 0.0, 0.4, 5.0, 9.0):
        for of in (lambda q: r.ankle_passive_torque(passive, q, 0.4), lambda q: r.subtalar_passive_torque(passive, q)):
            assert of(x)[1] == pytest.approx((of(x + h)[0] - of(x - h)[0]) / (2 * h), rel=1e-6)


def test_nothing_overflows() -> None:
    for x in (-1e3, 1e3):
        assert np.isfinite(r.ankle_passive_torque(printed(), x, 0.0)).all()
        assert np.isfinite(r.subtalar_passive_torque(printed(), x)).all()


ASKED = [rad(a) for a in range(-10, 30, 5)]


def calf(procedure: str, more: str = "") -> tuple[Floats, Floats]:
    """Resistance of some legs before and after a calf procedure."""
    before = people("stiff_calf").passive[:20]
    case = blank(f'[plan]\ncalf_procedure = "{procedure}"\n{more}')
    return before, lengthen_calf(case, before, PriorSampler(20, 1))


def upper_alone(passive: Floats, ankle: float, knee: float) -> Floats:
    """Moment of the calf branch alone [N.m]."""
    quiet = passive.copy()
    quiet[:, r.LOWER] = -50.0
    return np.array([r.ankle_passive_torque(x, ankle, knee)[0] for x in quiet])


def test_recession_brings_the_straight_knee_onto_the_bent_one() -> None:
    before, after = calf("gastrocnemius recession")
    for ankle in ASKED:
        bent = upper_alone(before, ankle, rad(90.0))
        assert upper_alone(after, ankle, 0.0) == pytest.approx(bent, rel=1e-9)
        assert upper_alone(after, ankle, rad(90.0)) == pytest.approx(bent, rel=1e-9)


def test_recession_by_a_known_gain_moves_the_straight_knee_and_leaves_the_bent_one() -> None:
    before, after = calf("gastrocnemius recession", "calf_gain_deg = 5")
    enough = before[:, r.UPPER_KNEE] * 90.0 > 5.0  # else the curves meet first
    assert enough.any()
    for ankle in ASKED:
        gained = upper_alone(before, ankle - rad(5.0), 0.0)
        assert upper_alone(after, ankle, 0.0) == pytest.approx(gained, rel=1e-9)
        kept = upper_alone(before, ankle, rad(90.0))
        assert upper_alone(after, ankle, rad(90.0))[enough] == pytest.approx(kept[enough], rel=1e-9)


@pytest.mark.parametrize("given", [None, 7.0])
def test_lengthening_of_the_tendon_shifts_both_curves(given: float | None) -> None:
    before, after = calf("achilles lengthening", f"calf_gain_deg = {given}" if given else "")
    gain = rad(given if given else load().row("pa-tal-df-gain-salsich2005").value)
    for ankle in ASKED:
        for knee in (0.0, rad(90.0)):
            assert upper_alone(after, ankle, knee) == pytest.approx(upper_alone(before, ankle - gain, knee), rel=1e-9)


def test_no_procedure_changes_nothing() -> None:
    before, after = calf("none")
    assert np.array_equal(before, after)


def test_a_procedure_leaves_the_lower_limit_and_the_hindfoot() -> None:
    for procedure in ("gastrocnemius recession", "achilles lengthening"):
        before, after = calf(procedure)
        kept = [i for i in range(r.PASSIVE_SIZE) if i not in (r.UPPER, r.UPPER_KNEE)]
        assert np.array_equal(before[:, kept], after[:, kept])
