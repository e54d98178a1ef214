"""Rules that hold for several operations, gathered so that each is said once."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from sinewright.results import Fired, Outcome

TITLE = "Findings that matter"
NO_RULE = "No rule applies"
SUITS_WORDS = {"yes": "suits", "unclear": "unclear", "no": "does not suit"}
Spoken = tuple[Fired, int]
"""A rule and for how many choices it spoke; 0 = about the patient, whatever is moved."""


def of_outcomes(outcomes: Iterable[Outcome]) -> list[Spoken]:
    """Each sentence once, with the number of choices it was said of, for choices that rules alone decide on."""
    return grouped(each.rules for each in outcomes if each.status != "set aside" or any(r.stops for r in each.rules))


def grouped(rules: Iterable[Sequence[Fired]]) -> list[Spoken]:
    """Rules of several operations: each sentence once with its count, blocks first."""
    found: dict[tuple[str, str], tuple[Fired, int]] = {}
    for fired in (each for several in rules for each in several):
        key = (fired.code, fired.text)
        found[key] = (fired, found[key][1] + 1 if key in found else 1)
    return sorted(found.values(), key=lambda each: each[0].kind != "block")
