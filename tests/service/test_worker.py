"""The worker's memory: what matters to the patient is put in order again without computing anything anew."""

from __future__ import annotations

from importlib import import_module
from pathlib import Path
from typing import Any, cast

import pytest

from sinewright.case import changed, read_case
from sinewright.plan import weigh
from sinewright.service.worker import CALCULATIONS, LIVE_DRAWS, QUICK, THEATRE, FrozenPlan, Workspace, whose

EXAMPLES = Path(__file__).parents[2] / "examples"


class Deaf:
    """A pipe on which nobody speaks."""

    def __init__(self) -> None:
        self.said: list[tuple[Any, ...]] = []

    def send(self, word: tuple[Any, ...]) -> None:
        self.said.append(word)

    def poll(self) -> bool:
        return False


def test_other_weights_give_the_answer_of_a_fresh_weighing_and_compute_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    case = read_case(EXAMPLES / "borderline_donor.toml")
    other = changed(case, {"goals.second_chance": 9.0, "goals.no_brace": 1.0})
    wanted = weigh(other, 100, 1)
    pipe = Deaf()
    workspace = Workspace(pipe)  # type: ignore[arg-type]
    CALCULATIONS["weigh"](workspace, case, 100, 1)
    assert ("progress", 100, 100) in pipe.said
    assert ("stage", "following each foot through a step") in pipe.said

    def never(*_: object, **__: object) -> None:
        raise AssertionError("computed again")

    monkeypatch.setattr(import_module("sinewright.plan"), "work", never)
    monkeypatch.setattr(import_module("sinewright.plan"), "swings_of", never)
    assert CALCULATIONS["weigh"](workspace, other, 100, 1) == wanted


def test_a_moving_slider_is_answered_on_the_first_legs_that_the_operation_was_sewn_on() -> None:
    """They come with the drawing, so that the worker of the sliders draws none; its answer is that of the ruler."""
    case, choice = read_case(EXAMPLES / "borderline_donor.toml"), "tibialis_posterior.round_tibia.navicular_dorsum"
    workspace = Workspace(Deaf())  # type: ignore[arg-type]
    sewing = CALCULATIONS["sew"](workspace, case, choice, LIVE_DRAWS, 1)
    assert len(sewing.first.now.points) == LIVE_DRAWS
    fresh = Workspace(Deaf())  # type: ignore[arg-type]
    found = CALCULATIONS["live"](fresh, sewing.first, case, choice)
    assert found.choice == sewing.ruler.choice
    assert found.quantities["lift_deg"].p50 == pytest.approx(sewing.ruler.chosen.quantities["lift_deg"].p50, abs=1e-6)


@pytest.mark.parametrize("procedure", ["gastrocnemius recession", "achilles lengthening"])
def test_a_calf_procedure_is_answered_at_once_as_it_is_when_everything_is_drawn_anew(procedure: str) -> None:
    """On legs sewn without it: the same tension, posture and numbers as legs that were drawn with it."""
    case = changed(read_case(EXAMPLES / "stiff_calf.toml"), {"plan.calf_procedure": "none"})
    choice = "tibialis_posterior.round_tibia.navicular_dorsum"
    pipe, other = Deaf(), Deaf()
    workspace, anew = (Workspace(cast("Any", each)) for each in (pipe, other))
    before = CALCULATIONS["sew"](workspace, case, choice, LIVE_DRAWS, 1)
    after = changed(case, {"plan.calf_procedure": procedure})
    live = CALCULATIONS["live"](workspace, before.first, after, choice)
    fresh = CALCULATIONS["sew"](anew, after, choice, LIVE_DRAWS, 1)
    kept = CALCULATIONS["sew"](workspace, after, choice, LIVE_DRAWS, 1)
    assert kept.ruler == fresh.ruler
    assert live.choice == fresh.ruler.choice
    assert live.choice.fixing.ankle_deg > before.ruler.choice.fixing.ankle_deg
    for key, spread in live.quantities.items():
        assert spread.p50 == pytest.approx(fresh.ruler.chosen.quantities[key].p50, abs=1e-6)
    assert before.calf_gain_deg == 0.0
    assert live.calf_gain_deg == pytest.approx(fresh.calf_gain_deg)
    assert live.calf_gain_deg > 0.0
    assert sum("drawing" in words[1] for words in pipe.said if words[0] == "stage") == 1


def test_what_a_hand_waits_for_never_stands_behind_the_table_or_a_weighing() -> None:
    assert not QUICK & THEATRE
    assert {*QUICK, *THEATRE} < set(CALCULATIONS)


def test_turns_are_shared_by_the_name_of_the_case() -> None:
    case = read_case(EXAMPLES / "borderline_donor.toml")
    frozen = FrozenPlan(case, "choice", 5.0, 100, 1, 1)
    assert whose((case, 100, 1)) == whose((frozen,)) == case.pseudonym
    assert whose((changed(case, {"pseudonym": "another"}),)) != case.pseudonym
    assert whose(()) is None
