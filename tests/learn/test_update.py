"""The update: against closed forms and brute force, in any order, with its effective number, honest when it fails."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from itertools import permutations

import numpy as np
import pytest

from sinewright.doubt.sample import kish
from sinewright.doubt.virtual import draw
from sinewright.errors import InputError
from sinewright.learn.beliefs import FEWEST, chain, weigh_legs
from sinewright.learn.expected import lift_later, rest_on_table
from sinewright.learn.prepare import number
from sinewright.learn.readings import agreement_with
from sinewright.learn.session import Session
from sinewright.reference import load
from sinewright.solve import answer as a
from sinewright.solve.leg import Legs
from sinewright.transfer.plans import build_plans
from sinewright.units import deg, mm

from ..support.simulated_operations import truth_of
from ..virtual_people import example
from .table_people import PLANNED_MM, START, STEM, entry, prepared, sewn

ALL = (
    entry("mark", 4.0),
    entry("rest", -9.0, 1, 30.0),
    entry("stimulated", 3.0, 2, 0.0),
    entry("tendon", 150.0, 3),
    entry("spring", 25.0, 4),
)


def test_without_entries_the_answer_is_the_plan_of_the_solver_itself() -> None:
    ready = prepared()
    out, failed = a.answer(ready.virtual.legs, build_plans([sewn()]))
    good = failed[:, 0] == 0
    plan = Session(ready).plan()
    for found, column in ((plan.lift_deg, a.LIFT), (plan.rest_later_deg, a.REST), (plan.pushdown_deg, a.PUSH)):
        lows = np.percentile(deg(out[good, 0, column]), [25, 50, 75])
        # two samples of the same error of setting: the quartiles of 400 legs differ by up to about a degree
        np.testing.assert_allclose([found.p25, found.p50, found.p75], lows, atol=1.3)


def test_a_mark_alone_is_the_textbook_product_of_two_normals() -> None:
    ready = prepared()
    belief = chain(ready, (entry("mark", 1.0),)).sum(axis=0)
    before, error = load().row("own-stretch-error").sd, number("own-protect-ruler-error")
    assert before is not None
    precision = 1.0 / before**2 + 1.0 / error**2
    mean = (PLANNED_MM / before**2 + 1.0 / error**2) / precision
    middle = float(belief @ mm(ready.fine))
    assert middle == pytest.approx(mean, abs=0.01)
    sd = float(np.sqrt(belief @ (mm(ready.fine) - middle) ** 2))
    assert sd == pytest.approx(np.sqrt(1.0 / precision), abs=0.01)


def test_setting_again_shifts_and_widens() -> None:
    ready = prepared()
    first = (entry("mark", 6.0),)
    before = chain(ready, first).sum(axis=0)
    after = chain(ready, (*first, entry("moved", 4.0, 5))).sum(axis=0)
    at = mm(ready.fine)
    assert after @ at - before @ at == pytest.approx(4.0, abs=0.05)
    widths = [float(np.sqrt(b @ (at - b @ at) ** 2)) for b in (before, after)]
    wanted = np.hypot(widths[0], number("own-protect-retension-error"))
    assert widths[1] == pytest.approx(wanted, abs=0.02)


def test_entries_in_any_order_and_one_by_one_give_the_same_answer() -> None:
    ready = prepared()
    whole = Session(ready).add(*ALL).answer()
    for order in list(permutations(ALL))[::17]:
        assert Session(ready).add(*order).answer() == whole
    session = Session(ready)
    for each in reversed(ALL):
        session = session.add(each)
        session.answer()
    assert session.answer() == whole
    belief = chain(ready, ())
    for each in ALL:
        belief = belief * agreement_with(ready, each)
        belief = belief / belief.sum()
    np.testing.assert_allclose(belief, chain(ready, ALL[::-1]), rtol=1e-9, atol=1e-300)


def test_undo_is_as_if_it_had_never_been_entered_but_it_is_kept() -> None:
    session = Session(prepared()).add(*ALL[:2])
    undone = session.add(ALL[2]).undo(START + timedelta(minutes=9))
    assert undone.answer().now == session.answer().now
    told = undone.answer().entries
    assert [each.counts for each in told] == [True, True, False]
    assert told[2].at == "2026-03-05T09:42:00"


def brute_force(reading_mm: float, reading_deg: float) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Rejection on the solver: draw legs and errors, read them with errors, keep those that read the same."""
    case, rng = example(STEM), np.random.default_rng(8)
    drawn = draw(case, 400, 1).legs  # the same legs as the prepared ones: only the update is held against brute force
    copies, sd = 300, load().row("own-stretch-error").sd or 0.0
    many = Legs(*(np.repeat(part, copies, axis=0) for part in drawn))
    execution = many.execution.copy()
    execution[:, 0], execution[:, 3] = sd / 1000.0 * rng.standard_normal(len(execution)), 0.0
    mark = PLANNED_MM + mm(execution[:, 0]) + number("own-protect-ruler-error") * rng.standard_normal(len(execution))
    near = np.abs(mark - reading_mm) < 0.5
    kept = Legs(*(part[near] for part in many._replace(execution=execution)))
    out, failed = a.answer(kept, build_plans([sewn()]))
    error = number("own-protect-table-angle-error")
    rest = deg(out[:, 0, a.REST_TABLE])
    same = np.abs(rest + error * rng.standard_normal(len(rest)) - reading_deg) < 0.75
    same &= failed[:, 0] == 0
    return deg(out[same, 0, a.LIFT]), rest[same], PLANNED_MM + mm(kept.execution[same, 0])


def test_the_update_agrees_with_brute_force_rejection() -> None:
    """400 legs with 300 errors each; the mark and the resting angle must come out within half a millimetre and 0.75 deg
    of the readings. About 700 are kept: their percentiles scatter by about 0.4 deg, and the update's 400 by 0.5."""
    reading_mm, reading_deg = 3.0, -10.0
    lift, rest, stretch = brute_force(reading_mm, reading_deg)
    assert len(lift) > 400
    ready = prepared()
    weighed = weigh_legs(ready, chain(ready, (entry("mark", reading_mm), entry("rest", reading_deg, 1, 30.0))))
    found = (lift_later(ready, weighed, 0.0), rest_on_table(ready, weighed, 0.0), mm(weighed.stretch))
    for brute, ours, tolerance in zip((lift, rest, stretch), found, (1.5, 1.0, 0.5), strict=True):
        order = np.argsort(ours)
        total = np.cumsum(weighed.weight[order]) / weighed.weight.sum()
        ours_at = [float(ours[order[np.searchsorted(total, p)]]) for p in (0.1, 0.25, 0.5, 0.75, 0.9)]
        np.testing.assert_allclose(ours_at, np.percentile(brute, [10, 25, 50, 75, 90]), atol=tolerance)
    prior = Session(ready).plan()
    assert np.median(lift) < prior.lift_deg.p50 - 1.0, "the reading must say something for the comparison to tell"


def test_a_stimulated_angle_agrees_with_brute_force_over_every_drive() -> None:
    """The solver itself stimulates 400 legs with 80 errors of setting and drives each; those that read 2 deg up within
    a degree are kept (some 1,500). Percentiles of both scatter by about half a degree."""
    ready, reading = prepared(), 2.0
    many = Legs(*(np.repeat(part, 80, axis=0) for part in draw(example(STEM), 400, 1).legs))
    execution, rng = many.execution.copy(), np.random.default_rng(12)
    execution[:, 0] = (load().row("own-stretch-error").sd or 0.0) / 1000.0 * rng.standard_normal(len(execution))
    truth = truth_of(ready, many._replace(execution=execution), 4)
    read = truth.stimulated_deg + number("own-protect-table-angle-error") * rng.standard_normal(len(execution))
    same = (np.abs(read - reading) < 1.0) & truth.good
    assert same.sum() > 500
    assert np.median(truth.lift_deg[same]) < Session(ready).plan().lift_deg.p50 - 1.5, "the reading must say something"
    weighed = weigh_legs(ready, chain(ready, (entry("stimulated", reading, 0, 0.0),)))
    found = (lift_later(ready, weighed, 0.0), rest_on_table(ready, weighed, 0.0))
    for brute, ours in zip((truth.lift_deg[same], truth.rest_deg[same]), found, strict=True):
        order = np.argsort(ours)
        total = np.cumsum(weighed.weight[order]) / weighed.weight.sum()
        ours_at = [float(ours[order[np.searchsorted(total, p)]]) for p in (0.1, 0.25, 0.5, 0.75, 0.9)]
        np.testing.assert_allclose(ours_at, np.percentile(brute, [10, 25, 50, 75, 90]), atol=1.5)


def test_a_low_effective_number_resamples_and_every_copy_is_drawn_anew() -> None:
    ready = prepared()
    plain = weigh_legs(ready, chain(ready, (entry("mark", 6.0),)))
    assert not plain.resampled
    assert plain.effective_sample_size == pytest.approx(kish(np.bincount(ready.virtual.sample.origin).astype(float)))
    belief = chain(ready, ALL)
    weighed = weigh_legs(ready, belief)
    assert weighed.resampled
    together = np.bincount(ready.virtual.sample.origin, weights=belief.sum(axis=1))
    assert weighed.effective_sample_size == pytest.approx(1.0 / np.sum(together**2))
    assert weighed.effective_sample_size < 0.5 * ready.draws
    assert weighed.different == len(set(ready.virtual.sample.origin[weighed.leg])) < ready.draws
    counts = np.bincount(weighed.leg, minlength=ready.draws)
    assert np.all(np.abs(counts - ready.draws * belief.sum(axis=1)) < 1.0 + 1e-9), "systematic: within one of its share"
    twice = int(np.argmax(counts))
    assert np.unique(weighed.stretch[weighed.leg == twice]).size == counts[twice]
    assert np.unique(weighed.settling[weighed.leg == twice]).size > 1
    mean = float(belief.sum(axis=0) @ ready.fine)
    assert mm(weighed.stretch.mean()) == pytest.approx(mm(mean), abs=0.3)
    np.testing.assert_allclose(np.sort(weighed.gain), np.sort(ready.gain))


def test_resampling_does_not_move_the_answer() -> None:
    """The same belief, weighted and resampled; what the copies draw anew is independent of what was read."""
    ready = prepared()
    belief = chain(ready, ALL)
    weight = belief.sum(axis=1)
    resampled = weigh_legs(ready, belief)
    assert resampled.resampled
    lifts = []
    for turn in range(8):
        chance = np.random.default_rng(turn).random(ready.chance.shape)
        leg = np.arange(ready.draws)
        other = replace(resampled, leg=leg, weight=weight, gain=ready.gain, settling=ready.settling)
        stretch = ready.fine[(np.cumsum(belief, axis=1) < chance[0][:, None] * weight[:, None]).sum(axis=1)]
        lifts.append(float(np.average(lift_later(ready, replace(other, stretch=stretch), 0.0), weights=weight)))
    ours = float(lift_later(ready, resampled, 0.0).mean())
    assert ours == pytest.approx(np.mean(lifts), abs=1.0)


def test_signs_a_lower_foot_asks_for_tighter_and_a_higher_one_for_slacker() -> None:
    ready = prepared()
    middle = round(Session(ready).plan().rest_on_table_deg.p50)
    low = Session(ready).add(entry("rest", middle - 7.0, 0, 30.0)).answer()
    high = Session(ready).add(entry("rest", middle + 7.0, 0, 30.0)).answer()
    assert low.advice and low.advice.to_planned_rest_mm and low.advice.to_planned_rest_mm > 2.0
    assert high.advice and high.advice.to_planned_rest_mm and high.advice.to_planned_rest_mm < -2.0
    assert low.now and high.now
    assert low.now.lift_deg.p50 < low.plan.lift_deg.p50 < high.now.lift_deg.p50
    assert "mm tighter" in " ".join(low.sentences)
    rests = [shift.rest_on_table_deg for shift in low.shifts]
    assert rests == sorted(rests), "tighter rests higher"
    pushes = [shift.pushdown_deg for shift in low.shifts]
    assert pushes == sorted(pushes), "tighter costs push-down"


def test_doing_what_it_says_brings_the_middle_leg_back_to_the_plan() -> None:
    ready = prepared()
    session = Session(ready).add(entry("rest", -15.0, 0, 30.0), entry("mark", 3.0, 1))
    first = session.answer()
    assert first.advice and first.advice.to_planned_rest_mm is not None
    again = session.add(entry("moved", first.advice.to_planned_rest_mm, 5)).answer()
    assert again.now
    assert again.now.rest_on_table_deg.p50 == pytest.approx(first.plan.rest_on_table_deg.p50, abs=1.0)


def test_an_expected_reading_lies_inside_the_interval_that_makes_no_difference() -> None:
    ready = prepared()
    plan = Session(ready).plan()
    answer = Session(ready).add(entry("rest", round(plan.rest_on_table_deg.p50), 0, 30.0)).answer()
    assert answer.advice and answer.advice.low_mm is not None and answer.advice.high_mm is not None
    assert answer.advice.low_mm <= 0.0 <= answer.advice.high_mm
    assert "lies inside" in answer.sentences[-1]
    assert answer.sentences[0] == "What keeps it to the plan: leave it."
    assert not answer.contradicted


def test_set_tension_and_settled_tension_stand_apart() -> None:
    plan = Session(prepared()).plan().tension
    for at_once, after, settled in zip(
        plan.at_once_N.as_tuple(), plan.after_relaxation_N.as_tuple(), plan.settled_N.as_tuple(), strict=True
    ):
        assert at_once >= after >= settled >= 0.0
    assert plan.at_once_N.p75 > plan.after_relaxation_N.p75 > plan.settled_N.p75
    assert plan.creep_mm.p05 > 0.0


def test_a_wrong_sign_is_named_and_tried() -> None:
    ready = prepared()
    flipped = entry("rest", 14.0, 1, 30.0)  # 14 down was meant
    answer = Session(ready).add(entry("mark", 2.0), flipped).answer()
    (told,) = [each for each in answer.entries if each.contradicts]
    assert "14° up" in told.words
    fitting = [why.text for why in told.explanations if why.fits]
    assert any("14° down is meant" in text for text in fitting)
    looks = [why.text for why in told.explanations if why.fits is None]
    assert any("Wrong side" in text for text in looks)
    assert any("tourniquet" in text for text in looks)
    assert answer.now is None, "too few legs agree: no number"
    assert answer.without is not None
    assert "contradicts the rest" in answer.sentences[0]


def test_a_scale_that_reads_nothing_at_a_tight_mark_is_placed_low() -> None:
    ready = prepared()
    session = Session(ready).add(entry("mark", 16.0), entry("spring", 0.0, 1))
    (told,) = [each for each in session.answer().entries if each.words.startswith("spring")]
    assert told.share_below is not None
    assert told.share_below < 0.2


def test_more_legs_are_drawn_when_the_first_are_too_few() -> None:
    """A few legs are not enough for four readings: more are drawn by itself, and the first stay among them."""
    ready = prepared(legs=100)
    session = Session(ready).add(entry("rest", -9.0, 0, 30.0), entry("mark", 6.0, 1))
    answer = session.answer()
    assert answer.now is not None
    assert answer.speaking.draws in (200, 300, 400)
    assert answer.speaking.effective_sample_size >= load().fit_value(FEWEST)
    more = session.looked[-1].prepared
    assert np.array_equal(more.free[:100], ready.free) and len(more.free) == answer.speaking.draws
    assert more.virtual.sample.distinct > ready.virtual.sample.distinct
    assert len(set(more.virtual.sample.origin[:100]) & set(more.virtual.sample.origin[100:])) == 0
    assert session.answer() == answer, "the same again, without drawing again"


def test_copies_of_one_leg_do_not_count_as_legs() -> None:
    ready = prepared()
    sample = ready.virtual.sample
    copied = replace(sample, origin=np.arange(len(sample)) // 8)
    few = replace(ready, virtual=replace(ready.virtual, sample=copied))
    belief = chain(ready, ALL[:2])
    grouped = np.bincount(copied.origin, weights=belief.sum(axis=1))
    weighed = weigh_legs(few, belief)
    assert weighed.effective_sample_size == pytest.approx(1.0 / np.sum(grouped**2))
    assert weighed.effective_sample_size < 0.5 * weigh_legs(ready, belief).effective_sample_size
    assert weighed.different <= copied.distinct


@pytest.mark.parametrize(("away_deg", "verb"), [(-13.0, "tighten"), (13.0, "slacken")])
def test_the_first_line_names_the_direction_of_the_change(away_deg: float, verb: str) -> None:
    ready = prepared()
    middle = round(Session(ready).plan().rest_on_table_deg.p50)
    answer = Session(ready).add(entry("rest", middle + away_deg, 0, 30.0)).answer()
    lead = next(each for each in answer.sentences if each.startswith("What "))
    assert lead.startswith(f"What would bring it back to the plan: {verb} ")


def test_nothing_is_said_until_something_is_measured() -> None:
    session = Session(prepared())
    assert session.answer().sentences == ()
    once = session.add(entry("rest", -15.0, 0, 30.0))
    assert once.answer().sentences
    assert once.undo(datetime(2026, 3, 4, 10, 0)).answer().sentences == ()


def test_a_junction_far_from_the_plan_asks_for_a_new_plan() -> None:
    with pytest.raises(InputError, match="moved: given 14 mm in all"):
        Session(prepared()).add(entry("moved", 7.0, 1), entry("moved", 7.0, 2)).answer()


def test_a_failed_leg_never_speaks() -> None:
    ready = prepared()
    good = ready.table.good.copy()
    good[::2] = False
    belief = chain(replace(ready, table=ready.table._replace(good=good)), ALL[:2])
    assert np.all(belief[::2] == 0.0)
    assert belief.sum() == pytest.approx(1.0)
