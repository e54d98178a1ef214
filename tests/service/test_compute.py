"""Workers with one calculation at a time each: progress, sharing, stopping, whose turn it is, a crash that is told."""

from __future__ import annotations

import os
import re
import time
from collections.abc import Iterator
from multiprocessing.connection import Connection

import pytest

from sinewright.errors import InputError
from sinewright.service import worker_queue
from sinewright.service.compute import Compute
from sinewright.service.worker_queue import Job


def pretend(pipe: Connection) -> None:
    """A worker that counts, refuses, hangs or dies as it is told."""
    while True:
        try:
            request = pipe.recv()
        except EOFError:
            return
        if request == "stop":
            continue
        name, (number,) = request
        if name == "die":
            os._exit(1)
        if name == "refuse":
            pipe.send(("error", InputError("field", number, "another", "change it")))
            continue
        for done in range(number):
            if name == "count" and pipe.poll() and pipe.recv() == "stop":
                pipe.send(("stopped",))
                break
            pipe.send(("progress", done, number))
            time.sleep(0.01)
        else:
            pipe.send(("result", os.getpid()))


@pytest.fixture
def compute() -> Iterator[Compute]:
    made = Compute(pretend)
    yield made
    made.close()


def ended(job: Job, within_s: float = 20.0) -> Job:
    assert job.ended.wait(within_s), job.stage
    return job


def test_calculations_run_one_after_the_other_in_one_other_process(compute: Compute) -> None:
    jobs = [compute.ask("count", 3, key=(place,)) for place in range(4)]
    pids = {ended(job).result for job in jobs}
    assert len(pids) == 1
    assert os.getpid() not in pids


def test_a_result_is_kept_and_a_running_one_is_shared(compute: Compute) -> None:
    first = compute.ask("count", 20, key=("same",))
    second = compute.ask("count", 20, key=("same",))
    assert second is first
    first.leave()  # the other tab still waits
    assert ended(second).state == "done"
    again = compute.ask("count", 20, key=("same",))
    assert again is not first
    assert (again.state, again.result) == ("done", first.result)


def test_progress_is_told_while_it_runs(compute: Compute) -> None:
    job = compute.ask("count", 60, key=("long",))
    seen = set()
    while not job.over:
        seen.add(job.done)
        time.sleep(0.01)
    assert len(seen) > 5
    assert job.total == 60


@pytest.mark.parametrize("name", ["count", "hang"])
def test_a_calculation_stops_when_nobody_waits(compute: Compute, name: str) -> None:
    """ "hang" never looks at its pipe: its process is ended, and the next calculation gets a new one."""
    job = compute.ask(name, 2000, key=("long",))
    while job.total == 0:
        time.sleep(0.01)
    job.leave()
    assert ended(job).state == "stopped"
    assert ended(compute.ask("count", 1, key=("next",))).state == "done"


def test_one_in_the_queue_stops_without_running(compute: Compute) -> None:
    compute.ask("count", 40, key=("first",))
    waiting = compute.ask("count", 40, key=("second",))
    waiting.leave()
    assert ended(waiting).state == "stopped"
    assert waiting.total == 0


def test_a_refusal_is_said_in_its_own_words(compute: Compute) -> None:
    job = ended(compute.ask("refuse", 7, key=("no",)))
    assert job.state == "failed"
    assert job.problem == "field: given 7, allowed another; change it."


def test_a_crash_is_told_and_the_next_one_runs(compute: Compute) -> None:
    assert ended(compute.ask("die", 1, key=("die",))).state == "failed"
    assert ended(compute.ask("count", 1, key=("next",))).state == "done"


def test_what_a_hand_waits_for_does_not_stand_behind_long_work() -> None:
    both = Compute(pretend, {frozenset(("hand",)): pretend})
    try:
        long = both.ask("count", 2000, key=("long",))
        quick = ended(both.ask("hand", 1, key=("quick",)))
        assert quick.state == "done"
        assert not long.over
        long.leave()
        assert ended(long).state == "stopped"
    finally:
        both.close()


def test_what_was_mostly_done_before_comes_early(compute: Compute) -> None:
    ended(compute.ask("count", 1, key=("first",), base="case"))
    compute.ask("count", 30, key=("busy",))
    fresh = compute.ask("count", 1, key=("fresh",), base="other case")
    other_weights = compute.ask("count", 1, key=("second",), base="case")
    assert other_weights.order < fresh.order
    ended(other_weights)
    assert not fresh.over


def test_what_closed_tabs_asked_for_and_what_gives_way_comes_last() -> None:
    ranked = Compute(pretend, ranks={"later": 1})
    try:
        first = ranked.ask("count", 30, key=("first",))
        later = ranked.ask("later", 1, key=("later",))
        closed = ranked.ask("count", 1, key=("closed",))
        closed.away += 1
        seen = ranked.ask("count", 1, key=("seen",))
        hand = ranked.ask("count", 1, key=("hand",), urgent=True)
        assert sorted((first, later, closed, seen, hand), key=lambda job: job.order) == [
            hand,
            first,
            seen,
            later,
            closed,
        ]
        for job in (closed, later, seen, hand):
            ended(job)
        again = ranked.ask("count", 1, key=("closed",))
        assert again.state == "done"
    finally:
        ranked.close()


def test_turns_are_shared_by_case_however_many_one_asks_for() -> None:
    """Two cases that ask later come before the further wishes of the one that was served."""
    fair = Compute(pretend, whose=lambda arguments: arguments[0] // 40)
    try:
        first = [fair.ask("count", 40 + place, key=("first", place)) for place in range(3)]
        while first[0].state == "waiting":
            time.sleep(0.01)
        others = [fair.ask("count", number, key=(number,)) for number in (1, 81)]
        jobs = [*first, *others]
        over: list[Job] = []
        while len(over) < len(jobs):
            over += [job for job in jobs if job.over and job not in over]
            time.sleep(0.02)
        assert over == [first[0], *others, *first[1:]]
    finally:
        fair.close()


def test_running_work_of_closed_tabs_gives_its_place_up_and_is_done_later(
    compute: Compute, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(worker_queue, "AWAY_S", 0.1)
    closed = compute.ask("count", 60, key=("closed",))
    while closed.done < 5:
        time.sleep(0.01)
    closed.away += 1
    time.sleep(0.3)
    assert closed.state == "running"  # nobody else waits
    seen = ended(compute.ask("count", 3, key=("seen",)))
    assert seen.state == "done"
    assert not closed.over
    closed.away -= 1
    assert ended(closed).state == "done"


def test_what_nobody_waits_for_is_dropped_before_its_turn_and_counts_for_nobody(compute: Compute) -> None:
    running = compute.ask("count", 30, key=("runs",))
    left, behind = (compute.ask("count", 5, key=(name,)) for name in ("left", "behind"))
    left.leave()
    while running.done < 2:
        time.sleep(0.01)
    compute.ask("count", 5, key=("last",))
    assert behind.stage == "waiting for its turn: 1 calculation comes before it"
    ended(behind)
    assert left.state == "stopped"


def test_who_waits_is_told_how_many_come_before_and_about_how_long(compute: Compute) -> None:
    ended(compute.ask("count", 60, key=("timed",)))
    compute.ask("count", 60, key=("first",))
    compute.ask("count", 60, key=("second",))
    third = compute.ask("count", 60, key=("third",))
    found = re.fullmatch(r"waiting for its turn: (\d) calculations come before it, about (\d) s", third.stage)
    assert found, third.stage
    assert found[1] == "2"
    assert 1 <= int(found[2]) <= 6
    while third.state == "waiting":
        last = third.stage
        time.sleep(0.02)
    assert "1 calculation comes before it" in last
