"""Weeks after the operation in words that a calendar knows: whole weeks, half weeks, else days."""

from __future__ import annotations


def week_words(week: float) -> str:
    """``week 6``, ``week 4\u00bd``, ``day 30``; never a decimal of a week."""
    halves = round(2.0 * week)
    if abs(2.0 * week - halves) > 0.02:
        return f"day {round(7.0 * week)}"
    return f"week {halves // 2 or ''}{chr(0xBD) if halves % 2 else ''}" if halves else "day 0"


def span_words(low: float, high: float) -> str:
    """``6 to 8 weeks``, ``30 to 42 days``: both ends in the same unit."""
    first, last = week_words(low), week_words(high)
    if first.startswith("week") and last.startswith("week"):
        return f"{first.removeprefix('week ')} to {last.removeprefix('week ')} weeks"
    return f"{round(7.0 * low)} to {round(7.0 * high)} days"
