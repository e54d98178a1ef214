"""The result types refuse what could mislead: NaN, disorder, unknown keys, unexplained rejections."""

from __future__ import annotations

import copy
import dataclasses
import pickle

import pytest

from sinewright.results import Caution, OperationSummary, Outcome, Posture, Spread, Weighing

FLAT = Spread(1.0, 1.0, 1.0, 1.0, 1.0)
POSTURE = Posture(ankle_deg=5.0, subtalar_deg=0.0, knee_deg=30.0)
CHOICE = OperationSummary(
    "one", "tibialis_posterior", "membrane", "lateral_cuneiform", POSTURE, 10.0, "Tibialis posterior", ""
)


def test_spread_refuses_nan_and_disorder_by_hand() -> None:
    with pytest.raises(ValueError, match=r"Spread\.p50 is nan"):
        Spread(0.0, 1.0, float("nan"), 2.0, 3.0)
    with pytest.raises(ValueError, match="must not fall"):
        Spread(0.0, 1.0, 0.5, 2.0, 3.0)


def test_overlap_is_shared_ground_of_the_nine_tenths() -> None:
    low, touching, apart = Spread(0, 1, 2, 3, 4), Spread(4, 5, 6, 7, 8), Spread(4.1, 5, 6, 7, 8)
    assert low.overlaps(touching) and touching.overlaps(low)
    assert not low.overlaps(apart) and not apart.overlaps(low)


def test_outcome_refuses_unknown_keys_and_a_rejection_without_reason() -> None:
    with pytest.raises(ValueError, match="unknown keys: lift_mm"):
        Outcome(CHOICE, "workable", "", {"lift_mm": FLAT})
    with pytest.raises(ValueError, match="reason is empty"):
        Outcome(CHOICE, "set aside", " ")
    with pytest.raises(ValueError, match="failed_share"):
        Outcome(CHOICE, "workable", "", failed_share=float("nan"))


def test_outcome_is_read_only_yet_can_be_copied() -> None:
    given_quantities = {"lift_deg": FLAT}
    outcome = Outcome(CHOICE, "workable", "", given_quantities)
    given_quantities["rest_deg"] = FLAT
    assert set(outcome.quantities) == {"lift_deg"} and outcome.spread("rest_deg") is None
    with pytest.raises(TypeError):
        outcome.quantities["rest_deg"] = FLAT  # type: ignore[index]
    with pytest.raises(dataclasses.FrozenInstanceError):
        outcome.status = "doubtful"  # type: ignore[misc]
    assert pickle.loads(pickle.dumps(outcome)) == copy.deepcopy(outcome) == outcome


def test_weighing_needs_a_side_and_refuses_the_same_choice_twice() -> None:
    common = {"version": "0", "seed": 1, "draws": 1, "pseudonym": "x", "warnings": (), "sources": (), "assumptions": ()}
    one = Outcome(CHOICE, "workable", "")
    with pytest.raises(ValueError, match="side"):
        Weighing(side="R", outcomes=(one,), tendon="rigid", **common)  # type: ignore[arg-type]
    with pytest.raises(ValueError, match="repeats choices: one"):
        Weighing(side="right", outcomes=(one, one), tendon="rigid", **common)  # type: ignore[arg-type]


def test_posture_and_caution_refuse_what_cannot_be_read() -> None:
    with pytest.raises(ValueError, match=r"Posture\.knee_deg"):
        Posture(0.0, 0.0, float("nan"))
    with pytest.raises(ValueError, match=r"Caution\.known"):
        Caution("a", "b", "c", "guessed")  # type: ignore[arg-type]
