"""The case at the beginning of its pages: read once, with its head; or the page that says why it cannot be shown."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from sinewright.app.desk import Services
from sinewright.app.examination import Examination
from sinewright.app.frame import CaseHead, refused
from sinewright.errors import SinewrightError

Found = TypeVar("Found")


async def read_or_refuse(desk: Services, read: Callable[[], Found]) -> Found | None:
    """What `read` finds in the store; None when the page already says why nothing is shown."""
    try:
        return await desk.off(read)
    except SinewrightError as problem:
        refused("This case cannot be shown", str(problem))
        return None


async def open_case(desk: Services, name: str) -> tuple[Examination, CaseHead] | None:
    """One tab's view of a case and the head of its page; None when the page already says why nothing is shown."""

    def read() -> tuple[Examination, CaseHead]:
        stored = desk.store.case(name.lower())
        return Examination(desk.store, desk.role, stored), CaseHead.of(stored, desk.store.counts(stored.name)["plan"])

    return await read_or_refuse(desk, read)
