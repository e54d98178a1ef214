"""Who may talk to the server: this machine's browser showing this server's own pages, and nobody else.

A web page elsewhere can make a browser send requests here. Such a request carries a foreign ``Origin``, or a foreign
name in ``Host`` when the page moved its own name onto this address; both are refused before anything reads them.
What comes from this machine must have the key of the session as well (see ``key``).
"""

from __future__ import annotations

import os
import secrets
from collections.abc import Awaitable, Callable, Iterable, MutableMapping
from hmac import compare_digest
from html import escape
from ipaddress import ip_address
from pathlib import Path
from typing import Any
from urllib.parse import parse_qsl, quote, urlencode

from sinewright.errors import InputError

PLACE = "key"
NO_KEY = (
    "this browser has no key for it; open the address that “sinewright open” printed last in its window, or, when the "
    "app is open in another tab, type the address here instead of following a link"
)
NO_KEY_SHORT = "no key of this session"
SPENT = "its key was used already; open the address that “sinewright open” printed last in its window"
STRANGER = "its key was brought by another account of this machine; close the app and start it again"
_ONWARD = (
    '<!doctype html><html lang="en"><head><title>Sinewright</title><meta http-equiv="refresh" content="0;url={0}">'
    '</head><body><p><a href="{0}">On to the page</a></p></body></html>'
)
TABLES = (Path("/proc/net/tcp"), Path("/proc/net/tcp6"))  # on Linux: every socket with the account that owns it


class SessionKey:
    """Knows the browser that was let in. `tell` is given the key that opens next, each time one was spent."""

    def __init__(self, port: int, tell: Callable[[str], None]) -> None:
        self.port, self.cookie = port, f"sinewright_{port}"
        self._tell, self._inside = tell, secrets.token_urlsafe(32)
        self.key = secrets.token_urlsafe(24)

    def knows(self, headers: Iterable[tuple[bytes, bytes]]) -> bool:
        """True for a request with the cookie of this session."""
        for name, value in headers:
            if name.lower() == b"cookie":
                for part in value.decode("latin-1").split(";"):
                    given, _, held = part.strip().partition("=")
                    if given == self.cookie and compare_digest(held.encode("latin-1"), self._inside.encode()):
                        return True
        return False

    def refusal(self, query: bytes, client: tuple[str, int] | None) -> str:
        """Why a browser without the cookie is not let in, or an empty text; a good key is spent by it."""
        given = dict(parse_qsl(query.decode("latin-1"))).get(PLACE)
        if given is None:
            return NO_KEY
        if not compare_digest(given.encode(), self.key.encode()):
            return SPENT
        self.key = secrets.token_urlsafe(24)
        self._tell(self.key)
        whose = owner(client[1], self.port) if client else None
        return STRANGER if whose is not None and whose != os.getuid() else ""

    def welcome(self, path: str, query: bytes, known: bool) -> tuple[list[tuple[bytes, bytes]], bytes]:
        """Headers and a page that goes on to the same address without the key, with the cookie unless it is there."""
        kept = urlencode([pair for pair in parse_qsl(query.decode("latin-1")) if pair[0] != PLACE])
        onward = escape(quote("/" + path.lstrip("/")) + (f"?{kept}" if kept else ""))
        headers = [(b"content-type", b"text/html; charset=utf-8"), (b"cache-control", b"no-store")]
        if not known:
            cookie = f"{self.cookie}={self._inside}; HttpOnly; SameSite=Strict; Path=/"
            headers.append((b"set-cookie", cookie.encode()))
        return headers, _ONWARD.format(onward).encode()


def brings_key(query: bytes) -> bool:
    """True when an address carries a key, good or not."""
    return any(name == PLACE for name, _ in parse_qsl(query.decode("latin-1"), keep_blank_values=True))


def owner(port: int, server_port: int, tables: tuple[Path, ...] = TABLES) -> int | None:
    """The account whose program speaks from this loopback port to the server; None where it cannot be known."""
    for line in (line for table in tables if table.exists() for line in table.read_text("ascii").splitlines()[1:]):
        parts = line.split()
        if [int(end.rpartition(":")[2], 16) for end in parts[1:3]] == [port, server_port]:
            return int(parts[7])
    return None


Message = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]
Application = Callable[[Message, Receive, Send], Awaitable[None]]

LOOPBACK = "127.0.0.1"
NAMES = (LOOPBACK, "localhost", "[::1]")
_RULES = "default-src 'self' 'unsafe-inline' 'unsafe-eval'; connect-src 'self' {sockets}; img-src 'self' data: blob:; "
_RULES += "object-src 'none'; base-uri 'self'; form-action 'self'; frame-ancestors 'none'"


def refuse_other_address(address: str) -> None:
    """Raises InputError unless `address` is this machine's own loopback address."""
    try:
        own = ip_address(address).is_loopback
    except ValueError:
        own = address == "localhost"
    if not own or address not in (LOOPBACK, "localhost"):
        advice = "the app shows patients to this machine only; to work elsewhere, start it there"
        raise InputError("--address", address, f"{LOOPBACK} only", advice)


def own_names(port: int) -> frozenset[str]:
    """What ``Host`` may say for a server at `port`."""
    return frozenset(f"{name}:{port}" for name in NAMES)


def refusal(headers: Iterable[tuple[bytes, bytes]], names: frozenset[str]) -> str:
    """Why a request with these headers is refused, or an empty text."""
    given: dict[bytes, list[str]] = {}
    for key, value in headers:
        given.setdefault(key.lower(), []).append(value.decode("latin-1"))
    hosts = given.get(b"host", [])
    if len(hosts) != 1 or hosts[0].lower() not in names:
        return "this server answers to its own address only"
    origins = given.get(b"origin", [])
    if any(origin.lower() != f"http://{hosts[0].lower()}" for origin in origins):
        return "a page of another origin asked"
    site, mode = given.get(b"sec-fetch-site", ["none"])[0], given.get(b"sec-fetch-mode", [""])[0]
    dest = given.get(b"sec-fetch-dest", [""])[0]
    if site not in ("same-origin", "none") and not (mode == "navigate" and dest == "document"):
        return "a page of another site asked"
    return ""


class Guard:
    """Wraps the whole server, web sockets included."""

    def __init__(self, inner: Application, names: frozenset[str], session_key: SessionKey) -> None:
        self.app, self._names, self._session_key = inner, names, session_key
        sockets = " ".join(f"ws://{name}" for name in sorted(names) if "[" not in name)
        self._added = (
            (b"content-security-policy", _RULES.format(sockets=sockets).encode()),
            (b"x-content-type-options", b"nosniff"),
            (b"referrer-policy", b"no-referrer"),
            (b"cross-origin-resource-policy", b"same-origin"),
            (b"cross-origin-opener-policy", b"same-origin"),
        )

    async def __call__(self, scope: Message, receive: Receive, send: Send) -> None:
        """One request or one web socket."""
        if scope["type"] not in ("http", "websocket"):
            await self.app(scope, receive, send)
            return
        why = refusal(scope["headers"], self._names)
        if scope["type"] == "websocket":
            await self._socket(
                scope, receive, send, why or ("" if self._session_key.knows(scope["headers"]) else NO_KEY_SHORT)
            )
        elif why:
            await _forbid(send, why)
        else:
            await self._page(scope, receive, self._with_rules(send))

    async def _socket(self, scope: Message, receive: Receive, send: Send, why: str) -> None:
        if not why:
            await self.app(scope, receive, send)
            return
        await receive()
        await send({"type": "websocket.close", "code": 1008, "reason": why})

    async def _page(self, scope: Message, receive: Receive, send: Send) -> None:
        """Passes on what has the cookie; lets in whoever brings the key; refuses the rest."""
        query, known = scope.get("query_string", b""), self._session_key.knows(scope["headers"])
        if known and not brings_key(query):
            await self.app(scope, receive, send)
            return
        why = "" if known else self._session_key.refusal(query, scope.get("client"))
        if why:
            await _forbid(send, why)
            return
        headers, body = self._session_key.welcome(scope["path"], query, known)
        await send({"type": "http.response.start", "status": 200, "headers": headers})
        await send({"type": "http.response.body", "body": body})

    def _with_rules(self, send: Send) -> Send:
        async def sending(message: Message) -> None:
            if message["type"] == "http.response.start":
                message["headers"] = [*message.get("headers", []), *self._added]
            await send(message)

        return sending


async def _forbid(send: Send, why: str) -> None:
    body = f"Refused: {why}.\n".encode()
    headers = [(b"content-type", b"text/plain; charset=utf-8"), (b"content-length", str(len(body)).encode())]
    await send({"type": "http.response.start", "status": 403, "headers": headers})
    await send({"type": "http.response.body", "body": body})
