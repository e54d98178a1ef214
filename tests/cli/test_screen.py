"""Which screen gets marks and colour, and which gets plain ASCII."""

from __future__ import annotations

import pytest
from rich.text import Text

from sinewright.cli.screen import screen_for

from .cli_streams import Stream


@pytest.mark.parametrize(
    ("terminal", "encoding", "env", "full"),
    [
        (True, "utf-8", {}, True),
        (True, "UTF_8", {"NO_COLOR": ""}, True),
        (False, "utf-8", {}, False),
        (True, "utf-8", {"NO_COLOR": "1"}, False),
        (True, "ascii", {}, False),
        (True, "latin-1", {}, False),
        (True, "utf-8", {"TERM": "dumb"}, False),
    ],
)
def test_only_a_utf8_terminal_with_colour_is_full(
    terminal: bool, encoding: str, env: dict[str, str], full: bool
) -> None:
    assert screen_for(Stream(terminal, encoding), env).full is full


@pytest.mark.parametrize(
    ("columns", "width"),
    [("", 100), ("80", 80), ("120", 120), ("5", 60), ("9999", 200), ("-3", 100), ("wide", 100)],
)
def test_columns_sets_the_width_within_what_can_be_read(columns: str, width: int) -> None:
    assert screen_for(Stream(False), {"COLUMNS": columns}).width == width


def test_a_pipe_gets_no_escape_code_and_no_trailing_blank() -> None:
    stream = Stream(False)
    screen_for(stream, {}).show([Text("12° up ", "bold red"), Text("end")])
    assert stream.getvalue() == "12 deg up\nend\n"


def test_a_terminal_gets_colour(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TERM", "xterm-256color")
    monkeypatch.delenv("NO_COLOR", raising=False)
    stream = Stream(True)
    screen_for(stream, {"TERM": "xterm-256color"}).show([Text("12° up", "bold")])
    assert stream.getvalue() == "\x1b[1m12° up\x1b[0m\n"


def test_control_characters_of_a_name_never_reach_the_terminal() -> None:
    assert screen_for(Stream(True), {}).say("quiet\x1b[2Jotter\u202e\n") == "quiet[2Jotter"
