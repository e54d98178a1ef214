"""Numbers of a drawing in words: an angle is up or down, a stretch past or short of rest; no bare sign is printed."""

from __future__ import annotations

from sinewright.results import Spread
from sinewright.transfer.surgery import Recipient


def angle_words(degrees: float) -> str:
    """``10° up``, ``8° down``, ``at neutral``."""
    whole = f"{abs(degrees):.0f}"
    return "at neutral" if whole == "0" else f"{whole}° {'up' if degrees > 0 else 'down'}"


def range_words(spread: Spread) -> str:
    """Nine-tenths of an angle: ``18° to 6° down``, ``4° down to 5° up``."""
    low, high = angle_words(spread.p05), angle_words(spread.p95)
    first, last = low.split("° "), high.split("° ")
    if len(first) == len(last) == 2 and first[1] == last[1]:
        return f"{first[0]}° to {high}"
    return f"{low.replace('at neutral', 'neutral')} to {high.replace('at neutral', 'neutral')}"


def stretch_words(millimetres: float) -> str:
    """``4 mm past its own rest``, ``2 mm short of its own rest``, ``at its own rest``."""
    whole = f"{abs(millimetres):.0f}"
    if whole == "0":
        return "at its own rest"
    return f"{whole} mm {'past' if millimetres > 0 else 'short of'} its own rest"


def recipient_words(recipient: Recipient) -> tuple[str, ...]:
    """The bone of each strand in words."""
    if len(recipient.tails) == 1:
        return (recipient.title,)
    return tuple(tail.split(">")[-1].strip().replace("_dorsum", "").replace("_", " ") for tail in recipient.tails)
