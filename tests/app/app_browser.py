"""A running app and a real browser for the tests: Debian's Chromium, driven as a user would."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
import threading
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, ClassVar

ROOT = Path(__file__).parents[2]
EXAMPLES = ROOT / "examples"
CHROMIUM = Path("/usr/bin/chromium")
FLAGS = ["--headless=new", "--no-sandbox", "--disable-gpu", "--disable-background-networking"]
SIZES = {"1440": (1440, 900), "1024": (1024, 768), "768": (768, 1024)}
START = "import sys; from sinewright.cli.app import main; sys.argv = sys.argv[1:]; main()"


class Served:
    """One app in its own process on a store of its own. The printed address is opened once; its cookie is kept."""

    cookies: ClassVar[dict[int, str]] = {}  # by port, for every browser that is opened afterwards

    def __init__(self, store: Path, port: int = 0) -> None:
        self.store, self.port = store, port
        self.process: subprocess.Popen[str] | None = None
        self.said: list[str] = []

    def start(self, *arguments: str, enter: bool = True) -> None:
        """Starts it and waits for its address; `enter` spends the key of that address."""
        environment = {**os.environ, "PYTHONPATH": str(ROOT / "src"), "SINEWRIGHT_STORE": str(self.store)}
        command = [sys.executable, "-c", START, "sinewright", "open", "--no-browser", "--port", str(self.port)]
        self.process = subprocess.Popen(
            [*command, *arguments], stderr=subprocess.PIPE, stdout=subprocess.DEVNULL, text=True, env=environment
        )
        assert self.process.stderr is not None
        for line in self.process.stderr:
            self.said.append(line)
            found = re.search(r"open at (http://127\.0\.0\.1:(\d+)(\S*)\?key=\S+)", line)
            if found:
                self.printed, self.port, self.first = found[1], int(found[2]), found[3]
                break
        else:
            raise AssertionError("".join(self.said))
        self.reader = threading.Thread(target=self._listen, daemon=True)
        self.reader.start()
        if enter:
            self.enter()

    def enter(self) -> None:
        """Opens the printed address, which gives the cookie of the session."""
        with urllib.request.urlopen(self.printed, timeout=60) as answer:
            Served.cookies[self.port] = answer.headers["Set-Cookie"].split(";")[0]

    def get(self, place: str) -> bytes:
        """What stands at a place, for whoever has the cookie."""
        asked = urllib.request.Request(self.address + place, headers={"Cookie": Served.cookies[self.port]})
        with urllib.request.urlopen(asked, timeout=60) as answer:
            return bytes(answer.read())

    def _listen(self) -> None:
        assert self.process is not None
        assert self.process.stderr is not None
        for line in self.process.stderr:
            self.said.append(line)

    @property
    def address(self) -> str:
        """Where it listens."""
        return f"http://127.0.0.1:{self.port}"

    def kill(self) -> None:
        """Ends it at once, as a power cut would."""
        self._end(signal.SIGKILL)

    def stop(self) -> None:
        """Ends it as Ctrl+C does."""
        self._end(signal.SIGINT)

    def _end(self, how: signal.Signals) -> None:
        if self.process is None:
            return
        self.process.send_signal(how)
        try:
            self.process.wait(timeout=15)
        except subprocess.TimeoutExpired:
            self.process.kill()
            self.process.wait()
        self.reader.join(timeout=15)
        assert self.process.stderr is not None
        self.process.stderr.close()
        self.process = None


@contextmanager
def browser() -> Iterator[Any]:
    """Chromium without a window."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        opened = playwright.chromium.launch(executable_path=str(CHROMIUM), args=FLAGS)
        try:
            yield opened
        finally:
            opened.close()


def let_in() -> list[dict[str, str]]:
    """The cookies of every app that was started, as a browser takes them."""
    pairs = ((port, *cookie.split("=", 1)) for port, cookie in Served.cookies.items())
    return [{"name": name, "value": value, "url": f"http://127.0.0.1:{port}"} for port, name, value in pairs]


def new_page(opened: Any, size: str = "1440", look: str = "light", entered: bool = True, **more: Any) -> Any:
    """A fresh profile with one page; errors of the page and every request that leaves the machine are kept."""
    width, height = SIZES[size]
    context = opened.new_context(viewport={"width": width, "height": height}, color_scheme=look, **more)
    if entered:
        context.add_cookies(let_in())
    page = context.new_page()
    page.set_default_timeout(30_000)
    page.problems = []
    page.outside = []
    page.on("pageerror", lambda error: page.problems.append(str(error)))
    page.on("console", lambda said: page.problems.append(said.text) if said.type == "error" else None)
    page.on("request", lambda asked: page.outside.append(asked.url) if _leaves(asked.url) else None)
    return page


def _leaves(url: str) -> bool:
    return url.startswith(("http", "ws")) and "//127.0.0.1:" not in url


def settled(page: Any) -> None:
    """Waits until the page has its socket."""
    page.wait_for_selector("main.page")
    page.wait_for_function("window.socket && window.socket.connected")


def screens_folder() -> Path:
    """Where the pictures of a test run are kept."""
    folder = Path(os.environ.get("SINEWRIGHT_SCREENS") or ROOT / "build" / "screens")
    folder.mkdir(parents=True, exist_ok=True)
    return folder


def pictures(page: Any, name: str, sizes: tuple[str, ...] = ("1440", "1024", "768")) -> None:
    """The whole page at every size, light and dark."""
    page.evaluate("scrollTo(0, 0)")
    for look in ("light", "dark"):
        page.emulate_media(color_scheme=look)
        for size in sizes:
            width, height = SIZES[size]
            page.set_viewport_size({"width": width, "height": height})
            page.wait_for_timeout(120)
            page.screenshot(path=str(screens_folder() / f"{name}-{size}-{look}.png"), full_page=True)
    page.emulate_media(color_scheme="light")
    page.set_viewport_size({"width": 1440, "height": 900})


def wide_of(page: Any) -> int:
    """How many pixels the page is wider than its window: 0 when nothing has to be pushed sideways."""
    return int(page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth"))


def grave_findings(page: Any) -> list[str]:
    """What axe calls serious or critical, with the element."""
    return _findings(page, ("serious", "critical"))


def all_findings(page: Any) -> list[str]:
    """Everything that axe finds, also what it calls minor or moderate."""
    return _findings(page, ("minor", "moderate", "serious", "critical"))


def _findings(page: Any, impacts: tuple[str, ...]) -> list[str]:
    from axe_playwright_python.sync_playwright import Axe

    found = Axe().run(page).response["violations"]
    return [
        f"{each['id']}: {node['html'][:160]} {node.get('failureSummary', '')[:200]}"
        for each in found
        if each["impact"] in impacts
        for node in each["nodes"]
    ]
