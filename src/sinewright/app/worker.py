"""What runs in the worker process: the calculations by name, each telling how far it is and stopping when told to."""

from __future__ import annotations

import signal
from collections.abc import Callable
from multiprocessing.connection import Connection
from typing import TYPE_CHECKING, Any

from sinewright.errors import SinewrightError

if TYPE_CHECKING:
    from sinewright.case import Case
    from sinewright.plan import Asked, Worked
    from sinewright.results import Weighing


class StoppedError(Exception):
    """Nobody waits for this calculation any more."""


class Desk:
    """The worker's own memory: the last legs, so that a change of weights does not draw them again."""

    def __init__(self, pipe: Connection) -> None:
        self.pipe = pipe
        self._worked: tuple[object, Worked] | None = None

    def stage(self, words: str) -> None:
        """Says what comes now."""
        self.look()
        self.pipe.send(("stage", words))

    def progress(self, done: int, total: int) -> None:
        """Says how far it is; raises StoppedError when nobody waits."""
        self.look()
        self.pipe.send(("progress", done, total))

    def look(self) -> None:
        """Raises StoppedError when nobody waits."""
        if self.pipe.poll() and self.pipe.recv() == "stop":
            raise StoppedError

    def worked(self, case: Case, draws: int, seed: int) -> Worked:
        """Everything computed for a case; what matters to the patient does not change it."""
        from dataclasses import replace

        from sinewright.case import digest
        from sinewright.case.wishes import Goals
        from sinewright.plan import work

        key = (digest(case.model_copy(update={"goals": Goals()})), draws, seed)
        if self._worked is None or self._worked[0] != key:
            self._worked = (key, work(case, draws, seed, self.progress))
        return replace(self._worked[1], case=case)


def _warm(desk: Desk) -> None:
    desk.stage("getting ready")
    import sinewright.plan  # noqa: F401  (its import is what takes time)


def _weigh(desk: Desk, case: Case, draws: int, seed: int) -> Weighing:
    from sinewright.compiled import prepared

    first = "" if prepared() else "; the first run of this version takes about half a minute more"
    desk.stage(f"drawing {draws} virtual legs that agree with the examination{first}")
    from sinewright.plan import weighing_of

    return weighing_of(desk.worked(case, draws, seed))


def _ask(desk: Desk, case: Case, draws: int, seed: int) -> Asked:
    desk.stage("working out what to measure next")
    from sinewright.plan import asked_of

    return asked_of(desk.worked(case, draws, seed), desk.progress)


def _checks(desk: Desk) -> Any:
    desk.stage("holding published claims against the program")
    from sinewright.evidence import run_checks

    return run_checks()


CALCULATIONS: dict[str, Callable[..., Any]] = {"warm": _warm, "weigh": _weigh, "ask": _ask, "checks": _checks}


def serve(pipe: Connection) -> None:
    """Answers one request after the other until the pipe closes."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    desk = Desk(pipe)
    while True:
        try:
            request = pipe.recv()
        except EOFError:
            return
        if request == "stop":
            continue  # it came after the end of what it meant
        name, arguments = request
        try:
            pipe.send(("result", CALCULATIONS[name](desk, *arguments)))
        except StoppedError:
            pipe.send(("stopped",))
        except SinewrightError as problem:
            pipe.send(("error", problem))
        except Exception as problem:
            pipe.send(("error", type(problem).__name__))
