"""Legs shared out over threads, a few at a time, so that work can tell how far it is and be stopped."""

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from os import cpu_count

CHUNK = 25  # legs per call: short enough for progress and stopping
Progress = Callable[[int, int], None]


def in_chunks(work: Callable[[int, int], None], legs: int, progress: Progress | None = None) -> None:
    """Call ``work(first, last)`` for all of ``legs``.

    ``progress(done, total)`` is called after each chunk; what it raises stops the work that has not begun.
    """
    with ThreadPoolExecutor(cpu_count() or 1) as pool:
        jobs = [pool.submit(work, i, min(i + CHUNK, legs)) for i in range(0, legs, CHUNK)]
        try:
            for done, job in enumerate(jobs, start=1):
                job.result()
                if progress is not None:
                    progress(min(done * CHUNK, legs), legs)
        except BaseException:
            pool.shutdown(cancel_futures=True)
            raise
