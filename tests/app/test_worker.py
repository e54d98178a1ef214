"""The worker's memory: what matters to the patient is put in order again without computing anything anew."""

from __future__ import annotations

from importlib import import_module
from typing import Any

import pytest

from sinewright.app.worker import CALCULATIONS, Desk, Memory
from sinewright.case import changed, read_case
from sinewright.plan import weigh

from .app_browser import EXAMPLES


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
    desk = Desk(pipe)  # type: ignore[arg-type]
    CALCULATIONS["weigh"](desk, case, 100, 1)
    assert ("progress", 100, 100) in pipe.said
    assert ("stage", "following each foot through a step") in pipe.said

    def never(*_: object, **__: object) -> None:
        raise AssertionError("computed again")

    monkeypatch.setattr(import_module("sinewright.plan"), "work", never)
    monkeypatch.setattr(import_module("sinewright.choose.swinging"), "swings_of", never)
    assert CALCULATIONS["weigh"](desk, other, 100, 1) == wanted


def test_only_the_last_few_are_remembered() -> None:
    memory = Memory(2)
    for key in (1, 2, 1, 3):
        memory.get_or(key, lambda key=key: str(key))  # type: ignore[misc]
    assert list(memory) == [1, 3]
