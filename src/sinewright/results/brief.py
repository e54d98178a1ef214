"""A result in a few lines: the table that a terminal and a notebook show."""

from __future__ import annotations

from dataclasses import dataclass
from html import escape

from sinewright.results.spread import Chance, Spread

WIDEST = 60  # characters of a cell in a terminal


@dataclass(frozen=True)
class Brief:
    """A title, the heads of the columns, rows of cells, and lines under the table."""

    title: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    notes: tuple[str, ...] = ()


def middle(spread: Spread | None, unit: str) -> str:
    """``-6 deg (-14 to 1)``: the middle and nine-tenths of the virtual legs, by the sign of the unit."""
    return f"{spread.p50:.0f} {unit} ({spread.p05:.0f} to {spread.p95:.0f})" if spread else "not computed"


def in_hundred(chance: Chance | None) -> str:
    """``84 in 100 (82 to 87)``: a share with the interval of its count."""
    if chance is None:
        return "not computed"
    return f"{100 * chance.share:.0f} in 100 ({100 * chance.low:.0f} to {100 * chance.high:.0f})"


def text_of(brief: Brief, caution: str) -> str:
    """A brief as plain text, columns by width."""
    table = [row for row in (brief.heads, *brief.rows) if row]
    columns = list(zip(*table, strict=True))
    wide = [*(min(WIDEST, max(map(len, column))) for column in columns[:-1]), 0] if table else []
    lines = ["  ".join(cell.ljust(size) for cell, size in zip(row, wide, strict=True)).rstrip() for row in table]
    return "\n".join([brief.title, *lines, *brief.notes, caution])


def html_of(brief: Brief, caution: str) -> str:
    """A brief as an HTML table; every cell is escaped."""
    heads = "".join(f"<th>{escape(cell)}</th>" for cell in brief.heads)
    rows = "".join(f"<tr>{''.join(f'<td>{escape(cell)}</td>' for cell in row)}</tr>" for row in brief.rows)
    notes = "".join(f"<p>{escape(note)}</p>" for note in (*brief.notes, caution))
    return f"<p><b>{escape(brief.title)}</b></p><table><tr>{heads}</tr>{rows}</table>{notes}"
