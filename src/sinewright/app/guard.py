"""Who may talk to the server: this machine's browser showing this server's own pages, and nobody else.

A web page elsewhere can make a browser send requests here. Such a request carries a foreign ``Origin``, or a foreign
name in ``Host`` when the page moved its own name onto this address; both are refused before anything reads them.
What comes from this machine must have the key of the session as well (see ``key``).
"""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Iterable, MutableMapping
from ipaddress import ip_address
from typing import Any

from sinewright.app.key import NO_KEY_SHORT, SessionKey, brings_key
from sinewright.errors import InputError

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

    def __init__(self, inner: Application, names: frozenset[str], door: SessionKey) -> None:
        self.app, self._names, self._door = inner, names, door
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
                scope, receive, send, why or ("" if self._door.knows(scope["headers"]) else NO_KEY_SHORT)
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
        query, known = scope.get("query_string", b""), self._door.knows(scope["headers"])
        if known and not brings_key(query):
            await self.app(scope, receive, send)
            return
        why = "" if known else self._door.refusal(query, scope.get("client"))
        if why:
            await _forbid(send, why)
            return
        headers, body = self._door.welcome(scope["path"], query, known)
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
