"""Architecture: printed areas, ratios and strains; hand examples; size; refusals."""

from __future__ import annotations

import math

import pytest

from sinewright.case import MUSCLES as CASE_MUSCLES
from sinewright.errors import InputError
from sinewright.muscle import architecture, names
from sinewright.muscle.architecture import body, leg_muscles, muscle_data, series_strain
from sinewright.reference import load

DORSIFLEXORS = ("tibialis_anterior", "extensor_hallucis_longus", "extensor_digitorum_longus")
WARD_MUSCLES = [name for name in names.MUSCLES if name != "peroneus_tertius"]


def test_names_are_those_of_the_case() -> None:
    assert names.MUSCLES == CASE_MUSCLES


@pytest.mark.parametrize("name", WARD_MUSCLES)
def test_ward_2009_area_follows_from_volume_fibre_and_slant(name: str) -> None:
    """PCSA = volume cos(slant)/fibre length; the rows say the recalled table agrees within 5 %."""
    key = names.row_name(name)
    volume, fibre, slant, area = (
        load().row(f"arch-{key}-{what}-ward2009").value for what in ("volume", "fibre-length", "pennation", "pcsa")
    )
    assert volume * math.cos(math.radians(slant)) / (fibre / 10) == pytest.approx(area, rel=0.05)


def test_tibialis_posterior_by_hand() -> None:
    """55.3 cm3 x 1.8 / 3.78 cm = 26.33 cm2; x 225 kPa = 592.5 N; / (23.5 mm2 x 1200 MPa) = 2.101 %."""
    data = muscle_data("tibialis_posterior")
    assert data.area == pytest.approx(26.333e-4, rel=1e-4)
    assert pytest.approx(592.5, rel=1e-4) == data.F0
    assert data.free_strain == pytest.approx(0.02101, rel=1e-3)
    assert data.pen0 == pytest.approx(math.radians(13.7))


def test_gracilis_uses_the_living_optimum_not_the_cadaver_fibre() -> None:
    assert muscle_data("gracilis").l0 == pytest.approx(0.129)  # arch-gracilis-optimal-fibre-length-bindermarkey2023


def test_peroneus_tertius_is_half_of_the_long_toe_extensors() -> None:
    tertius, extensors = muscle_data("peroneus_tertius"), muscle_data("extensor_digitorum_longus")
    assert pytest.approx(0.5 * extensors.F0) == tertius.F0  # arch-peroneus-tertius-default
    assert (tertius.l0, tertius.pen0) == (extensors.l0, extensors.pen0)


RATIO_CHECKS = ["tibialis_posterior", "peroneus_longus", "flexor_hallucis_longus", "peroneus_brevis"]


@pytest.mark.parametrize("name", [*RATIO_CHECKS, "flexor_digitorum_longus"])
def test_ward_2009_share_of_the_dorsiflexor_area(name: str) -> None:
    """Check rows arch-*-to-dorsiflexor-group-pcsa-ratio-ward2009, printed with a cosine ours lacks: 0.02."""
    muscles = leg_muscles()
    printed = load().row(f"arch-{names.row_name(name)}-to-dorsiflexor-group-pcsa-ratio-ward2009").value
    group = sum(muscles[part].area for part in DORSIFLEXORS)
    assert muscles[name].area / group == pytest.approx(printed, abs=0.02)


@pytest.mark.parametrize("name", ["tibialis_anterior", "tibialis_posterior", "peroneus_longus"])
def test_free_tendon_strain_at_the_force_of_the_check_rows(name: str) -> None:
    """Rows ten-*-strain-at-f0: Ward area x 250 kPa over (E x area); ours averages one area more: 3 %."""
    key = names.row_name(name)
    force = load().row(f"arch-{key}-pcsa-ward2009").value * 1e-4 * 250e3
    strain, _ = architecture._free_strain(name, force)
    assert 100 * strain == pytest.approx(load().row(f"ten-{key}-strain-at-f0").value, rel=0.03)


def test_living_volumes_of_handsfield_2014_are_shared_out_whole() -> None:
    """Group rows are split by cadaver volume and add up again; the outer gastrocnemius differs most, 27 %."""
    other, ours = leg_muscles(volumes="handsfield2014"), leg_muscles()
    both = other["peroneus_longus"].volume + other["peroneus_brevis"].volume
    assert both * 1e6 == pytest.approx(load().row("arch-peroneal-group-volume-handsfield2014").value)
    for name in names.MUSCLES:
        assert other[name].volume == pytest.approx(ours[name].volume, rel=0.28), name


def test_every_row_may_set_a_parameter_and_every_number_is_usable() -> None:
    for volumes in ("ward2009 living", "handsfield2014"):
        for data in leg_muscles(volumes=volumes).values():
            assert all(load().row(id).use == "fit" for id in data.rows)
            assert min(data.l0, data.volume, data.area, data.F0, data.free_length, data.free_strain) > 0.0
            assert data.free_strain < 0.06
            assert 0.0 <= data.pen0 < 0.6


def test_body_scales_by_the_total_volume_line() -> None:
    """(47 x 1.6 x 50 + 1285)/(47 x 1.71 x 72 + 1285) = 5045/7071.6 = 0.7134."""
    assert body().factor == 1.0
    assert body(1.6, 50.0).factor == pytest.approx(5045 / 7071.64, rel=1e-6)
    small = muscle_data("soleus", body(1.6, 50.0).factor)
    assert pytest.approx(muscle_data("soleus").F0 * 5045 / 7071.64, rel=1e-6) == small.F0
    assert body().warnings == ()


def test_reference_adult_is_the_one_of_the_multiplier_rows() -> None:
    for kind in ("triceps", "non-triceps"):
        assert load().row(f"arch-living-multiplier-{kind}").condition.startswith("72 kg, 1.71 m")


def test_unusual_size_warns_and_impossible_size_is_refused() -> None:
    assert len(body(1.40, 130.0).warnings) == 2
    with pytest.raises(InputError, match="height_cm: given 171 cm|height_cm: given 17100 cm"):
        body(height=171.0)
    with pytest.raises(InputError, match="mass_kg: given 720 kg"):
        body(mass=720.0)
    with pytest.raises(InputError, match="write the name in full"):
        muscle_data("TP")


def test_series_strain_by_hand_and_at_its_ends() -> None:
    """(0.02 x 110 + 0.04 x 110)/220 = 0.03; all tendon: 0.02; no free tendon: 0.04."""
    assert series_strain(0.02, 0.110, 0.04, 0.220) == pytest.approx(0.03)
    assert series_strain(0.02, 0.300, 0.04, 0.220) == pytest.approx(0.02)
    assert series_strain(0.02, 0.0, 0.04, 0.220) == pytest.approx(0.04)
    with pytest.raises(InputError):
        series_strain(0.02, 0.1, 0.04, 0.0)
