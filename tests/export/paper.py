"""Reads a PDF back: its words, and where its letters stand."""

from __future__ import annotations

from dataclasses import dataclass

import pypdfium2

POINT_MM = 25.4 / 72.0


@dataclass(frozen=True)
class Sheet:
    """One side: its size [mm], its words on one line, and boxes of its letters (left, bottom, right, top) [mm]."""

    width: float
    height: float
    words: str
    boxes: tuple[tuple[float, float, float, float], ...]


def sheets(pdf: bytes) -> list[Sheet]:
    document = pypdfium2.PdfDocument(pdf)
    out = []
    for page in document:
        text = page.get_textpage()
        letters = range(text.count_chars())
        boxes = [text.get_charbox(i) for i in letters if text.get_text_range(i, 1).strip()]
        out.append(
            Sheet(
                page.get_width() * POINT_MM,
                page.get_height() * POINT_MM,
                " ".join(
                    text.get_text_bounded().replace("\ufffe", "").replace("\u200b", "").replace("\u2019", "'").split()
                ),
                tuple(tuple(v * POINT_MM for v in box) for box in boxes),  # type: ignore[misc]
            )
        )
    document.close()
    return out


def words_of(pdf: bytes) -> str:
    return " ".join(sheet.words for sheet in sheets(pdf))
