"""The case at the beginning of its pages: read once, with its head; or the page that says why it cannot be shown."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from datetime import datetime
from typing import TypeVar

from sinewright.app.examination import Examination
from sinewright.app.frame import CaseHead, refused
from sinewright.app.services import SEED, Services
from sinewright.case import case_from_tables
from sinewright.errors import SinewrightError
from sinewright.service.worker import FrozenPlan
from sinewright.store.flat import with_dates
from sinewright.store.plans import KeptPlan

Found = TypeVar("Found")


async def read_or_refuse(services: Services, read: Callable[[], Found]) -> Found | None:
    """What `read` finds in the store; None when the page already says why nothing is shown."""
    try:
        return await services.in_thread(read)
    except SinewrightError as problem:
        refused("This case cannot be shown", str(problem))
        return None


def _head_again(services: Services, name: str) -> Callable[[], Awaitable[CaseHead]]:
    """Reads the head of a case anew; the case itself only when something was stored meanwhile."""
    kept: list[tuple[tuple[int, int], CaseHead]] = []

    def read() -> CaseHead:
        now = services.store.version(name), services.store.counts(name)["plan"]
        if not kept or kept[0][0] != now:
            kept[:] = [(now, CaseHead.of(services.store.case(name), now[1]))]
        return kept[0][1]

    return lambda: services.in_thread(read)


async def open_case(services: Services, name: str) -> tuple[Examination, CaseHead] | None:
    """One tab's view of a case and the head of its page; None when the page already says why nothing is shown."""

    def read() -> tuple[Examination, CaseHead]:
        stored = services.store.case(name.lower())
        head = CaseHead.of(stored, services.store.counts(stored.name)["plan"], _head_again(services, stored.name))
        return Examination(services.store, services.role, stored), head

    return await read_or_refuse(services, read)


def frozen_of(plans: tuple[KeptPlan, ...], draws: int) -> tuple[FrozenPlan, datetime] | None:
    """The plan that stands, if it says which operation was chosen."""
    last = plans[-1] if plans else None
    chosen = last.chosen if last else None
    if last is None or chosen is None:
        return None
    case = case_from_tables(with_dates(dict(last.inputs)))
    frozen = FrozenPlan(
        case, chosen.id, chosen.set_stretch_mm, draws=last.plan.draws or draws, seed=SEED, number=last.number
    )
    return frozen, datetime.fromisoformat(last.made_at)


async def plan_that_stands(services: Services, name: str) -> tuple[CaseHead, tuple[FrozenPlan, datetime] | None] | None:
    """Head of the case and the plan that stands, if one does; None when the page already says why nothing is shown."""

    def read() -> tuple[CaseHead, tuple[FrozenPlan, datetime] | None]:
        stored = services.store.case(name.lower())
        plans = services.store.plans(stored.name)
        head = CaseHead.of(stored, len(plans), _head_again(services, stored.name))
        return head, frozen_of(plans, services.draws)

    return await read_or_refuse(services, read)
