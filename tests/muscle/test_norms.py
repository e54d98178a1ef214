"""Norms of torque: printed values by hand, decline with age, what is unknown and what is out of range."""

from __future__ import annotations

import numpy as np
import pytest

from sinewright.muscle.norms import torque_norm
from sinewright.reference import load


def test_moraux_2013_young_adults() -> None:
    """Men 39.5 and 41.9, women 23.9 and 24.9 N.m lifting; 122..131 and 104..107 pushing; SD as printed."""
    lift = torque_norm("dorsiflexors", "male", 25)
    assert (lift.value, lift.sd) == pytest.approx((40.7, 10.2))
    assert torque_norm("dorsiflexors", "female", 25).value == pytest.approx(24.4)
    push = torque_norm("plantarflexors", "male", 25)
    assert (push.value, push.cv) == pytest.approx((126.5, 0.25))
    assert "tq-norm-cv-benfica2018" in push.rows
    assert torque_norm("plantarflexors", "female", 25).value == pytest.approx(105.5)
    assert lift.warnings == ()


def test_moraux_2013_women_over_men_and_spread() -> None:
    women, men = (torque_norm("dorsiflexors", sex, 25) for sex in ("female", "male"))
    share = load().row("tq-df-women-over-men-moraux2013")
    assert share.low - 0.005 <= women.value / men.value <= share.high + 0.005
    cv = load().row("tq-df-cv-moraux2013")
    assert cv.low <= men.cv <= cv.high
    assert cv.low <= women.cv <= cv.high


def test_decline_by_hand() -> None:
    """60 y: 1 - 0.013 x 8 = 0.896; 80 y, woman, pushing: (1 - 0.013 x 21)(1 - 0.021 x 7) = 0.6201."""
    assert torque_norm("dorsiflexors", "male", 60).value == pytest.approx(40.7 * 0.896)
    old = torque_norm("plantarflexors", "female", 80)
    assert old.value == pytest.approx(105.5 * 0.727 * 0.853)
    assert "tq-decline-plantarflexor-women-winegard1996" in old.rows
    assert any("read in men" in told for told in old.warnings)


@pytest.mark.parametrize("group", ["dorsiflexors", "plantarflexors"])
@pytest.mark.parametrize("sex", ["female", "male", None])
def test_norm_falls_without_a_jump_and_stays_positive(group: str, sex: str | None) -> None:
    values = np.array([torque_norm(group, sex, age).value for age in np.arange(16.0, 110.0, 0.5)])
    assert np.all(np.diff(values) <= 1e-12)
    assert np.abs(np.diff(values) / values[0]).max() < 0.02
    assert values.min() > 0.0


def test_unknown_sex_is_wider_and_unknown_age_is_said() -> None:
    both = torque_norm("dorsiflexors", None, 30)
    assert both.value == pytest.approx((24.4 + 40.7) / 2)
    assert both.cv > torque_norm("dorsiflexors", "female", 30).cv
    assert "Sex not given" in both.warnings[0]
    assert "Age not given" in torque_norm("dorsiflexors", "male", None).warnings[0]


def test_ages_outside_the_evidence_warn() -> None:
    assert torque_norm("dorsiflexors", "male", 17).warnings
    assert torque_norm("dorsiflexors", "male", 99).warnings


def test_a_child_has_a_child_s_strength_that_grows_and_is_said_to_be_scaled() -> None:
    norms = [torque_norm("dorsiflexors", "male", age) for age in range(5, 21)]
    values = np.array([norm.value for norm in norms])
    assert np.all(np.diff(values) >= 0.0) and values[0] < 0.5 * values[-1]
    assert "scaled by the growth of muscle" in norms[4].warnings[0]
