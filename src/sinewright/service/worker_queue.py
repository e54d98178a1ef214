"""One worker process and the queue before it: whose turn it is, how long the others wait, and what is given up.

Turns are fair: of equals the case that was served longest ago comes first. What only closed tabs asked for waits until
nobody who looks is waiting, and gives its place up even while it runs; what nobody waits for any more is dropped.
"""

from __future__ import annotations

import contextlib
import multiprocessing
import threading
import time
from collections import deque
from collections.abc import Callable
from dataclasses import dataclass, field
from multiprocessing.connection import Connection
from typing import Any, Literal

from sinewright.errors import SinewrightError

State = Literal["waiting", "running", "done", "failed", "stopped"]
SOFT_S = 1.5  # a calculation that does not stop by itself within this time is ended with its process
LOOK_S = 0.05
AWAY_S = 5.0  # so long after its last tab was closed, running work gives its place up to work that is looked at
TELL_S, TIMED = 1.0, 5  # how often waiting times are told anew; how many past calculations of a kind they rest on


@dataclass(eq=False)
class Job:
    """One calculation that was asked for. `stage` is in words; `total` 0 means that nobody knows how long yet."""

    name: str
    arguments: tuple[Any, ...]
    key: tuple[object, ...]
    state: State = "waiting"
    stage: str = "waiting for its turn"
    done: int = 0
    total: int = 0
    result: Any = None
    problem: str = ""
    watchers: int = 1
    away: int = 0
    rank: int = 0
    base: object = None
    whose: object = None
    began: float = field(default_factory=time.monotonic)
    ended: threading.Event = field(default_factory=threading.Event)

    @property
    def over(self) -> bool:
        """True when it is done, failed or stopped."""
        return self.ended.is_set()

    def leave(self) -> None:
        """Nobody here waits any more; the calculation stops when nobody else waits either."""
        self.watchers -= 1

    @property
    def unseen(self) -> bool:
        """True when only tabs that are closed wait for it."""
        return self.away >= self.watchers

    @property
    def order(self) -> tuple[bool, int]:
        """What is taken first: what somebody looks at, then the lowest rank; among equals the queue is fair."""
        return self.unseen, self.rank

    def wait_again(self) -> None:
        """Back into the queue: it gave its place up."""
        self.state, self.stage, self.done, self.total = "waiting", "waiting for its turn", 0, 0

    def finish(self, state: State, result: Any = None, problem: str = "") -> None:
        """The end, whatever it is."""
        self.state, self.result, self.problem = state, result, problem
        self.ended.set()


class WorkerQueue:
    """One worker process and the queue before it. `serve` is what runs in the process; see `worker`."""

    def __init__(self, serve: Callable[[Connection], None], over: Callable[[Job], None]) -> None:
        self._serve, self._over = serve, over
        self._lock = threading.Condition()
        self._queue: list[Job] = []
        self._running: Job | None = None
        self._turns: dict[object, int] = {}
        self._times: dict[str, deque[float]] = {}
        self._process: Any = None
        self._pipe: Connection | None = None
        self._closing = False
        self._thread = threading.Thread(target=self._run, name="compute", daemon=True)
        self._thread.start()

    def put(self, job: Job) -> None:
        """Queues a calculation."""
        with self._lock:
            self._queue.append(job)
            self._tell()
            self._lock.notify()

    def close(self) -> None:
        """Ends the worker; calculations in the queue are stopped."""
        with self._lock:
            self._closing = True
            for job in (*self._queue, *filter(None, (self._running,))):
                job.watchers = 0
            self._lock.notify()
        self._thread.join(timeout=5.0)
        self._end_process()

    def _run(self) -> None:
        while (job := self._next()) is not None:
            began = time.monotonic()
            later = self._do(job)
            with self._lock:
                self._running = None
                if later:
                    job.wait_again()
                    self._queue.append(job)
                elif job.state == "done":
                    self._times.setdefault(job.name, deque(maxlen=TIMED)).append(time.monotonic() - began)
            if not later:
                self._over(job)

    def _next(self) -> Job | None:
        """The calculation whose turn it is, as soon as there is one; None when the queue closes."""
        while True:
            with self._lock:
                while not self._queue and not self._closing:
                    self._lock.wait()
                dropped = [job for job in self._queue if job.watchers <= 0 or self._closing]
                self._queue = [job for job in self._queue if job not in dropped]
                if self._queue:
                    self._running = min(self._queue, key=self._order)  # the first of equals: the oldest
                    self._queue.remove(self._running)
                    self._turns[self._running.whose] = max(self._turns.values(), default=0) + 1
                    self._tell()
            for job in dropped:
                job.finish("stopped")
                self._over(job)
            if self._closing or self._running is not None:
                return self._running

    def _order(self, job: Job) -> tuple[bool, int, int]:
        """As the job says; of equals the case that was served longest ago, or never, comes first."""
        return *job.order, self._turns.get(job.whose, 0)

    def _tell(self) -> None:
        """Says to each in the queue how many come before it, with the one that is running, and for about how long."""
        before = [self._running] if self._running is not None else []
        for job in sorted((each for each in self._queue if each.watchers > 0), key=self._order):
            if before:
                come = "1 calculation comes" if len(before) == 1 else f"{len(before)} calculations come"
                job.stage = f"waiting for its turn: {come} before it{self._about(before)}"
            before.append(job)

    def _about(self, jobs: list[Job]) -> str:
        """How long some calculations take, by the last of their kinds; empty where one of a kind was never timed."""
        left = 0.0
        for job in jobs:
            times = sorted(self._times.get(job.name, ()))
            if not times:
                return ""
            left += times[len(times) // 2] * (1.0 - job.done / job.total if job.total else 1.0)
        return f", about {left:.0f} s" if left >= 1.0 else ""

    def _do(self, job: Job) -> bool:
        """Runs a calculation to its end; True when it gave its place up and is to be done later."""
        try:
            pipe = self._started(job)
            job.state, job.stage = "running", "starting"
            pipe.send((job.name, job.arguments))
            return self._follow(job, pipe)
        except (EOFError, OSError):
            self._end_process()
            job.finish("failed", problem="The calculation stopped unexpectedly; start it again.")
        return False

    def _started(self, job: Job) -> Connection:
        if self._process is not None and self._process.is_alive() and self._pipe is not None:
            return self._pipe
        job.stage = "starting the calculation"
        context = multiprocessing.get_context("spawn")
        self._pipe, other = context.Pipe()
        self._process = context.Process(target=self._serve, args=(other,), name="sinewright-compute", daemon=True)
        self._process.start()
        other.close()
        return self._pipe

    def _follow(self, job: Job, pipe: Connection) -> bool:
        """Reads what the worker says until it is done, and stops it when nobody waits any more.

        True when it was stopped because those who wait are gone while others look at what stands in the queue.
        """
        stopping, later, seen, told = 0.0, False, time.monotonic(), 0.0
        while True:
            now = time.monotonic()
            seen = seen if job.unseen else now
            if not stopping and (job.watchers <= 0 or (now - seen > AWAY_S and self._looked_at())):
                stopping, later = now, job.watchers > 0
                pipe.send("stop")
            if stopping and now - stopping > SOFT_S:
                self._end_process()
                return _stopped(job, later)
            if now - told > TELL_S:
                told = now
                with self._lock:
                    self._tell()
            if not pipe.poll(LOOK_S):
                continue
            word, *rest = pipe.recv()
            if word == "progress":
                job.done, job.total = rest
            elif word == "stage":
                job.stage, job.done, job.total = rest[0], 0, 0
            elif word == "stopped":
                return _stopped(job, later)
            else:
                _settle(job, word, rest)
                return False

    def _looked_at(self) -> bool:
        """True when somebody looks at what stands in the queue."""
        with self._lock:
            return any(job.watchers > 0 and not job.unseen for job in self._queue)

    def _end_process(self) -> None:
        if self._pipe is not None:
            self._pipe.close()
        if self._process is not None:
            self._process.terminate()
            self._process.join(timeout=2.0)
            with contextlib.suppress(ValueError):
                self._process.close()
        self._process, self._pipe = None, None


def _stopped(job: Job, later: bool) -> bool:
    """The end of a calculation that was told to stop; True when it is to be done `later` since somebody still waits."""
    if later and job.watchers > 0:
        return True
    job.finish("stopped")
    return False


def _settle(job: Job, word: str, rest: list[Any]) -> None:
    if word == "result":
        job.finish("done", rest[0])
    else:
        problem = rest[0]
        said = str(problem) if isinstance(problem, SinewrightError) else f"An error of the program: {problem}."
        job.finish("failed", problem=said)
