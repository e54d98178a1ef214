"""The set-up of the calf checks: legs measured so are so, and each procedure does what its rule says."""

from __future__ import annotations

import pytest

from sinewright.evidence.calf import LENGTHENING, RECESSION, limits_deg, strength_change
from sinewright.evidence.scene import Scene
from sinewright.reference import load


def test_legs_measured_so_stand_at_their_limits_within_the_reading_error() -> None:
    found = limits_deg("none", 2.0, 14.0)
    error = load().row("me-wb-df-goniometer-sem-konor2012").high
    assert found.straight_before == pytest.approx(2.0, abs=error)
    assert found.bent_before == pytest.approx(14.0, abs=error)
    assert found.gain == 0.0


def test_a_recession_takes_the_knee_out_and_lengthening_moves_both_knees_alike() -> None:
    recession, lengthening = limits_deg(RECESSION, 2.0, 14.0), limits_deg(LENGTHENING, 2.0, 14.0)
    assert recession.straight == pytest.approx(recession.bent, abs=0.01)
    assert recession.bent == pytest.approx(recession.bent_before, abs=0.01)
    gain = load().fit_value("pa-tal-df-gain-salsich2005")
    assert lengthening.gain == pytest.approx(gain, abs=1.0)  # the constant of the curve shifts it a little
    assert lengthening.bent - lengthening.bent_before == pytest.approx(gain, abs=1.0)


def test_a_calf_left_alone_loses_nothing_and_a_longer_one_loses_its_passive_part(scene: Scene) -> None:
    assert strength_change(scene, "none") == 0.0
    assert strength_change(scene, RECESSION) < strength_change(scene, LENGTHENING) < 0.0
