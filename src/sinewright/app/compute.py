"""Worker processes with a queue: every calculation of the app runs there, with progress, and can be stopped.

The compiled kernels must not be entered twice at once, and the server must stay free to answer: so processes, each
with one calculation at a time. One takes the long work; a second one answers what a hand on a slider or in theatre
waits for, so that nobody's weighing stands in its way. Results are kept for a while under all they depend on; tabs that
ask the same share one. What only closed tabs asked for waits until nobody who looks is waiting.
"""

from __future__ import annotations

import contextlib
import multiprocessing
import threading
import time
from collections import OrderedDict, deque
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from multiprocessing.connection import Connection
from typing import Any, Literal

from sinewright.errors import SinewrightError

State = Literal["waiting", "running", "done", "failed", "stopped"]
KEPT = 64  # results, each well under a megabyte
KNOWN = 8  # bases of results; the worker remembers more
EARLY = -9  # the rank of what is answered in a blink
SOFT_S = 1.5  # a calculation that does not stop by itself within this time is ended with its process
LOOK_S = 0.05


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
    def order(self) -> tuple[bool, int]:
        """What is taken first: what somebody looks at, then the lowest rank; older before younger is the queue's."""
        return self.away >= self.watchers, self.rank

    def finish(self, state: State, result: Any = None, problem: str = "") -> None:
        """The end, whatever it is."""
        self.state, self.result, self.problem = state, result, problem
        self.ended.set()


class Lane:
    """One worker process and the queue before it. `serve` is what runs in the process; see `worker`."""

    def __init__(self, serve: Callable[[Connection], None], over: Callable[[Job], None]) -> None:
        self._serve, self._over = serve, over
        self._lock = threading.Condition()
        self._queue: list[Job] = []
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
            for job in self._queue:
                job.watchers = 0
            self._lock.notify()
        self._thread.join(timeout=5.0)
        self._end_process()

    def _run(self) -> None:
        while True:
            with self._lock:
                while not self._queue and not self._closing:
                    self._lock.wait()
                if self._closing:
                    for left in self._queue:
                        left.finish("stopped")
                    return
                job = min(self._queue, key=lambda each: each.order)  # the first of equals: the oldest
                self._queue.remove(job)
                self._tell()
            self._do(job)
            self._over(job)

    def _tell(self) -> None:
        """Says to each in the queue how many come before it, apart from the one that is running."""
        for before, job in enumerate(sorted(self._queue, key=lambda each: each.order)):
            job.stage = f"waiting for its turn, {before} before it" if before else "waiting for its turn"

    def _do(self, job: Job) -> None:
        if job.watchers <= 0:
            job.finish("stopped")
            return
        try:
            pipe = self._started(job)
            job.state, job.stage = "running", "starting"
            pipe.send((job.name, job.arguments))
            self._follow(job, pipe)
        except (EOFError, OSError):
            self._end_process()
            job.finish("failed", problem="The calculation stopped unexpectedly; start it again.")

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

    def _follow(self, job: Job, pipe: Connection) -> None:
        """Reads what the worker says until it is done; stops it when nobody waits any more."""
        stopping = 0.0
        while True:
            if job.watchers <= 0 and not stopping:
                stopping = time.monotonic()
                pipe.send("stop")
            if stopping and time.monotonic() - stopping > SOFT_S:
                self._end_process()
                job.finish("stopped")
                return
            if not pipe.poll(LOOK_S):
                continue
            word, *rest = pipe.recv()
            if word == "progress":
                job.done, job.total = rest
            elif word == "stage":
                job.stage, job.done, job.total = rest[0], 0, 0
            else:
                _settle(job, word, rest)
                return

    def _end_process(self) -> None:
        if self._pipe is not None:
            self._pipe.close()
        if self._process is not None:
            self._process.terminate()
            self._process.join(timeout=2.0)
            with contextlib.suppress(ValueError):
                self._process.close()
        self._process, self._pipe = None, None


class Compute:
    """The lanes of calculations, and what they found. The lower the rank of a name, the sooner it has its turn."""

    def __init__(
        self,
        serve: Callable[[Connection], None],
        quick: Callable[[Connection], None] | None = None,
        quick_names: frozenset[str] = frozenset(),
        ranks: Mapping[str, int] | None = None,
    ) -> None:
        self._lock = threading.Lock()
        self._open: dict[tuple[object, ...], Job] = {}
        self._kept: OrderedDict[tuple[object, ...], Any] = OrderedDict()
        self._bases: deque[object] = deque(maxlen=KNOWN)
        self._quick_names, self._ranks = quick_names, ranks or {}
        self._long = Lane(serve, self._over)
        self._quick = Lane(quick, self._over) if quick else self._long

    def ask(
        self, name: str, *arguments: Any, key: tuple[object, ...], urgent: bool = False, base: object = None
    ) -> Job:
        """Queues a calculation, or joins one with the same key; a kept result is there at once.

        `base` is what most of the work depends on: where that was done before, the rest is short and comes early.
        """
        whole = (name, *key)
        with self._lock:
            if whole in self._kept:
                self._kept.move_to_end(whole)
                job = Job(name, arguments, whole)
                job.finish("done", self._kept[whole])
                return job
            if whole in self._open and self._open[whole].watchers > 0:
                self._open[whole].watchers += 1
                return self._open[whole]
            early = urgent or (base is not None and base in self._bases)
            job = Job(name, arguments, whole, rank=EARLY if early else self._ranks.get(name, 0), base=base)
            self._open[whole] = job
        (self._quick if name in self._quick_names else self._long).put(job)
        return job

    def once(self, name: str, *arguments: Any, rank: int = 0) -> Job:
        """Queues a calculation whose result is neither kept nor shared."""
        job = Job(name, arguments, (), rank=rank)
        (self._quick if name in self._quick_names else self._long).put(job)
        return job

    def warm(self) -> None:
        """Starts the worker before anybody waits for it; the quick one starts when a plan is opened."""
        self.ask("warm", key=("warm",))

    def close(self) -> None:
        """Ends the workers; calculations in the queues are stopped."""
        with self._lock:
            for job in self._open.values():
                job.watchers = 0
        for lane in dict.fromkeys((self._long, self._quick)):
            lane.close()

    def _over(self, job: Job) -> None:
        with self._lock:
            if self._open.get(job.key) is job:
                del self._open[job.key]
            if job.state == "done" and job.key:
                self._kept[job.key] = job.result
                if job.base is not None and job.base not in self._bases:
                    self._bases.append(job.base)
                while len(self._kept) > KEPT:
                    self._kept.popitem(last=False)


def _settle(job: Job, word: str, rest: list[Any]) -> None:
    if word == "result":
        job.finish("done", rest[0])
    elif word == "stopped":
        job.finish("stopped")
    else:
        problem = rest[0]
        said = str(problem) if isinstance(problem, SinewrightError) else f"An error of the program: {problem}."
        job.finish("failed", problem=said)
