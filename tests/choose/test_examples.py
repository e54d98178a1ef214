"""What the invented examples are there to show, from the case file to the answer."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache

import numpy as np
import pytest

from sinewright.arrays import Floats
from sinewright.case import Case, changed
from sinewright.choose.asking import ask, questions, value
from sinewright.choose.goals import GOALS, Met
from sinewright.choose.ruler import lay_ruler, stretches
from sinewright.choose.rules import rules_of_patient
from sinewright.doubt.virtual import draw
from sinewright.errors import DoubtError, InputError
from sinewright.muscle.names import LEG_MUSCLES
from sinewright.plan import Worked, able_of, rule_out, weigh, work
from sinewright.reference import load
from sinewright.results import TELLS, Answered, Outcome, Weighing
from sinewright.solve import answer as a
from sinewright.units import deg, m, rad
from sinewright.wording.figures import RULER_KEPT

from ..virtual_people import EXAMPLES, example, people, plan, virtual_of

DRAWS = 200
DONOR = LEG_MUSCLES.index("tibialis_posterior")
ROUND = "tibialis_posterior.round_tibia.navicular_dorsum"
READINGS = ("force_N", "lever_mm", "other_side_force_N", "other_side_lever_mm")


@cache
def weighed(stem: str, procedure: str = "none") -> Weighing:
    return weigh(changed(example(stem), {"plan.calf_procedure": procedure}), DRAWS, 1)


def outcome(weighing: Weighing, id: str) -> Outcome:
    return next(each for each in weighing.outcomes if each.choice.id == id)


def by_hand_alone() -> Case:
    """The borderline donor as it was before the dynamometer: grade 5 by hand and nothing read."""
    return changed(example("borderline_donor"), {f"muscles.tibialis_posterior.{name}": None for name in READINGS})


@dataclass(frozen=True)
class Weighed:
    """What the questions of one case are weighed by."""

    case: Case
    worked: Worked
    met: Met
    lift: Floats

    def answers(self) -> tuple[Answered, ...]:
        return ask(self.case, self.worked.virtual, self.met, self.lift, 1)


@cache
def weighed_donor(measured: bool, draws: int = 600) -> Weighed:
    """The borderline donor with the dynamometer, or as it was before."""
    case = example("borderline_donor") if measured else by_hand_alone()
    worked = work(case, draws, 1)
    able = able_of(worked.outcomes())
    ladder = worked.ladder(able)
    offered = ladder.offered() or ladder.operations()
    met, first = ladder.met.some(offered), able[offered[0]]
    lift = np.where(worked.failed[:, first] == 0, deg(worked.answers[:, first, a.LIFT]), np.nan)
    return Weighed(case, worked, met, lift)


def test_a_grade_leaves_a_donor_in_wide_doubt_and_a_dynamometer_narrows_it() -> None:
    graded, measured = (
        draw(case, DRAWS, 1).legs.capacity[:, DONOR] for case in (by_hand_alone(), example("borderline_donor"))
    )
    low, middle, high = np.percentile(measured, [5, 50, 95])
    wide_low, wide_middle, wide_high = np.percentile(graded, [5, 50, 95])
    assert wide_high - wide_low > 1.5 * (high - low)
    assert middle < 0.5 < wide_middle  # felt strong, measured weak
    assert wide_low < 0.5  # the doubt of a grade holds the truth that the reading shows
    assert np.mean(graded < high) > 0.05


def test_the_dynamometer_is_the_thing_to_measure_when_it_is_missing() -> None:
    first = weighed_donor(False).answers()[0]
    assert first.title == "Strength of the tibialis posterior"
    assert first.how.startswith("A dynamometer on the tibialis posterior")
    assert first.narrows > 2 * TELLS
    assert "Strength of the tibialis posterior" not in [each.title for each in weighed_donor(True).answers()]


def test_readings_of_other_legs_say_nothing_of_the_borderline_donor() -> None:
    """Every question of the example with its readings dealt out anew among the legs: none may seem worth asking."""
    ground = weighed_donor(False)
    asked, rng = tuple(questions(ground.case, ground.worked.virtual, 1)), np.random.default_rng(7)
    for question in asked:
        dealt = rng.permutation(question.reading)
        found = value(replace(question, truth=dealt, reading=dealt), ground.met, ground.lift, len(asked))
        assert not found.tells, question.title
        assert found.gain < 0.001 and found.gain_read < 0.001, question.title


@pytest.mark.slow
def test_a_tight_calf_is_named_and_its_lengthening_lifts_the_foot() -> None:
    (told,) = [rule.text for rule in rules_of_patient(example("stiff_calf")) if rule.code == "tight_calf"]
    assert "every choice is weighed with a gastrocnemius recession done first" in told
    usual = weighed("stiff_calf")
    assert not [rule for rule in usual.rules if rule.code == "fixed_below_neutral"]
    before = outcome(usual, ROUND)
    for procedure in ("gastrocnemius recession", "achilles lengthening"):
        after = outcome(weighed("stiff_calf", procedure), ROUND)
        assert after.quantities["lift_deg"].p50 > before.quantities["lift_deg"].p50 + 4.0
        assert before.standing is not None and after.standing is not None
        lifts = [each.chances["lifts_to_neutral"].share for each in (before, after)]
        assert lifts[1] > lifts[0] + 0.2
        assert (
            after.standing.met["no_brace"] > before.standing.met["no_brace"] + 0.03
        )  # clears in swing, where the knee is bent anyway


def test_a_supple_calf_is_not_told_to_be_lengthened() -> None:
    limits = {"dorsiflexion_knee_straight_deg": 14.0, "dorsiflexion_knee_bent_deg": 21.0}
    supple = changed(example("stiff_calf"), {f"range.affected.{name}": value for name, value in limits.items()})
    assert "tight_calf" not in [rule.code for rule in rules_of_patient(supple)]
    assert "tight_calf" in [rule.code for rule in rules_of_patient(example("stiff_calf"))]


def test_in_a_lost_front_compartment_bone_or_the_common_mass_is_left_and_reach_decides() -> None:
    weighing = weighed("front_compartment_loss")
    left = [each for each in weighing.outcomes if each.status != "set aside"]
    assert left
    assert all("dorsum" in each.choice.recipient or "extensor_mass" in each.choice.recipient for each in left)
    assert any("extensor_mass" in each.choice.recipient for each in left)
    short = [each for each in left if each.quantities["reach_margin_mm"].p50 < 0.0]
    assert short and all(each.status == "doubtful" and "short" in each.reason for each in short)
    reaching = [each for each in left if each.quantities["reach_margin_mm"].p05 > 0.0]
    assert min(each.standing.place for each in reaching if each.standing) < min(
        each.standing.place for each in short if each.standing
    )
    alone = [each for each in weighing.outcomes if each.choice.recipient == "anterior_tibial_below"]
    assert alone and all(each.status == "set aside" and each.reason for each in alone)


@pytest.mark.parametrize("stem", EXAMPLES)
def test_a_resting_angle_with_the_wrong_sign_is_refused_and_named(stem: str) -> None:
    case = example(stem)
    hanging = case.range.affected.resting_hanging_deg
    assert hanging is not None and hanging.value < 0.0
    with pytest.raises((DoubtError, InputError), match=r"resting.angle.*hanging|resting_hanging_deg"):
        draw(changed(case, {"range.affected.resting_hanging_deg": -hanging.value}), DRAWS, 1)


@pytest.mark.slow
def test_weights_of_the_patient_turn_the_order() -> None:
    """Who asks for push-off alone gets a choice that is too close to call from the one with the most push-off among
    those that may lead, and so for lift: what clears oftener comes first among those."""
    for goal in ("push_off", "lift"):
        only = {f"goals.{name}": 10.0 * (name == goal) for name in GOALS}
        found = weigh(changed(example("deep_branch_strong_peroneals"), only), 100, 1)
        standings = [each.standing for each in found.outcomes if each.standing and each.standing.tier == "lifts"]
        best = min(standings, key=lambda each: each.place)
        most = max(standings, key=lambda each: each.mean)
        assert best.rank == most.rank == 1
        assert best.met["no_brace"] > most.met["no_brace"] - 0.05


@pytest.mark.parametrize("stem", ["deep_branch_strong_peroneals", "borderline_donor"])
def test_no_choice_in_front_is_beaten_in_every_goal_and_no_reserve_is_spent(stem: str) -> None:
    weighing = weighed(stem)
    placed = {each.choice.id: each for each in weighing.outcomes if each.standing}
    weighed_goals = [goal.name for goal in weighing.goals if goal.weight > 0.0]
    for each in placed.values():
        assert each.standing is not None
        for other in placed.values():
            assert other.standing is not None
            pairs = [(other.standing.met[at], each.standing.met[at]) for at in weighed_goals]
            beaten = all(x >= y - 1e-9 for x, y in pairs) and any(x > y + 1e-9 for x, y in pairs)
            assert not (each.standing.pareto_front and beaten)
        if each.standing.reserve:
            assert not set(each.choice.donor.split(" + ")) & set(
                placed[each.standing.reserve].choice.donor.split(" + ")
            )


def test_the_ruler_holds_the_same_numbers_as_the_ladder() -> None:
    id = "peroneus_longus.front_of_fibula_over.medial_cuneiform_dorsum"
    ruler = rule_out(example("deep_branch_strong_peroneals"), id, DRAWS, 1)
    same = outcome(weighed("deep_branch_strong_peroneals"), id)
    assert ruler.choice == same.choice
    assert ruler.chosen.quantities["lift_deg"].as_tuple() == pytest.approx(same.quantities["lift_deg"].as_tuple())


def test_tighter_hangs_higher_pushes_less_and_the_interval_keeps_four_fifths() -> None:
    legs = people("deep_branch_strong_peroneals", 100)
    ruler = lay_ruler(virtual_of(legs), plan("tibialis_posterior.membrane_under.lateral_cuneiform_dorsum", 4.0), True)
    rest, push = ([mark.quantities[name].p50 for mark in ruler.marks] for name in ("rest_deg", "pushdown_deg"))
    assert np.all(np.diff(rest) > 0.0)
    assert np.all(np.diff(push) > 0.0)
    moment = {mark.set_stretch_mm: mark.quantities["moment_neutral_Nm"].p50 for mark in ruler.marks}
    best = max(moment.values())
    inside = [at for at in moment if ruler.low_mm <= at <= ruler.high_mm]
    kept = load().fit_value(RULER_KEPT)
    assert all(moment[at] >= kept * best for at in inside)
    for beyond in (ruler.low_mm - 2.0, ruler.high_mm + 2.0):
        assert moment.get(beyond, 0.0) < kept * best
    assert ruler.loose.set_stretch_mm == -1.0 and ruler.tight.set_stretch_mm == 9.0
    assert "4 mm beyond its start point" in " ".join(ruler.sentences)


def test_the_stretch_that_does_the_same_in_another_posture_does_the_same() -> None:
    """Sewn there, on the same legs, the foot hangs within half a degree of the plan and the lift is the plan's."""
    legs = people("deep_branch_strong_peroneals", 100)
    sewn = plan("tibialis_posterior.membrane_under.lateral_cuneiform_dorsum", 4.0)
    ruler = lay_ruler(virtual_of(legs), sewn, True)
    assert [one.ankle_deg for one in ruler.exchange] == [mark.ankle_deg for mark in ruler.postures]
    stretch = [one.set_stretch_mm for one in ruler.exchange]
    assert None not in stretch and np.all(np.diff(stretch) < 0.0)
    assert np.all(np.diff([one.goes_there for one in ruler.exchange]) <= 0.0)
    for one in ruler.exchange:
        there = lay_ruler(
            virtual_of(legs), replace(sewn, ankle=rad(one.ankle_deg), stretch=m(one.set_stretch_mm or 0.0)), True
        )
        for name in ("rest_deg", "lift_deg", "pushdown_deg"):
            assert there.chosen.quantities[name].p50 == pytest.approx(ruler.chosen.quantities[name].p50, abs=0.7)


@pytest.mark.parametrize(("here", "ends"), [(0.0, (-12.0, 16.0)), (13.0, (-12.0, 20.0)), (-11.0, (-18.0, 16.0))])
def test_the_ruler_reaches_beyond_the_plan_on_both_sides(here: float, ends: tuple[float, float]) -> None:
    marks = stretches(here)
    assert (marks[0], marks[-1]) == ends
    assert 0.0 in marks
    assert np.all(np.diff(marks) == 2.0)


def test_a_choice_that_is_set_aside_has_no_ruler() -> None:
    with pytest.raises(InputError, match="set aside for this patient"):
        rule_out(
            example("front_compartment_loss"), "tibialis_posterior.membrane_under.lateral_cuneiform_dorsum", DRAWS, 1
        )
