"""People at the app without a browser: each speaks to the server over its own web socket exactly as a page does.

A tab loads a page, joins its socket, sends the events that the page's own elements listen to, and reads the elements
that come back. So ten people cost one light process, and what is measured is the server. Imported by ``app.py``.
"""

from __future__ import annotations

import asyncio
import html
import json
import random
import re
import time
import uuid
from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any
from urllib.parse import quote

import aiohttp
import socketio

Element = dict[str, Any]
PATIENCE_S, READY_S = 120.0, 60.0  # for an action; for a weighing, before somebody turns to another page meanwhile


@dataclass
class Record:
    """Seconds by kind of action, and what went wrong."""

    actions: dict[str, list[float]] = field(default_factory=lambda: defaultdict(list))
    answers: dict[str, list[float]] = field(default_factory=lambda: defaultdict(list))
    wrong: list[str] = field(default_factory=list)


class Tab:
    """One page of one person, alive until it is closed."""

    def __init__(self, address: str, cookie: str) -> None:
        self.address, self.cookie = address, cookie
        self.elements: dict[str, Element] = {}
        self.opened = ""
        self._changed = asyncio.Event()
        self._socket: Any = None

    async def load(self, session: aiohttp.ClientSession, place: str) -> None:
        """Asks for a page and joins its socket."""
        async with session.get(self.address + place, headers={"Cookie": self.cookie}) as answer:
            text = await answer.text()
            if answer.status != 200:
                raise AssertionError(f"{place}: {answer.status} {text[:80]}")
        elements = re.search(r"String\.raw`(.*?)`\)", text, re.S)
        query = re.search(r"query: \{.*?'client_id': '([^']+)', 'next_message_id': (\d+)", text)
        if elements is None or query is None:
            raise AssertionError(f"{place}: not a page")
        self.elements = json.loads(html.unescape(elements[1]))
        await self._join(query[1], int(query[2]))

    async def _join(self, client: str, following: int) -> None:
        self.client, self.next = client, following
        words = (
            f"client_id={client}&next_message_id={following}&implicit_handshake=true&old_tab_id="
            f"&document_id={uuid.uuid4()}&tab_id={uuid.uuid4()}"
        )
        self._socket = socketio.AsyncClient(reconnection=False)
        self._socket.on("update", self._update)
        self._socket.on("open", self._open)
        await self._socket.connect(
            f"{self.address}?{words}", transports=["websocket"], socketio_path="/_nicegui_ws/socket.io",
            headers={"Cookie": self.cookie}, wait_timeout=60,
        )  # fmt: skip

    def _update(self, told: dict[str, Any]) -> None:
        self.next = told.pop("_id", self.next) + 1
        for number, element in told.items():
            if element is None:
                self.elements.pop(number, None)
            else:
                self.elements[number] = element
        self._changed.set()

    def _open(self, told: dict[str, Any]) -> None:
        self.opened = told["path"]
        self._changed.set()

    async def until(self, seen: Callable[[], Any], patience_s: float = PATIENCE_S) -> Any:
        """Waits until something is on the page; returns it."""
        async with asyncio.timeout(patience_s):
            while not (found := seen()):
                self._changed.clear()
                await self._changed.wait()
        return found

    def find(self, words: str = "", **wanted: Any) -> list[tuple[str, Element]]:
        """Elements by class (``of``), by label, or by their text."""
        out = []
        for number, element in self.elements.items():
            if "of" in wanted and not set(wanted["of"].split()) <= set(element.get("class", ())):
                continue
            if "label" in wanted and element.get("props", {}).get("label") != wanted["label"]:
                continue
            if words and words not in str(element.get("text", "")):
                continue
            out.append((number, element))
        return out

    def listening(self, event: str) -> list[tuple[str, Element]]:
        """Elements that listen to an event."""
        return [(n, e) for n, e in self.elements.items() if any(one["type"] == event for one in e.get("events", ()))]

    async def emit(self, number: str, event: str, *arguments: Any) -> None:
        """Sends an event as the page does."""
        listener = next(one for one in self.elements[number]["events"] if one["type"] == event)
        told = {"id": int(number), "client_id": self.client, "listener_id": listener["listener_id"],
                "args": [json.dumps(each) for each in arguments]}  # fmt: skip
        await self._socket.emit("event", told)

    async def close(self) -> None:
        """Closes the tab."""
        if self._socket is not None:
            await self._socket.emit("ack", {"client_id": self.client, "next_message_id": self.next})
            await self._socket.disconnect()


@dataclass
class Walker:
    """Somebody who works through the pages of a case at a human pace."""

    number: int
    address: str
    cookie: str
    session: aiohttp.ClientSession
    record: Record
    until: float
    case: str = ""
    choice: str = ""

    def __post_init__(self) -> None:
        self.chance = random.Random(self.number)

    async def live(self) -> None:
        """Turns the pages until the time is over; whatever goes wrong is noted."""
        await asyncio.sleep(self.chance.uniform(0, 6))
        try:
            await self.begin()
            while time.monotonic() < self.until:
                for page in (self.choices, self.plan, self.findings, self.others):
                    if time.monotonic() < self.until:
                        await page()
        except Exception as problem:
            self.record.wrong.append(f"person {self.number}: {type(problem).__name__} {problem}")

    async def think(self, low: float = 1.0, high: float = 3.5) -> None:
        """A breath between two actions."""
        await asyncio.sleep(self.chance.uniform(low, high))

    async def page(self, name: str, place: str) -> Tab:
        """Loads a page and takes the time until it answers."""
        tab, began = Tab(self.address, self.cookie), time.perf_counter()
        await tab.load(self.session, place)
        self.record.actions[f"open {name}"].append(time.perf_counter() - began)
        return tab

    async def act(self, name: str, tab: Tab, seen: Callable[[], Any], number: str, event: str, *arguments: Any) -> Any:
        """One action and the time until its answer is on the page."""
        began = time.perf_counter()
        await tab.emit(number, event, *arguments)
        try:
            found = await tab.until(seen)
        except TimeoutError:
            words = [e["text"] for _, e in tab.find(of="said") + tab.find(of="problem")]
            raise AssertionError(f"no answer to {name} {arguments}: {words}") from None
        self.record.actions[name].append(time.perf_counter() - began)
        return found

    async def ready(self, name: str, tab: Tab, seen: Callable[[], Any], began: float) -> bool:
        """Waits for a long calculation, which shows how far it is; False when the person turned to another page."""
        try:
            await tab.until(seen, READY_S)
        except TimeoutError:
            self.record.answers[f"{name}: left meanwhile"].append(time.perf_counter() - began)
            await tab.close()
            return False
        self.record.answers[name].append(time.perf_counter() - began)
        return True

    async def begin(self) -> None:
        """A fresh case from an invented example."""
        tab = await self.page("cases", "/")
        await self.think()
        number, _ = tab.find(of="try")[self.number % 5]
        await self.act("make a case", tab, lambda: tab.opened, number, "click")
        self.case = tab.opened.rsplit("/", 1)[0]
        await tab.close()

    async def findings(self) -> None:
        """Three entries and another part of the form."""
        tab = await self.page("findings", f"{self.case}/findings?part=person")
        for name in ("foot_length_mm", "foot_breadth_mm", "shank_length_mm"):
            await self.think()
            (fields, _), (said, _) = tab.listening("edit")[0], tab.find(of="said")[0]
            base = {"foot_length_mm": 240, "foot_breadth_mm": 90, "shank_length_mm": 360}[name]
            told = {"path": f"leg.{name}", "value": base + self.chance.randrange(20), "known": "measured"}
            before = tab.elements[said].get("text")
            seen = lambda said=said, before=before: tab.elements[said].get("text") not in (before, "")  # noqa: E731
            await self.act("store an entry", tab, seen, fields, "edit", told)
            if "Stored" not in tab.elements[said]["text"]:
                self.record.wrong.append(tab.elements[said]["text"])
        await self.think()
        number, _ = next(each for each in tab.find("Muscles", of="part"))
        pressed = lambda: tab.elements[number]["props"].get("aria-pressed") == "true"  # noqa: E731
        await self.act("turn to another part", tab, pressed, number, "click")
        await self.think()
        await tab.close()

    async def choices(self) -> None:
        """The ladder, two weights, one comparison."""
        began = time.perf_counter()
        tab = await self.page("choices", f"{self.case}/choices")
        ladder = lambda: next((e for _, e in tab.listening("pick") if e["props"].get("rows")), None)  # noqa: E731
        if not await self.ready("weighing on the page", tab, ladder, began):
            return
        await self.think()
        number, _ = self.chance.choice(tab.listening("rest"))
        said, _ = tab.find(of="said hint")[0]
        seen = lambda: "Stored" in tab.elements[said].get("text", "")  # noqa: E731
        await self.act("store a weight", tab, seen, number, "rest", self.chance.randrange(11))
        began = time.perf_counter()
        waiting, _ = tab.find(of="waiting")[0]
        if not await self.ready("ladder after a weight", tab, lambda: not tab.elements[waiting].get("children"), began):
            return
        await self.think()
        number, element = tab.listening("pick")[0]
        row = next(each for each in element["props"]["rows"] if each["bar"])
        self.choice = row["id"]
        await self.act("compare", tab, lambda: tab.elements[number]["props"]["picked"], number, "pick", row["id"])
        await tab.close()

    async def plan(self) -> None:
        """The leg under a slider, then the tension, of the choice that was compared."""
        if not self.choice:
            return
        began = time.perf_counter()
        tab = await self.page("plan", f"{self.case}/plan?choice={quote(self.choice)}")
        profile = tab.find(of="profile")[0][0]
        drawn = lambda: tab.elements[profile]["props"].get("innerHTML")  # noqa: E731
        if not await self.ready("first drawing of the plan", tab, drawn, began):
            return
        await self.think()
        foot = tab.find(label="Foot")[0][0]
        for step in range(12):
            before = tab.elements[profile]["props"]["innerHTML"]
            seen = lambda before=before: tab.elements[profile]["props"]["innerHTML"] != before  # noqa: E731
            await self.act("move the foot", tab, seen, foot, "move", -40 + step + self.number)
            await asyncio.sleep(0.12)
        tension, low = tab.find(label="Mark of the muscle")[0][0], self.chance.randrange(5, 20)
        told = {"b", "span", "caption"}
        numbers = lambda: [e.get("text") for e in tab.elements.values() if e["tag"] in told]  # noqa: E731
        for step in range(6):
            before = numbers()
            seen = lambda before=before: numbers() != before  # noqa: E731
            await self.act("move the tension", tab, seen, tension, "move", low + 3 * step)
            await asyncio.sleep(0.12)
        await self.think()
        await tab.close()

    async def others(self) -> None:
        """Theatre, protect and the list of cases, looked at in passing."""
        for name, place in (("theatre", f"{self.case}/theatre"), ("protect", f"{self.case}/protect"), ("cases", "/")):
            tab = await self.page(name, place)
            await self.think()
            await tab.close()


async def many(address: str, cookie: str, users: int, seconds: float, record: Record) -> None:
    """So many people at once, for so many seconds; what they see is added to `record`."""
    until = time.monotonic() + seconds
    async with aiohttp.ClientSession() as session:
        people = [Walker(number, address, cookie, session, record, until) for number in range(users)]
        await asyncio.gather(*(person.live() for person in people))
