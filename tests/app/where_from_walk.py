"""Walks a page as it is shown and finds the numbers that have no note in reach: same cell, row, caption or sentence."""

from __future__ import annotations

from typing import Any

WALK = """() => {
  // Not results: what one types into, buttons, links, labels, what is heard only, notes themselves, counts of a list.
  const not = "input, select, option, textarea, button, a, label, legend, output, .slider, .sr, .help, .note," +
    " .origins, summary, .waiting, .said, .history, .count, .ladder thead, script, style, [aria-hidden=true]," +
    " .who strong, footer, h1";
  const mark = "details.source-note, button.from, details.more > .origins, details.origins";
  const near = "p, li, td, th, h3, dt, dd, dl > div, .tile, .told, .usual, tr, .one-source, fieldset.group, .who";
  const bare = [];
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walker.nextNode()) {
    const node = walker.currentNode, at = node.parentElement;
    if (!/\\d/.test(node.data) || at.closest(not) || !at.getClientRects().length) continue;
    let place = at.closest(near), found = false;
    for (; place && !found; place = place.parentElement && place.parentElement.closest(near))
      found = !!place.querySelector(mark);
    const table = at.closest("caption") && at.closest("table");
    if (!found && !(table && table.querySelector(mark)))
      bare.push(at.tagName.toLowerCase() + "." + at.className + ": " + node.data.trim().slice(0, 90));
  }
  return bare;
}"""

COUNT = WALK.replace("if (!found && !(table", "if (true || !(table")


def numbers_without_note(page: Any) -> list[str]:
    """Every number of the page's content that nobody can follow back, with its element."""
    found: list[str] = page.evaluate(WALK)
    return found


def numbers_shown(page: Any) -> int:
    """How many pieces of text with numbers the walk looks at."""
    return len(page.evaluate(COUNT))
