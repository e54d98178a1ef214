"""Strength now: printed ranges kept, order of trust, exact zeros, and errors that say what to do."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from sinewright.case import GRADES
from sinewright.errors import InputError
from sinewright.muscle.now import (
    STATES,
    Reading,
    from_grade,
    from_other_side,
    from_state,
    from_torque,
    grade_band,
    measurement_cv,
    strength_now,
)
from sinewright.reference import load

N = 40_000
ROLES = ("dorsiflexor", "donor")


def rng() -> np.random.Generator:
    return np.random.default_rng(7)


PRINTED = [
    *[("dorsiflexor", str(g), f"gr-prior-df-grade-{g}") for g in range(6)],
    ("donor", "3", "gr-prior-donor-grade-3"),
    ("donor", "4", "gr-prior-df-grade-4"),
]


@pytest.mark.parametrize(("role", "grade", "id"), PRINTED)
def test_grade_draws_keep_the_printed_range(role: str, grade: str, id: str) -> None:
    """About 96 % inside the printed range, all within a tenth beyond it."""
    row = load().row(id)
    unit = 0.01 if row.unit == "%" else 1.0
    low, high = row.low * unit, row.high * unit
    result = from_grade(grade, role, N, rng())
    assert result.rows == (id,)
    if high == 0.0:
        assert np.all(result.fraction == 0.0)
        return
    more = 0.1 * (high - low)
    assert result.fraction.min() >= max(0.0, low - more)
    assert result.fraction.max() <= high + more
    assert 0.93 <= np.mean((result.fraction >= low) & (result.fraction <= high)) <= 0.995


@pytest.mark.parametrize(("grade", "id"), [("4+", "gr-prior-donor-grade-4plus"), ("5", "gr-prior-df-grade-5")])
def test_a_donor_felt_as_strong_is_weak_in_some_draws(grade: str, id: str) -> None:
    """The share of row own-hidden-weakness-share comes from grade 4, the rest from the grade's own row."""
    share = load().fit_value("own-hidden-weakness-share")
    result = from_grade(grade, "donor", N, rng())
    assert {id, "gr-prior-df-grade-4", "own-hidden-weakness-share"} <= set(result.rows)
    weak, strong = grade_band("4", "donor"), grade_band(grade, "donor")
    below = np.mean(result.fraction < strong.ends[0])
    expected = share * np.mean(weak.draw(N, rng()) < strong.ends[0])
    assert below == pytest.approx(expected, abs=0.01)


def given_a_ratio(ratio: float, sd: float, share: float) -> float:
    """Quantile of the share of normal given a ratio, every share up to 1.2 equally likely before: by brute force."""
    shares = np.linspace(1e-4, 1.2, 20_001)
    weight = np.exp(-0.5 * ((np.log(ratio) - np.log(shares)) / sd) ** 2)
    return float(np.interp(share, np.cumsum(weight) / weight.sum(), shares))


FIXED_SD = float(np.sqrt(2 * np.log1p(measurement_cv("fixed")[0] ** 2) + np.log1p(0.15**2)))
ALONE_SD = float(np.sqrt(np.log1p(measurement_cv("fixed")[0] ** 2)))
HELD_SD = float(np.sqrt(np.log1p(measurement_cv("hand-held")[0] ** 2)))


def test_grade_4_has_its_printed_median() -> None:
    """Row gr-prior-df-grade-4 prints 'median 40' inside 5..85 %."""
    assert "median 40" in load().row("gr-prior-df-grade-4").note
    assert np.median(from_grade("4", "dorsiflexor", N, rng()).fraction) == pytest.approx(0.40, abs=0.01)


@pytest.mark.parametrize("role", ROLES)
def test_every_grade_of_the_case_has_a_band_and_better_grades_are_stronger(role: str) -> None:
    bands = [grade_band(grade, role) for grade in GRADES]
    assert all(a.middle < b.middle for a, b in pairwise(bands))
    assert all(a.high <= b.high for a, b in pairwise(bands))
    assert all(band.low <= band.middle <= band.high for band in bands)


def test_grades_between_rows_lie_between_them() -> None:
    """Donor 4- is two thirds of the way from 3 to 4 in the logarithm: 0.03^(1/3) 0.05^(2/3) = 0.042."""
    band = grade_band("4-", "donor")
    assert band.low == pytest.approx(0.0422, abs=1e-4)
    assert band.high == pytest.approx(0.10 ** (1 / 3) * 0.85 ** (2 / 3))
    five_minus = grade_band("5-", "donor")  # half way from 4+ to 5
    assert five_minus.low == pytest.approx((0.5 * 0.55) ** 0.5)
    assert five_minus.rows == ("gr-prior-donor-grade-4plus", "gr-prior-df-grade-5")


@pytest.mark.parametrize("grade", ["6", "5+", "0-", "4.5", "", "IV"])
def test_unknown_grade_is_refused(grade: str) -> None:
    with pytest.raises(InputError, match="grade"):
        grade_band(grade, "donor")


@pytest.mark.parametrize("state", ["absent", "paralysed"])
def test_gone_is_exactly_zero_whatever_else_is_given(state: str) -> None:
    result = strength_now(
        N, rng(), state=state, role="donor", grade="4", here=Reading(force=90.0), other=Reading(force=100.0)
    )
    assert np.all(result.fraction == 0.0)
    assert state in result.how


@pytest.mark.parametrize("state", [s for s in STATES if s not in ("absent", "paralysed")] + [None])
def test_a_state_alone_is_a_named_assumption(state: str | None) -> None:
    result = strength_now(N, rng(), state=state, role="donor")
    assert result.known == "judged"
    assert result.rows
    assert all(load().row(row).known == "judged" for row in result.rows)
    assert result.fraction.min() >= 0.0
    assert result.fraction.std() > 0.03
    if state is None:
        assert "not examined" in result.how


def test_measured_ratio_has_the_errors_of_both_sides_and_the_difference_between_legs() -> None:
    """60 N x 120 mm against 100 N x 120 mm, hand-held: ln sd from 0.18, 0.18 and 0.15, cut off at 1.2."""
    result = from_other_side(Reading(force=60, lever=0.12), Reading(force=100, lever=0.12), "hand-held", N, rng())
    cv, _ = measurement_cv("hand-held")
    assert cv == pytest.approx(0.18)  # middle of 8..28 %, me-myositis-dynamometer-sem-pmc5875759
    sd = float(np.sqrt(2 * np.log1p(0.18**2) + np.log1p(0.15**2)))
    for share in (0.05, 0.5, 0.95):
        assert np.quantile(result.fraction, share) == pytest.approx(given_a_ratio(0.6, sd, share), rel=0.015)
    assert result.fraction.max() <= 1.2


def test_levers_matter_and_must_come_in_pairs() -> None:
    """Same force at half the lever is half the torque; two forces without levers count as equal levers."""
    other = Reading(force=100, lever=0.12)
    assert np.median(from_other_side(Reading(force=100, lever=0.06), other, "fixed", N, rng()).fraction) == (
        pytest.approx(given_a_ratio(0.5, FIXED_SD, 0.5), rel=0.01)
    )
    plain = from_other_side(Reading(force=50), Reading(force=100), "fixed", N, rng())
    assert np.median(plain.fraction) == pytest.approx(given_a_ratio(0.5, FIXED_SD, 0.5), rel=0.01)
    mixed = from_other_side(Reading(torque=6.0), other, "fixed", N, rng())
    assert np.median(mixed.fraction) == pytest.approx(given_a_ratio(0.5, FIXED_SD, 0.5), rel=0.01)
    with pytest.raises(InputError, match="lever of both sides"):
        from_other_side(Reading(force=50), other, "fixed", N, rng())
    with pytest.raises(InputError, match="more than 0 there"):
        from_other_side(Reading(force=50), Reading(force=0.0), "fixed", N, rng())


def test_torque_alone_is_set_against_each_draw_of_the_model() -> None:
    """A stronger unharmed model leg makes the same torque a smaller share, draw by draw."""
    model = np.linspace(30.0, 60.0, N)
    result = from_torque(20.0, model, "fixed", N, rng())
    assert np.corrcoef(result.fraction, 1 / model)[0, 1] > 0.85
    assert np.median(result.fraction * model) == pytest.approx(20.0 * np.exp(ALONE_SD**2), rel=0.01)
    with pytest.raises(InputError, match="torque_Nm"):
        from_torque(20.0, 0.0, "fixed", N, rng())


def test_a_measurement_beats_a_grade_and_says_so() -> None:
    here, other = Reading(force=30.0), Reading(force=100.0)
    both = strength_now(N, rng(), state="weak", role="donor", grade="5", here=here, other=other)
    alone = strength_now(N, rng(), state="weak", role="donor", here=here, other=other)
    assert np.array_equal(both.fraction, alone.fraction)
    assert "grade 5 set aside" in both.how
    assert "check both" in both.warnings[0]
    in_line = strength_now(N, rng(), state="weak", role="donor", grade="4", here=here, other=other)
    assert in_line.warnings == ()


def test_order_of_trust() -> None:
    reading = Reading(torque=10.0)
    grade = strength_now(N, rng(), state="weak", role="dorsiflexor", grade="3", here=reading)
    assert "grade 3" in grade.how  # a torque with nothing to compare it to cannot be used
    model = strength_now(N, rng(), state="weak", role="dorsiflexor", here=reading, model_torque=40.0)
    assert np.median(model.fraction) == pytest.approx(given_a_ratio(0.25, HELD_SD, 0.5), rel=0.01)
    side = strength_now(
        N,
        rng(),
        state="weak",
        role="dorsiflexor",
        here=reading,
        other=Reading(torque=20.0),
        model_torque=40.0,
    )
    held = float(np.sqrt(2 * HELD_SD**2 + np.log1p(0.15**2)))
    assert np.median(side.fraction) == pytest.approx(given_a_ratio(0.5, held, 0.5), rel=0.01)


def test_a_reading_of_nothing_leaves_a_trace_possible() -> None:
    result = from_torque(0.0, 40.0, "hand-held", N, rng())
    assert result.fraction.min() >= 0.0
    assert result.fraction.max() <= 0.02  # gr-prior-df-grade-2


def test_unknown_state_is_refused() -> None:
    with pytest.raises(InputError, match="state"):
        strength_now(N, rng(), state="tired", role="donor")


def test_draws_repeat_for_a_seed() -> None:
    a, b = (from_state("weak", 100, np.random.default_rng(3)).fraction for _ in range(2))
    assert np.array_equal(a, b)
