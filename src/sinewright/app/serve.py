"""Starts the server on the loopback address, refuses every other, and opens the browser."""

from __future__ import annotations

import contextlib
import socket
import sys
import webbrowser
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from sinewright.app.guard import LOOPBACK, PLACE, Guard, SessionKey, own_names, refuse_other_address
from sinewright.app.services import Services
from sinewright.errors import InputError
from sinewright.service.compute import Compute
from sinewright.store.store import Store

PORT = 8470
HERE = Path(__file__).parent


def register(services: Services) -> None:
    """Puts every page and the local files at their addresses."""
    from nicegui import app

    from sinewright.app.frame import ASSETS
    from sinewright.app.pages import cases, choices, evidence, findings, plan, protect, theatre

    app.add_static_files(f"{ASSETS}/fonts", HERE.parent / "export" / "fonts")
    app.add_static_files(ASSETS, HERE / "look")
    for room in (cases, findings, choices, plan, theatre, protect, evidence):
        room.register(services)


@contextlib.contextmanager
def services_for(store: Store, draws: int) -> Iterator[Services]:
    """The services with their own workers, which end with them."""
    from sinewright.service.worker import QUICK, RANKS, THEATRE, serve, serve_long, whose

    compute = Compute(serve_long, {QUICK: serve, THEATRE: serve}, RANKS, whose)
    services = Services(store, compute, draws=draws)
    try:
        yield services
    finally:
        compute.close()
        services.threads.shutdown(wait=False, cancel_futures=True)


def bound(address: str, port: int) -> socket.socket:
    """A listening socket on the loopback address; a free port when `port` is taken or 0.

    Raises InputError for any other address.
    """
    refuse_other_address(address)
    for wanted in dict.fromkeys((port, 0)):
        listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
        listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        with contextlib.suppress(OSError):
            listening.bind((LOOPBACK, wanted))
            listening.listen(128)  # whoever comes before the server is ready waits, and is not refused
            return listening
        listening.close()
    raise InputError("--port", port, "a free port of this machine", "leave the option out")


@dataclass(frozen=True)
class ServeOptions:
    """How the app is served: the page to open first, where it listens, virtual legs, and whether a browser opens."""

    start: str = "/"
    address: str = LOOPBACK
    port: int = PORT
    draws: int = 1000
    show: bool = True


def run(store: Store, way: ServeOptions) -> None:
    """Serves until it is stopped."""
    import uvicorn
    from fastapi import FastAPI
    from nicegui import ui

    listening = bound(way.address, way.port)
    here = listening.getsockname()[1]
    with services_for(store, way.draws) as services:
        register(services)
        outer = FastAPI(docs_url=None, redoc_url=None, openapi_url=None)
        ui.run_with(
            outer, title="Sinewright", tailwind=False, show_welcome_message=False, language="en-US",
            reconnect_timeout=60.0, favicon=HERE / "look" / "mark.svg", dark=False,
            gzip_middleware_factory=None, message_history_length=200,
        )  # fmt: skip
        services.compute.warm()
        place = f"http://{LOOPBACK}:{here}{way.start}?{PLACE}="
        session_key = SessionKey(here, lambda key: _say(f"opened; for another browser: {place}{key}"))
        guarded = Guard(outer, own_names(here), session_key)
        server = uvicorn.Server(_config(guarded))
        _tell(f"{place}{session_key.key}", webbrowser.open if way.show else None)
        server.run(sockets=[listening])


def _config(guarded: Guard) -> Any:
    """Nothing is squeezed on its way: it only goes from this machine to itself."""
    import uvicorn

    return uvicorn.Config(
        guarded, log_level="warning", timeout_graceful_shutdown=2, access_log=False, ws_per_message_deflate=False
    )


def _tell(address: str, open_page: Callable[[str], bool] | None) -> None:
    _say(f"open at {address}  (opens once, in one browser of this account; Ctrl+C ends)")
    if open_page is not None:
        open_page(address)


def _say(words: str) -> None:
    sys.stderr.write(f"sinewright: {words}\n")
    sys.stderr.flush()
