"""Leg sizes: measured ones within the reading error, the others drawn with their correlations."""

from __future__ import annotations

import numpy as np
import pytest

from sinewright.anatomy.sizes import DRAWN, draw_sizes, population, reading_error
from sinewright.anatomy.skeleton import SIZE_NAMES
from sinewright.doubt.proposal import measured_sizes
from sinewright.reference import load
from sinewright.units import m, mm

from ..virtual_people import Floats, blank

N = 20_000


def drawn(measured: dict[str, float], sex: str = "male", n: int = N) -> dict[str, Floats]:
    sizes = draw_sizes(sex, measured, n, np.random.default_rng(4))  # type: ignore[arg-type]
    return dict(zip(SIZE_NAMES, sizes.T, strict=True))


@pytest.mark.parametrize("sex", ["female", "male"])
@pytest.mark.parametrize("name", ["foot_length", "dorsum_height", "foot_breadth", "malleolar_breadth", "shank_length"])
def test_a_measured_size_is_met_within_the_reading_error(sex: str, name: str) -> None:
    who = population(sex)  # type: ignore[arg-type]
    at, sd = who.mean[DRAWN.index(name)], who.covariance[DRAWN.index(name), DRAWN.index(name)] ** 0.5
    given = float(at + sd)
    found = drawn({name: given}, sex)[name]
    kept = sd**2 / (sd**2 + reading_error() ** 2)  # what the reading keeps of the way from the mean
    assert found.mean() == pytest.approx(at + kept * sd, abs=m(0.1))
    assert found.std() == pytest.approx(reading_error() * kept**0.5, rel=0.03)
    assert abs(found.mean() - given) < reading_error()


def test_unmeasured_sizes_have_the_printed_mean_and_spread() -> None:
    found = drawn({})
    for name in ("foot_length", "foot_breadth", "shank_length"):
        row = load().row(f"anth-{name.replace('_', '-')}-men-ansur2")
        assert mm(found[name].mean()) == pytest.approx(row.value, rel=0.005)
        assert mm(found[name].std()) == pytest.approx(row.sd, rel=0.05)


def test_printed_correlation_of_foot_length_and_malleolar_breadth() -> None:
    found = drawn({})
    row = load().row("anth-r-foot-length-malleolar-breadth-men-ansur2")
    assert np.corrcoef(found["foot_length"], found["malleolar_breadth"])[0, 1] == pytest.approx(row.value, abs=0.05)


def test_a_long_foot_makes_a_long_shank_likely_and_says_little_of_the_dorsum() -> None:
    long, short = drawn({"foot_length": m(300.0)}), drawn({"foot_length": m(240.0)})
    assert mm(long["shank_length"].mean() - short["shank_length"].mean()) > 20.0
    spread = drawn({})["dorsum_height"].std()
    assert abs(long["dorsum_height"].mean() - short["dorsum_height"].mean()) < 2.0 * spread


def test_height_narrows_the_foot_but_hardly_the_dorsum() -> None:
    free, tall = drawn({}), drawn({"stature": 1.75})
    assert tall["foot_length"].std() < 0.85 * free["foot_length"].std()
    assert tall["dorsum_height"].std() > 0.95 * free["dorsum_height"].std()


def test_sizes_of_the_case_reach_the_draws_in_metres() -> None:
    case = blank("[leg]\nfoot_length_mm = 250\nshank_length_mm = 390\n[person]\nheight_cm = 172\n")
    assert measured_sizes(case) == {"foot_length": 0.25, "shank_length": 0.39, "stature": 1.72}


def test_a_foot_never_shrinks_to_nothing() -> None:
    found = drawn({"foot_length": m(100.0)})
    assert all(np.all(values > 0.0) for values in found.values())
