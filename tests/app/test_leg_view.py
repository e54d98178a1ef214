"""The drawing that follows the slider: the last angle always, no angle that was passed by, never another sewing."""

from __future__ import annotations

import asyncio
from collections.abc import Coroutine
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import pytest

from sinewright.app import leg_view
from sinewright.app.leg_view import Foot, LegView


class Drawer:
    """Services that draw when it is told to, and says what it was asked for."""

    def __init__(self) -> None:
        self.asked: list[tuple[Any, Foot, bool]] = []
        self.go = asyncio.Event()

    async def frame(self, sewing: Any, solid: Any, foot: Foot, ahead: bool = False) -> tuple[str, dict[str, Any]]:
        self.asked.append((sewing, foot, ahead))
        await self.go.wait()
        return f"{sewing} {foot[0]:g}", {}


class Paper:
    """A place of the page that keeps what was shown in it."""

    def __init__(self) -> None:
        self.shown: list[str] = []

    def set_content(self, picture: str) -> None:
        self.shown.append(picture)

    def show(self, solid: Any) -> None:
        pass


def view_of(drawer: Drawer, monkeypatch: pytest.MonkeyPatch, rests_s: float = 60.0) -> tuple[LegView, Paper]:
    monkeypatch.setattr(leg_view, "RESTS_S", rests_s)
    monkeypatch.setattr("nicegui.core.loop", asyncio.get_running_loop())
    paper = Paper()
    view = LegView(drawer, "right", sewing="first", solid="solid")  # type: ignore[arg-type]
    view.slots = {"profile": paper, "solid": paper}
    return view, paper


def apart(act: Coroutine[Any, Any, None]) -> None:
    """Runs on a loop of its own thread: beside a browser this thread has a loop already."""
    with ThreadPoolExecutor(1) as hand:
        hand.submit(asyncio.run, act).result()


async def quiet() -> None:
    for _ in range(5):
        await asyncio.sleep(0)


def test_angles_that_were_passed_by_are_never_drawn(monkeypatch: pytest.MonkeyPatch) -> None:
    async def move() -> None:
        drawer = Drawer()
        view, paper = view_of(drawer, monkeypatch)
        first = asyncio.create_task(view.turn((1.0, 0.0)))
        await quiet()
        for angle in range(2, 30):
            await view.turn((float(angle), 0.0))
        drawer.go.set()
        await first
        assert [foot[0] for _, foot, ahead in drawer.asked if not ahead] == [1.0, 29.0]
        assert paper.shown == ["first 1", "first 29"]

    apart(move())


def test_a_drawing_of_another_sewing_is_never_shown(monkeypatch: pytest.MonkeyPatch) -> None:
    async def move() -> None:
        drawer = Drawer()
        view, paper = view_of(drawer, monkeypatch)
        first = asyncio.create_task(view.turn((1.0, 0.0)))
        await quiet()
        view.sewing, view.frames = "second", {}  # type: ignore[assignment]
        await view.turn((1.0, 0.0))
        drawer.go.set()
        await first
        assert paper.shown == ["second 1"]
        assert view.frames[1.0, 0.0].result()[0] == "second 1"

    apart(move())


def test_where_the_slider_goes_is_drawn_ahead_and_what_lies_behind_once_it_rests(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    async def move() -> None:
        drawer = Drawer()
        drawer.go.set()
        view, _ = view_of(drawer, monkeypatch, 0.1)
        await view.turn((5.0, 0.0))
        await view.turn((3.0, 0.0))
        await quiet()
        assert [foot[0] for _, foot, ahead in drawer.asked if ahead] == [2.0]
        await asyncio.sleep(0.3)
        assert [foot[0] for _, foot, ahead in drawer.asked if ahead] == [2.0, 4.0]
        await view.turn((2.0, 0.0))
        assert [foot[0] for _, foot, _ in drawer.asked].count(2.0) == 1, "it was drawn ahead"

    apart(move())
