"""Swing in words: feet in their order of lift, chances with their interval, speed and margin as asked."""

import numpy as np
import pytest

from sinewright.choose.swinging import usual_margin_mm
from sinewright.errors import InputError
from sinewright.evidence.people import palsy
from sinewright.plan import swing_out
from sinewright.results import SwingPage

CHOICE = "tibialis_posterior.membrane_under.lateral_cuneiform_dorsum"


@pytest.fixture(scope="module")
def page() -> SwingPage:
    return swing_out(palsy(True, 10.0), CHOICE, draws=120, seed=4)


def test_feet_stand_beside_the_choice(page: SwingPage) -> None:
    by = {foot.name: foot for foot in page.feet}
    assert list(by) == ["today", "brace", "learned", "untrained", "trained", "healthy"]
    assert by["today"].swing_ankle_deg.p50 < by["untrained"].swing_ankle_deg.p50 < by["trained"].swing_ankle_deg.p50
    assert by["today"].clears_swing.share < by["trained"].clears_swing.share <= 1.0
    assert by["today"].steppage_hip_deg.p50 > by["trained"].steppage_hip_deg.p50
    assert by["brace"].available_Nm is None and by["brace"].lowers_foot is None
    assert by["healthy"].clears_swing.share > 0.8
    assert by["today"].available_Nm is not None and by["today"].available_Nm.p95 == 0.0
    for foot in page.feet:
        knee, hip = foot.steppage_knee_deg, foot.steppage_hip_deg
        assert np.allclose(knee.as_tuple(), 1.3 * np.array(hip.as_tuple()))


def test_a_larger_margin_is_cleared_less_often(page: SwingPage) -> None:
    asked = swing_out(palsy(True, 10.0), CHOICE, draws=120, seed=4, margin_mm=usual_margin_mm() + 20.0)
    for usual, wide in zip(page.feet, asked.feet, strict=True):
        assert wide.clears_swing.share <= usual.clears_swing.share
        assert wide.clearance_mm == usual.clearance_mm
        assert wide.steppage_hip_deg.p50 >= usual.steppage_hip_deg.p50


def test_same_seed_same_page(page: SwingPage) -> None:
    assert swing_out(palsy(True, 10.0), CHOICE, draws=120, seed=4) == page


@pytest.mark.parametrize("margin", [-1.0, 101.0, float("nan")])
def test_an_impossible_margin_is_refused(margin: float) -> None:
    with pytest.raises(InputError, match="0 to 100 mm"):
        swing_out(palsy(True), CHOICE, draws=100, margin_mm=margin)
