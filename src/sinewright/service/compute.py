"""Worker processes with a queue: every calculation of the app runs there, with progress, and can be stopped.

The compiled kernels must not be entered twice at once, and the server must stay free to answer: so processes, each
with one calculation at a time. One takes the long work; others answer what a hand on a slider or in theatre waits for,
so that nobody's weighing stands in its way. Results are kept for a while under all they depend on; tabs that ask the
same share one. ``worker_queue`` says whose turn it is.
"""

from __future__ import annotations

import threading
from collections import deque
from collections.abc import Callable, Mapping
from multiprocessing.connection import Connection
from typing import Any

from cachetools import LRUCache

from sinewright.service.worker_queue import Job, WorkerQueue

KEPT = 64  # results, each well under a megabyte
KNOWN = 8  # bases of results; the worker remembers more
EARLY = -9  # the rank of what is answered in a blink


class Compute:
    """The queues of calculations, and what they found.

    `queues` names the calculations that have a worker of their own, with what runs in it; the others share the first.
    The lower the rank of a name, the sooner it has its turn; `whose` says from its arguments which case one is about.
    """

    def __init__(
        self,
        serve: Callable[[Connection], None],
        queues: Mapping[frozenset[str], Callable[[Connection], None]] | None = None,
        ranks: Mapping[str, int] | None = None,
        whose: Callable[[tuple[Any, ...]], object] | None = None,
    ) -> None:
        self._lock = threading.Lock()
        self._open: dict[tuple[object, ...], Job] = {}
        self._kept: LRUCache[tuple[object, ...], Any] = LRUCache(KEPT)
        self._bases: deque[object] = deque(maxlen=KNOWN)
        self._ranks, self._whose = ranks or {}, whose
        self._long = WorkerQueue(serve, self._over)
        own = [(names, WorkerQueue(run, self._over)) for names, run in (queues or {}).items()]
        self._queues = {name: queue for names, queue in own for name in names}

    def ask(
        self, name: str, *arguments: Any, key: tuple[object, ...], urgent: bool = False, base: object = None
    ) -> Job:
        """Queues a calculation, or joins one with the same key; a kept result is there at once.

        `base` is what most of the work depends on: where that was done before, the rest is short and comes early.
        """
        whole = (name, *key)
        with self._lock:
            if whole in self._kept:
                job = Job(name, arguments, whole)
                job.finish("done", self._kept[whole])
                return job
            if whole in self._open and self._open[whole].watchers > 0:
                self._open[whole].watchers += 1
                return self._open[whole]
            early = urgent or (base is not None and base in self._bases)
            whose = self._whose(arguments) if self._whose else None
            job = Job(name, arguments, whole, rank=EARLY if early else self._ranks.get(name, 0), base=base, whose=whose)
            self._open[whole] = job
        self._queues.get(name, self._long).put(job)
        return job

    def once(self, name: str, *arguments: Any, rank: int = 0) -> Job:
        """Queues a calculation whose result is neither kept nor shared."""
        job = Job(name, arguments, (), rank=rank)
        self._queues.get(name, self._long).put(job)
        return job

    def warm(self) -> None:
        """Starts the worker of long work before anybody waits for it; the others start when they are needed."""
        self.ask("warm", key=("warm",))

    def close(self) -> None:
        """Ends the workers; calculations in the queues are stopped."""
        with self._lock:
            for job in self._open.values():
                job.watchers = 0
        for queue in dict.fromkeys((self._long, *self._queues.values())):
            queue.close()

    def _over(self, job: Job) -> None:
        with self._lock:
            if self._open.get(job.key) is job:
                del self._open[job.key]
            if job.state == "done" and job.key:
                self._kept[job.key] = job.result
                if job.base is not None and job.base not in self._bases:
                    self._bases.append(job.base)
