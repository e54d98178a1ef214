"""A person at the app without a browser: the pages are built and answer, no script runs."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable
from typing import Any

from sinewright.app.services import Services


def with_user(services: Services, act: Callable[[Any], Awaitable[None]]) -> None:
    """Registers every page with `services` and lets a person act."""
    from nicegui.testing import user_simulation

    from sinewright.app.serve import register

    async def whole() -> None:
        async with user_simulation(root=None) as user:
            register(services)
            await act(user)

    asyncio.run(whole())


class Idle:
    """A worker that is never asked in these tests."""

    def ask(self, *arguments: Any, **more: Any) -> Any:
        raise AssertionError("nothing is to be computed here")
