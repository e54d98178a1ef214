"""What may be printed: every text of a page passes here, so that no sign is lost, hidden or read as markup."""

from __future__ import annotations

import unicodedata
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from struct import unpack_from
from typing import Any

from sinewright.errors import InputError

LONGEST = 600
LONG_WORD = 26
TURNS = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069\u200e\u200f\u061c")
FONT_FILE = "PlainZero-Regular.ttf"


@cache
def printable_signs() -> frozenset[int]:
    """Code points that the font of the pages holds (its character map, format 4)."""
    data = (files("sinewright.export") / "fonts" / FONT_FILE).read_bytes()
    tables = unpack_from(">H", data, 4)[0]
    places = {data[12 + 16 * i : 16 + 16 * i]: unpack_from(">L", data, 20 + 16 * i)[0] for i in range(tables)}
    start = places[b"cmap"]
    kinds = unpack_from(">H", data, start + 2)[0]
    found: set[int] = set()
    for i in range(kinds):
        at = start + unpack_from(">L", data, start + 8 + 8 * i)[0]
        if unpack_from(">H", data, at)[0] == 4:
            found |= _format_4(data, at)
    return frozenset(found - {0xFFFF})


def _format_4(data: bytes, at: int) -> set[int]:
    count = unpack_from(">H", data, at + 6)[0] // 2
    ends = unpack_from(f">{count}H", data, at + 14)
    starts = unpack_from(f">{count}H", data, at + 16 + 2 * count)
    return {code for low, high in zip(starts, ends, strict=True) for code in range(low, high + 1)}


def print_text(field: str, text: str, longest: int = LONGEST) -> str:
    """`text` in one line, composed, as it will be printed.

    Raises InputError when it is longer than `longest`, holds a control character, signs that turn the text around, or
    signs that the font of the pages does not hold.
    """
    composed = unicodedata.normalize("NFC", text)
    line = " ".join(composed.split())
    if len(line) > longest:
        raise InputError(field, f"{len(line)} signs", f"at most {longest} signs", "shorten it for the page")
    for sign in line:
        if sign in TURNS or (unicodedata.category(sign) in ("Cc", "Cs", "Cf", "Co", "Cn") and sign != "\u00ad"):
            code = f"U+{ord(sign):04X}"
            raise InputError(field, f"the hidden sign {code}", "signs that can be seen", "delete it and type it again")
        if ord(sign) not in printable_signs():
            name = unicodedata.name(sign, "a sign without a name").lower()
            advice = "write it in Latin letters; it would print as an empty box"
            raise InputError(field, f"U+{ord(sign):04X} ({name})", "letters of the page's font", advice)
    return line


def breakable(line: str) -> str:
    """The line with places where a very long word may break, which print as nothing."""
    words = line.split(" ")
    return " ".join(
        word
        if len(word) <= LONG_WORD
        else "\u200b".join(word[i : i + LONG_WORD] for i in range(0, len(word), LONG_WORD))
        for word in words
    )


def checked(data: Mapping[str, Any], where: str = "page") -> dict[str, Any]:
    """A copy of a page's content with every text passed through `print_text`; pictures (``svg``) stay as they are."""
    return {key: _checked(value, f"{where}.{key}") for key, value in data.items()}


def _checked(value: Any, where: str) -> Any:
    if isinstance(value, str):
        return value if where.endswith(".svg") else breakable(print_text(where, value))
    if isinstance(value, Mapping):
        return checked(value, where)
    if isinstance(value, (list, tuple)):
        return [_checked(each, f"{where}[{i}]") for i, each in enumerate(value)]
    return value
