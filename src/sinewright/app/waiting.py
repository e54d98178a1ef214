"""A calculation on a page: a bar that moves within a blink, words for what is done, a button that stops it."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from typing import Any

from nicegui import ui

from sinewright.app.elements import Say, box, button
from sinewright.service.worker_queue import Job

LOOK_S = 0.1


class Waiting:
    """Follows one calculation at a time; the place of the page where it is shown is filled and emptied by it."""

    def __init__(
        self, after: Callable[[Any], Awaitable[None] | None], without: Callable[[], None] | None = None
    ) -> None:
        """`after` takes the result; `without` is called when there will be none, by a problem or because of Stop."""
        self._after, self._without = after, without
        self._job: Job | None = None
        self.about = ""
        self._slot = box("div", "waiting", role="status", aria_live="polite")
        self._timer = ui.timer(LOOK_S, self._look, active=False)
        self._told, self._gone = "", False
        client = ui.context.client
        client.on_disconnect(lambda: self._seen(False))
        client.on_connect(lambda: self._seen(True))
        client.on_delete(self.leave)

    def follow(self, job: Job, about: str = "") -> None:
        """Shows `job` until it ends, then hands its result on. One that was followed before is left.

        `about` says what it was asked about, for whoever takes the result.
        """
        self.leave()
        self._job, self.about, self._told = job, about, ""
        job.away += self._gone
        self._slot.clear()
        with self._slot:
            self._words = Say("p", "starting")
            self._bar = box("progress", aria_label="How far the calculation is", max="100")
            button("Stop", self._stop, "quiet")
        self._timer.activate()
        self._tell(job)

    def leave(self) -> None:
        """Stops waiting; the calculation stops too when nobody else waits."""
        if self._job is not None and not self._job.over:
            self._job.leave()
            self._job.away -= self._gone
        self._job = None
        self._timer.deactivate()

    def drop(self, about: str) -> None:
        """Leaves what was asked about anything else than `about`, and shows no more of it: it is out of date."""
        if self._job is not None and self.about != about:
            self.leave()
            self._slot.clear()

    def _seen(self, seen: bool) -> None:
        """A tab that was closed, or lost its line, lets others go first."""
        if self._gone == (not seen):
            return
        self._gone = not seen
        if self._job is not None:
            self._job.away += -1 if seen else 1

    def _stop(self) -> None:
        self.leave()
        self._end("Stopped. Nothing was changed; reload the page to calculate again.")

    def _tell(self, job: Job) -> None:
        share = f", {100 * job.done // job.total} of 100" if job.total else ""
        words = f"{job.stage[:1].upper()}{job.stage[1:]}{share}"
        if words == self._told:
            return
        self._told = self._words.text = words
        if job.total:
            self._bar.props["value"] = str(100 * job.done // job.total)
        else:
            self._bar.props.pop("value", None)
        self._bar.update()

    async def _look(self) -> None:
        job = self._job
        if job is None:
            return
        if not job.over:
            self._tell(job)
            return
        self._job = None
        self._timer.deactivate()
        if job.state != "done":
            self._end(job.problem or "Stopped.")
            return
        self._slot.clear()
        done = self._after(job.result)
        if done is not None:
            await done

    def _end(self, words: str) -> None:
        self._slot.clear()
        with self._slot:
            Say("p", words, "problem")
        if self._without is not None:
            self._without()
