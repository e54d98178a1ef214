"""Only this machine's own pages in a browser with the key reach the server: address, Host, Origin, key, web sockets."""

from __future__ import annotations

import asyncio
import os
import socket
from pathlib import Path
from typing import Any

import pytest

from sinewright.app.guard import (
    NO_KEY,
    SPENT,
    STRANGER,
    Guard,
    SessionKey,
    own_names,
    owner,
    refusal,
    refuse_other_address,
)
from sinewright.app.serve import bound
from sinewright.errors import InputError

NAMES = own_names(8470)
ELSEWHERE = {"sec_fetch_site": "cross-site", "sec_fetch_mode": "navigate"}


def asked(**headers: str) -> list[tuple[bytes, bytes]]:
    return [(name.replace("_", "-").encode(), value.encode()) for name, value in headers.items()]


@pytest.mark.parametrize("address", ["0.0.0.0", "192.168.1.7", "::", "example.org", "127.0.0.2", ""])
def test_another_address_is_refused_in_words(address: str) -> None:
    with pytest.raises(InputError, match=r"127\.0\.0\.1 only"):
        refuse_other_address(address)


def test_the_socket_listens_on_the_loopback_address_alone() -> None:
    with bound("127.0.0.1", 0) as listening:
        assert listening.getsockname()[0] == "127.0.0.1"


def test_a_taken_port_gives_another() -> None:
    with bound("127.0.0.1", 0) as first, bound("127.0.0.1", first.getsockname()[1]) as second:
        assert second.getsockname()[1] != first.getsockname()[1]


@pytest.mark.parametrize(
    "headers",
    [
        {"host": "127.0.0.1:8470"},
        {"host": "localhost:8470", "origin": "http://localhost:8470"},
        {"host": "127.0.0.1:8470", "sec_fetch_site": "same-origin"},
        {"host": "127.0.0.1:8470", **ELSEWHERE, "sec_fetch_dest": "document"},
    ],
)
def test_own_pages_are_answered(headers: dict[str, str]) -> None:
    assert refusal(asked(**headers), NAMES) == ""


@pytest.mark.parametrize(
    "headers",
    [
        {},
        {"host": "evil.example"},
        {"host": "evil.example:8470"},
        {"host": "127.0.0.1:9000"},
        {"host": "127.0.0.1:8470", "origin": "http://evil.example"},
        {"host": "127.0.0.1:8470", "origin": "https://127.0.0.1:8470"},
        {"host": "127.0.0.1:8470", "origin": "http://127.0.0.1:9000"},
        {"host": "127.0.0.1:8470", "origin": "null"},
        {"host": "127.0.0.1:8470", "sec_fetch_site": "cross-site", "sec_fetch_mode": "no-cors"},
        {"host": "127.0.0.1:8470", "sec_fetch_site": "same-site", "sec_fetch_mode": "cors"},
        {"host": "127.0.0.1:8470", **ELSEWHERE, "sec_fetch_dest": "iframe"},
    ],
)
def test_pages_elsewhere_are_refused(headers: dict[str, str]) -> None:
    assert refusal(asked(**headers), NAMES)


def test_two_hosts_are_refused() -> None:
    assert refusal([*asked(host="127.0.0.1:8470"), *asked(host="evil.example")], NAMES)


class Reached:
    """The guard before pages that only note that they were reached."""

    def __init__(self) -> None:
        self.told: list[str] = []
        self.session_key = SessionKey(8470, self.told.append)
        self.reached: list[str] = []

    def ask(self, kind: str = "http", path: str = "/", query: str = "", **headers: str) -> list[dict[str, Any]]:
        """One request; what was sent back."""
        sent: list[dict[str, Any]] = []

        async def inner(scope: Any, receive: Any, send: Any) -> None:
            self.reached.append(scope["path"])

        async def send(message: Any) -> None:
            sent.append(message)

        async def receive() -> Any:
            return {"type": "websocket.connect"}

        given = asked(**{"host": "127.0.0.1:8470", **headers})
        scope = {"type": kind, "path": path, "query_string": query.encode(), "headers": given, "client": None}
        asyncio.run(Guard(inner, NAMES, self.session_key)(scope, receive, send))
        return sent

    def cookie(self) -> str:
        """The cookie that the key gives."""
        headers = dict(self.ask(query=f"key={self.session_key.key}")[0]["headers"])
        return str(headers[b"set-cookie"].decode())


@pytest.mark.parametrize("kind", ["http", "websocket"])
@pytest.mark.parametrize("headers", [{"origin": "http://evil.example"}, {"host": "evil.example"}, {}])
def test_what_is_refused_never_reaches_the_pages(kind: str, headers: dict[str, str]) -> None:
    """A foreign page is refused even with the cookie, and the own page without it."""
    server = Reached()
    cookie = {"cookie": server.cookie().split(";")[0]} if headers else {}
    sent = server.ask(kind, **headers, **cookie)
    assert server.reached == []
    assert sent[0].get("status") == 403 or sent[0]["type"] == "websocket.close"


def test_without_the_key_nothing_is_answered_and_the_words_say_what_to_do() -> None:
    server = Reached()
    for path in ("/", "/case/a-b-1/theatre.pdf", "/assets/style.css", "/_nicegui/3/static/x.js"):
        sent = server.ask(path=path)
        assert sent[0]["status"] == 403
        assert NO_KEY in sent[1]["body"].decode()
    assert server.reached == []


def test_the_key_opens_once_and_gives_a_cookie_that_no_script_and_no_other_site_can_use() -> None:
    server = Reached()
    key = server.session_key.key
    sent = server.ask(path="/case/a-b-1/findings", query=f"part=angles&key={key}")
    cookie = dict(sent[0]["headers"])[b"set-cookie"].decode()
    assert {"HttpOnly", "SameSite=Strict", "Path=/"} < {part.strip() for part in cookie.split(";")}
    assert 'url=/case/a-b-1/findings?part=angles"' in sent[1]["body"].decode()
    assert key not in sent[1]["body"].decode()
    assert server.told == [server.session_key.key] != [key]
    assert SPENT in server.ask(query=f"key={key}")[1]["body"].decode()
    for kind in ("http", "websocket"):
        server.ask(kind, path="/in", cookie=f"other=1; {cookie.split(';')[0]}")
    assert server.reached == ["/in", "/in"]
    assert server.told == [server.session_key.key]


@pytest.mark.parametrize(
    "cookie", ["sinewright_8470=", "sinewright_8470=x", "sinewright_9000={0}", "{0}", "a=sinewright_8470={0}"]
)
def test_another_cookie_is_no_key(cookie: str) -> None:
    server = Reached()
    held = server.cookie().split(";")[0].partition("=")[2]
    assert server.ask(cookie=cookie.format(held))[0]["status"] == 403


def test_the_page_after_the_key_never_leaves_this_server() -> None:
    server = Reached()
    body = server.ask(path="//evil.example/", query=f"key={server.session_key.key}")[1]["body"].decode()
    assert 'url=/evil.example/"' in body


def test_a_browser_of_another_account_is_refused_with_a_good_key(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with bound("127.0.0.1", 0) as listening, socket.create_connection(listening.getsockname()) as speaking:
        ports = speaking.getsockname()[1], listening.getsockname()[1]
        if Path("/proc/net/tcp").exists():
            assert owner(*ports) == os.getuid()
        assert owner(*ports, (tmp_path / "none",)) is None
        table = tmp_path / "tcp"
        ends = "0100007F:{:04X} 0100007F:{:04X}".format(*ports)
        table.write_text(
            f"  sl  local_address\n   0: {ends} 01 00000000:00000000 00:00000000 00000000 {os.getuid() + 1} 0\n"
        )
        assert owner(*ports, (table,)) == os.getuid() + 1
        monkeypatch.setitem(SessionKey.refusal.__globals__, "owner", lambda *_: os.getuid() + 1)
        session_key = SessionKey(ports[1], lambda _: None)
        assert session_key.refusal(f"key={session_key.key}".encode(), ("127.0.0.1", ports[0])) == STRANGER
