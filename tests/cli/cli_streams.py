"""Streams that say of themselves whether they are a terminal."""

from __future__ import annotations

import io
from dataclasses import dataclass


class Stream(io.StringIO):
    """Text output that says of itself whether it is a terminal and in which encoding."""

    def __init__(self, terminal: bool, encoding: str = "utf-8") -> None:
        super().__init__()
        self._terminal, self._encoding = terminal, encoding

    def isatty(self) -> bool:
        return self._terminal

    @property
    def encoding(self) -> str:  # type: ignore[override]
        return self._encoding


@dataclass(frozen=True)
class Ran:
    code: int
    out: str
    err: str
