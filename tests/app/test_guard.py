"""Only this machine's own pages reach the server: address, Host, Origin and web sockets."""

from __future__ import annotations

import asyncio
from typing import Any

import pytest

from sinewright.app.guard import Guard, own_names, refusal, refuse_other_address
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


@pytest.mark.parametrize("kind", ["http", "websocket"])
def test_what_is_refused_never_reaches_the_pages(kind: str) -> None:
    reached, sent = [], []

    async def inner(scope: Any, receive: Any, send: Any) -> None:
        reached.append(scope)

    async def send(message: Any) -> None:
        sent.append(message)

    async def receive() -> Any:
        return {"type": "websocket.connect"}

    scope = {"type": kind, "headers": asked(host="127.0.0.1:8470", origin="http://evil.example")}
    asyncio.run(Guard(inner, NAMES)(scope, receive, send))
    assert reached == []
    assert sent[0].get("status") == 403 or sent[0]["type"] == "websocket.close"
