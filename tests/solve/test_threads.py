"""The same answers whatever the number of threads, the size of a chunk or the company in which a leg is asked."""

from __future__ import annotations

import numpy as np
import pytest

from sinewright.solve import answer as a
from sinewright.solve import chunks
from sinewright.solve.leg import Legs
from sinewright.transfer.catalogue import catalogue
from sinewright.transfer.plans import build_plans

from ..virtual_people import one, people, plan

PLANS = [plan(moved, 8.0) for moved in catalogue()[::7]]
LEGS = 60


def legs() -> Legs:
    return Legs(*(part[:LEGS] for part in people("stiff_calf")))


@pytest.mark.parametrize(("threads", "chunk"), [(1, 60), (1, 7), (2, 1), (5, 13), (None, 25)])
def test_threads_and_chunks_change_nothing(monkeypatch: pytest.MonkeyPatch, threads: int | None, chunk: int) -> None:
    usual = a.answer(legs(), build_plans(PLANS))
    monkeypatch.setattr(chunks, "cpu_count", lambda: threads)
    monkeypatch.setattr(chunks, "CHUNK", chunk)
    other = a.answer(legs(), build_plans(PLANS))
    assert np.array_equal(usual[0], other[0]) and np.array_equal(usual[1], other[1])


def test_a_leg_answers_alone_as_in_company() -> None:
    together, _ = a.answer(legs(), build_plans(PLANS))
    for i in (0, 17, LEGS - 1):
        for c in (0, len(PLANS) - 1):
            alone, _ = a.answer(one(legs(), i), build_plans([PLANS[c]]))
            assert np.array_equal(alone[0, 0], together[i, c])


def test_the_order_of_operations_does_not_matter() -> None:
    forwards, _ = a.answer(legs(), build_plans(PLANS))
    backwards, _ = a.answer(legs(), build_plans(PLANS[::-1]))
    assert np.array_equal(forwards, backwards[:, ::-1])


def test_progress_counts_up_to_all_legs() -> None:
    seen: list[tuple[int, int]] = []
    a.answer(legs(), build_plans(PLANS[:1]), progress=lambda done, total: seen.append((done, total)))
    assert seen == [(25, LEGS), (50, LEGS), (60, LEGS)]


def test_someone_who_stops_the_progress_stops_the_work() -> None:
    def stop(done: int, total: int) -> None:
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        a.answer(legs(), build_plans(PLANS[:1]), progress=stop)


def test_the_legs_are_not_changed() -> None:
    given = legs()
    copy = Legs(*(part.copy() for part in given))
    a.answer(given, build_plans(PLANS))
    assert all(np.array_equal(x, y) for x, y in zip(given, copy, strict=True))


def test_no_operation_gives_no_answer() -> None:
    out, failed = a.answer(legs(), build_plans([]))
    assert out.shape == (LEGS, 0, a.ANSWERS) and failed.shape == (LEGS, 0)
