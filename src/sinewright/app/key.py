"""The key of a session: other accounts of the same machine reach the port too, and must not read what it shows.

The address that is printed carries a key that opens once. It gives the browser a cookie, and nothing is answered
without that cookie: no page, no file, no web socket. Once used, a new address is printed for another browser.
"""

from __future__ import annotations

import os
import secrets
from collections.abc import Callable, Iterable
from hmac import compare_digest
from html import escape
from pathlib import Path
from urllib.parse import parse_qsl, quote, urlencode

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
