"""What every page is given: the store, the worker, and who sits here. One for each server; nothing else is shared."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from sinewright.case import Case, digest, read_case
from sinewright.case.wishes import Goals
from sinewright.service.compute import Compute
from sinewright.service.worker import AHEAD, Frame, Sewing, frame_of
from sinewright.service.worker_queue import Job
from sinewright.store.chain import Role
from sinewright.store.content import entries_of
from sinewright.store.store import Store

if TYPE_CHECKING:
    from sinewright.export.solid import SolidLeg

Answer = TypeVar("Answer")
SEED = 1
THREADS = 64  # threads: one for each tab that waits for an answer, so that reading the store never stands behind them


@dataclass(frozen=True)
class Services:
    """The store that is open, the worker, and the role in which changes are made."""

    store: Store
    compute: Compute
    role: Role = "surgeon"
    draws: int = 1000
    threads: ThreadPoolExecutor = field(default_factory=lambda: ThreadPoolExecutor(THREADS, "services"))

    def weighing(self, case: Case) -> Job:
        """Asks for the weighing of a case, or joins whoever asked for the same."""
        base = digest(case.model_copy(update={"goals": Goals()}))
        key = (digest(case), self.draws, SEED)
        return self.compute.ask("weigh", case, self.draws, SEED, key=key, base=(base, self.draws))

    async def in_thread(self, work: Callable[[], Answer]) -> Answer:
        """Runs `work` (reading or writing the store) beside the server, which stays free to answer."""
        return await asyncio.get_running_loop().run_in_executor(self.threads, work)

    async def frame(self, sewing: Sewing, solid: SolidLeg, foot: tuple[float, float], ahead: bool = False) -> Frame:
        """The leg drawn in the quick worker, so the server stays free; here if that fails. `ahead`: not asked yet."""
        job = self.compute.once("draw", sewing, solid, foot, rank=AHEAD if ahead else 0)
        await self.in_thread(job.ended.wait)
        if job.state == "done":
            drawn: Frame = job.result
            return drawn
        return await self.in_thread(lambda: frame_of(sewing, solid, foot))

    def add(self, case: Case) -> str:
        """Stores a new case; returns its pseudonym."""
        with self.store.write(self.role) as unit:
            return unit.add_case(case)


def add_once(store: Store, case: Case, role: Role) -> str:
    """The stored case with exactly this content and label, else a new one; returns the pseudonym."""
    for line in store.cases():
        if line.label == case.pseudonym and entries_of(store.case(line.name).case) == entries_of(case):
            return line.name
    with store.write(role) as unit:
        return unit.add_case(case)


@dataclass(frozen=True)
class Example:
    """One invented person to try: the file's name, what makes the case worth trying, and the case."""

    file: str
    about: str
    case: Case


def examples_folder() -> Path:
    """Where the invented examples lie: inside an installed package, else beside the sources."""
    here = Path(__file__).parent
    inside = here / "examples"
    return inside if inside.is_dir() else here.parents[2] / "examples"


@lru_cache(maxsize=1)
def examples() -> tuple[Example, ...]:
    """All invented examples, by name; what each is about stands in the comment that opens its file."""
    found = []
    for path in sorted(examples_folder().glob("*.toml")):
        opening = [line.removeprefix("#").strip() for line in path.read_text("utf-8").splitlines() if line[:1] == "#"]
        found.append(Example(path.name, " ".join(opening[1:3]), read_case(path)))
    return tuple(found)
