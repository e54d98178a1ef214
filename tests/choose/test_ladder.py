"""Not operating stands in the ladder; what lifts too few legs stands behind what lifts; push-off has a price."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from sinewright.case import Case, changed
from sinewright.choose.goals import GOALS
from sinewright.choose.ladder import Ladder
from sinewright.choose.order import BELOW_FLOOR, NO_BETTER, SAFE, WITHOUT, order
from sinewright.choose.push_off import push_off, share_kept
from sinewright.doubt.virtual import draw
from sinewright.plan import Worked, able_of, work
from sinewright.solve import answer as a
from sinewright.units import rad

from ..virtual_people import example, plan

DRAWS = 80
STEMS = ("knee_dislocation_common_peroneal", "stiff_calf", "borderline_donor")
TP = plan("tibialis_posterior.membrane_under.lateral_cuneiform_dorsum")
FHL = plan("flexor_hallucis_longus.membrane_under.lateral_cuneiform_dorsum")


@cache
def worked(stem: str) -> Worked:
    return work(example(stem), DRAWS, 1)


@cache
def ladder_of(stem: str) -> Ladder:
    found = worked(stem)
    return found.ladder(able_of(found.outcomes()))


@pytest.mark.parametrize("stem", STEMS)
def test_nothing_leads_that_does_not_beat_not_operating_on_clearing(stem: str) -> None:
    ladder = ladder_of(stem)
    today = worked(stem).without.today
    for i in ladder.offered():
        assert np.nanmean(ladder.met.met[:, i, 0] - today) > 0.0
    places = [ladder.order.places.index(len(ladder.plans) + k) for k in range(2)]
    lifting = [k for k, i in enumerate(ladder.order.places) if ladder.order.tiers[i] < WITHOUT]
    assert all(k < min(places) for k in lifting)


@pytest.mark.parametrize("stem", STEMS)
def test_no_weights_put_what_lifts_too_few_legs_before_what_lifts(stem: str) -> None:
    """All weights on one goal, on each in turn, and equal ones."""
    ladder = ladder_of(stem)
    every = [np.eye(len(GOALS))[g] for g in range(len(GOALS))] + [np.full(len(GOALS), 1 / len(GOALS))]
    for weights in every:
        placed = order(ladder.met, ladder.order.tiers, utility=ladder.met.utility_under(weights))
        tiers = [placed.tiers[i] for i in placed.places]
        below = [k for k, tier in enumerate(tiers) if tier >= NO_BETTER]
        assert all(tier < NO_BETTER for tier in tiers[: min(below, default=len(tiers))])
        assert tiers == sorted(tiers)
        assert all(ladder.met.clearing[i] < 0.33 for i in placed.places if placed.tiers[i] == BELOW_FLOOR)


def test_a_first_choice_is_offered_in_the_stiff_calf_with_its_calf_done() -> None:
    placed = ladder_of("stiff_calf").order
    assert placed.tiers[placed.places[0]] == SAFE


def pushed(case: Case, lowest_deg: float = -40.0) -> np.ndarray:
    virtual = draw(case, DRAWS, 1)
    found = push_off(case, virtual.legs, 1, elastic=True)
    return share_kept(found, [TP, FHL], np.full((DRAWS, 2), rad(lowest_deg)))


def test_a_calf_procedure_a_tether_and_a_donor_have_their_price_in_push_off() -> None:
    left = changed(example("stiff_calf"), {"plan.calf_procedure": "none"})
    kept = np.median(pushed(left), axis=0)
    assert np.all(kept < 1.0)  # each donor takes its own share of the push
    recession, lengthening = (
        np.median(pushed(changed(left, {"plan.calf_procedure": name})), axis=0)
        for name in ("gastrocnemius recession", "achilles lengthening")
    )
    assert np.all(lengthening < recession)
    assert np.all(recession < kept)
    assert np.all(np.median(pushed(left, lowest_deg=-5.0), axis=0) < kept)


def test_a_tether_above_the_arc_leaves_no_push() -> None:
    left = changed(example("stiff_calf"), {"plan.calf_procedure": "none"})
    assert pushed(left, lowest_deg=12.0) == pytest.approx(0.0)


def test_the_leg_as_it_is_answers_as_an_operation_that_moves_nothing() -> None:
    found = worked("knee_dislocation_common_peroneal")
    assert np.median(found.without.answers[:, a.LIFT]) < rad(-20.0)
    assert not found.without.clears.any()
    assert found.without.clears_braced.mean() > 0.5
