"""How wide words run in the font of the pages, read from the font itself: columns are laid so that none collides."""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from struct import unpack_from

from sinewright.export.print_text import FONT_FILE

UNKNOWN = 0.6  # of the size, for a sign that the font does not hold


@cache
def _advances() -> dict[int, float]:
    """Advance of every sign by its code point, as a share of the size (tables cmap format 4, hhea, hmtx, head)."""
    data = (files("sinewright.export") / "fonts" / FONT_FILE).read_bytes()
    count = unpack_from(">H", data, 4)[0]
    starts = {data[12 + 16 * i : 16 + 16 * i]: unpack_from(">L", data, 20 + 16 * i)[0] for i in range(count)}
    em = unpack_from(">H", data, starts[b"head"] + 18)[0]
    metrics = unpack_from(">H", data, starts[b"hhea"] + 34)[0]
    wide = [unpack_from(">H", data, starts[b"hmtx"] + 4 * i)[0] / em for i in range(metrics)]
    return {code: wide[min(glyph, metrics - 1)] for code, glyph in _glyphs(data, starts[b"cmap"]).items()}


def _glyphs(data: bytes, cmap: int) -> dict[int, int]:
    """Glyph of every code point of the character map, format 4."""
    offsets = [unpack_from(">L", data, cmap + 8 + 8 * i)[0] for i in range(unpack_from(">H", data, cmap + 2)[0])]
    out: dict[int, int] = {}
    for at in (cmap + offset for offset in offsets if unpack_from(">H", data, cmap + offset)[0] == 4):
        count = unpack_from(">H", data, at + 6)[0] // 2
        ends, firsts, deltas, ranges = (
            unpack_from(f">{count}H", data, at + 14 + skip) for skip in (0, 2 * count + 2, 4 * count + 2, 6 * count + 2)
        )
        for i in range(count):
            for code in range(firsts[i], min(ends[i], 0xFFFE) + 1):
                place = at + 16 + 6 * count + 2 * i + ranges[i] + 2 * (code - firsts[i])
                glyph = unpack_from(">H", data, place)[0] if ranges[i] else code
                out[code] = (glyph + deltas[i]) % 65536 if glyph else 0
    return out


def text_width(text: str, size: float) -> float:
    """Width of a line in the unit of `size`, regular weight.

    >>> 3.0 < text_width("29 spare", 1.0) < 5.0
    True
    """
    advances = _advances()
    return size * sum(advances.get(ord(sign), UNKNOWN) for sign in text)
