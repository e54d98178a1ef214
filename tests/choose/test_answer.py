"""The answer says what the outcomes say, names every tie and danger, and never gives an order."""

from __future__ import annotations

import pytest

from sinewright.choose.answer import answer_of
from sinewright.doubt.sample import chance_of
from sinewright.reference import load
from sinewright.results import CalfTrial, Fired, OperationSummary, Outcome, Posture, Spread, Standing, View, Weighing
from sinewright.wording.answer import calf_sentence, dropped_sentence, leaning, mark_words, slap_sentence
from sinewright.wording.dangers import OF_OPERATION, OF_PATIENT

SEWN = Posture(8.0, 0.0, 30.0)
TP, PL, FHL = "tibialis_posterior", "peroneus_longus", "flexor_hallucis_longus"
TITLES = {TP: "Tibialis posterior", PL: "Long peroneal", FHL: "Great-toe flexor"}
VIEW = View("It is so.", "common-practice", "common practice", "practice")


def outcome(
    donor: str, recipient: str, place: int, first_better: float, *, lift: float = 5.0, clears: int = 70,
    reserve: str = "", rules: tuple[Fired, ...] = (), status: str = "workable", reason: str = "",
) -> Outcome:  # fmt: skip
    id = f"{donor}.membrane_under.{recipient}"
    choice = OperationSummary(
        id, donor, "membrane_under", recipient, SEWN, 8.0, TITLES.get(donor, donor), f"through, to {recipient}"
    )
    if status == "set aside":
        return Outcome(choice, "set aside", reason, rules=rules)
    spread = Spread(lift - 9.0, lift - 3.0, lift, lift + 3.0, lift + 9.0)
    stands = Standing(
        {"lift": 0.5}, Spread(0.1, 0.2, 0.3, 0.4, 0.5), 0.3,
        place=place, rank=1 if first_better < 0.8 else 2, first_better=first_better, pareto_front=True, reserve=reserve,
    )  # fmt: skip
    chances = {"clears_swing": chance_of(clears, 100), "lowers_foot": chance_of(4, 100)}
    return Outcome(choice, "workable", "", {"lift_deg": spread}, standing=stands, chances=chances, rules=rules)


def weighing(*outcomes: Outcome, rules: tuple[Fired, ...] = (), calf: tuple[CalfTrial, ...] = ()) -> Weighing:
    return Weighing(
        version="0", seed=1, draws=100, side="right", pseudonym="quiet-otter-58", warnings=(), sources=(),
        assumptions=(), outcomes=outcomes, tendon="elastic", rules=rules, calf=calf,
    )  # fmt: skip


def test_one_rung_for_each_donor_best_first_with_short_numbers() -> None:
    found = answer_of(
        weighing(
            outcome(PL, "cuboid_dorsum", 3, 0.7),
            outcome(TP, "navicular_dorsum", 4, 0.9),
            outcome(TP, "lateral_cuneiform_dorsum", 1, 0.5, reserve=f"{PL}.membrane_under.cuboid_dorsum"),
            outcome(f"{TP} + {PL}", "cuboid_dorsum", 2, 0.6),
        )
    )
    assert [(rung.number, rung.title) for rung in found.rungs] == [
        ("1", "Tibialis posterior"), ("2", f"{TP} + {PL}"), ("3", "Long peroneal"),
    ]  # fmt: skip
    assert [way.number for way in found.rungs[0].ways] == ["1", "1b"]
    assert found.numbers()["1b"] == f"{TP}.membrane_under.navicular_dorsum"
    assert [rung.tied for rung in found.rungs] == [True, True, True] and not found.rungs[0].ways[1].tied
    assert found.rungs[0].left == 1 and found.rungs[1].left == 0, "a pair spends both of its donors"
    assert found.rungs[0].left_clears == chance_of(70, 100)


def test_a_tie_with_another_donor_is_named_before_anything_leads() -> None:
    told = answer_of(weighing(outcome(TP, "cuboid_dorsum", 1, 0.5), outcome(PL, "cuboid_dorsum", 2, 0.79))).sentences[0]
    assert "long peroneal is too close to call" in told and "favour" not in told


def test_what_stands_apart_is_said_to() -> None:
    told = answer_of(weighing(outcome(TP, "cuboid_dorsum", 1, 0.5), outcome(PL, "cuboid_dorsum", 2, 0.95))).sentences[0]
    assert told == (
        "The numbers favour tibialis posterior, through the membrane to cuboid, 8 mm beyond the mark; "
        "it stands apart from every other operation."
    )


@pytest.mark.parametrize("code", sorted(OF_PATIENT))
def test_no_danger_of_the_patient_is_left_out(code: str) -> None:
    rules = tuple(Fired(each, "warn", "Found.", (VIEW,)) for each in (*OF_PATIENT, "age"))
    found = answer_of(weighing(outcome(TP, "cuboid_dorsum", 1, 0.5), rules=rules)).dangers
    assert code in [danger.code for danger in found] and "age" not in [danger.code for danger in found]


@pytest.mark.parametrize("code", sorted(OF_OPERATION))
def test_a_danger_of_the_best_way_stands_on_its_rung(code: str) -> None:
    fired = (Fired(code, "warn", "Found.", (VIEW,)),)
    found = answer_of(weighing(outcome(TP, "cuboid_dorsum", 1, 0.5, rules=fired), outcome(PL, "cuboid_dorsum", 2, 0.9)))
    assert [danger.code for danger in found.rungs[0].dangers] == [code] and not found.rungs[1].dangers


def test_blocks_stand_before_warnings() -> None:
    rules = (Fired("numb_sole", "warn", "Numb.", (VIEW,)), Fired("no_pulse", "block", "No pulse.", (VIEW,)))
    found = answer_of(weighing(outcome(TP, "cuboid_dorsum", 1, 0.5), rules=rules)).dangers
    assert [danger.code for danger in found] == ["no_pulse", "numb_sole"]


def test_nothing_left_says_what_stops_and_offers_no_rung() -> None:
    left = outcome(TP, "cuboid_dorsum", 0, 0.0, status="set aside", reason="The ankle is fused.")
    found = answer_of(weighing(left))
    assert found.sentences == ("As examined, no transfer can be offered: the ankle is fused.",)
    assert not found.rungs and not found.figures and found.numbers() == {}
    assert [(row.title, row.reason) for row in found.ruled_out] == [("Tibialis posterior", "The ankle is fused.")]


def test_a_donor_is_ruled_out_only_when_none_of_its_ways_is_left() -> None:
    found = answer_of(
        weighing(
            outcome(TP, "cuboid_dorsum", 1, 0.5),
            outcome(TP, "navicular_dorsum", 0, 0.0, status="set aside", reason="No."),
            outcome(FHL, "navicular_dorsum", 0, 0.0, status="set aside", reason="Too weak."),
        )
    )
    assert [row.title for row in found.ruled_out] == ["Great-toe flexor"]


def test_the_calf_that_gains_is_told_and_the_one_that_does_not_is_not() -> None:
    before, after = (
        outcome(TP, "cuboid_dorsum", 1, 0.5, clears=30),
        outcome(TP, "cuboid_dorsum", 1, 0.5, lift=13.0, clears=80),
    )
    trials = (CalfTrial("none", (before,)), CalfTrial("achilles lengthening", (after,)))
    assert (
        "With the Achilles lengthened first: about 13° up instead of 5° up."
        in answer_of(weighing(before, calf=trials)).sentences
    )
    worse = (CalfTrial("none", (after,)), CalfTrial("achilles lengthening", (before,)))
    assert not any("Achilles" in told for told in answer_of(weighing(after, calf=worse)).sentences)


def test_published_numbers_stand_only_beside_the_operation_they_are_of() -> None:
    own = answer_of(weighing(outcome(TP, "cuboid_dorsum", 1, 0.5)))
    row = load().row("out-pooled-brace-free-six-series")
    assert own.figures[0].published == f"{row.value:g} of {row.n} wear no brace" and own.why_differ
    other = answer_of(weighing(outcome(PL, "cuboid_dorsum", 1, 0.5)))
    assert not other.why_differ and all(figure.published == "" for figure in other.figures)


def test_the_words_keep_side_and_size() -> None:
    assert mark_words(0.4) == "just at the mark" and mark_words(-2.6) == "3 mm short of the mark"
    assert slap_sentence(chance_of(90, 100)) == () and "will" in slap_sentence(chance_of(2, 100))[0]
    assert "brace" in dropped_sentence(None, chance_of(10, 100))[0]
    assert calf_sentence("none", Spread(0, 0, 0, 0, 0), Spread(9, 9, 9, 9, 9)) == ()
    assert "two more" in leaning("A", "b", 1.0, 0, ["B", "C", "D", "E"], 5)
