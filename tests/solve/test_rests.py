"""Two rests are found where there are two, and every rest is a balance that the main search agrees with."""

from __future__ import annotations

import numpy as np
import pytest

from sinewright.solve import answer as a
from sinewright.solve.rests import STARTS, has_two, rests
from sinewright.transfer.plans import build_plans
from sinewright.units import deg, rad

from ..virtual_people import people, plan

STEMS = ("deep_branch_strong_peroneals", "front_compartment_loss")
TIGHT = plan("peroneus_longus.front_of_fibula_over.lateral_cuneiform_dorsum", 6.0)


@pytest.mark.parametrize("stem", STEMS)
def test_where_there_is_one_rest_every_start_finds_the_one_of_the_answer(stem: str) -> None:
    legs, plans = people(stem, 60), build_plans([plan(None), TIGHT])
    found, (out, failed) = rests(legs, plans), a.answer(legs, plans)
    assert found.shape == (60, 2, len(STARTS), 2)
    single = ~has_two(found) & (failed == 0)
    assert single.mean() > 0.95
    gap = np.abs(deg(found[:, :, :, 0] - out[:, :, None, a.REST]))
    assert np.nanmax(gap[single]) < 0.01


def test_rests_more_than_two_degrees_apart_count_as_two() -> None:
    found = np.zeros((3, 1, 4, 2))
    found[1, 0, 2, 0], found[2, 0, 3, 1] = rad(1.9), rad(-2.1)
    found[0, 0, 1] = np.nan
    assert has_two(found)[:, 0].tolist() == [False, False, True]
