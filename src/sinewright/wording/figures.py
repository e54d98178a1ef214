"""Numbers of the reference as sentences say them: none is typed again, so that a changed row changes the words too."""

from __future__ import annotations

from sinewright.reference import load
from sinewright.results import Standing
from sinewright.wording.counts import share_word
from sinewright.wording.directions import BENT, angle_words

TOLD_APART = "own-told-apart"  # share of the virtual legs that must prefer one operation
RULER_KEPT = "own-ruler-kept"  # share of the best lifting moment inside the recommended interval
MARK_KNEE = "own-fixing-knee"  # knee angle that set stretch counts from [deg]


def told_apart() -> float:
    """Share of the virtual legs, 0 to 1, from which one operation is told apart from another."""
    return load().fit_value(TOLD_APART)


def is_tied(standing: Standing) -> bool:
    """Whether a choice is too close to the first to call; an older document tells only how many prefer the first."""
    return standing.first_better < told_apart() if standing.tied is None else standing.tied


def told_apart_words() -> str:
    """``four fifths of the virtual legs``."""
    return f"{share_word(told_apart())} of the virtual legs"


def kept_words() -> str:
    """What the recommended interval keeps: ``four fifths of the best lifting moment``."""
    return f"{share_word(load().fit_value(RULER_KEPT))} of the best lifting moment"


def mark_posture() -> str:
    """The posture in which the mark is made: ``muscle relaxed, ankle neutral, knee 30° bent``."""
    return f"muscle relaxed, ankle {angle_words(0.0)}, knee {BENT.one(load().fit_value(MARK_KNEE))}"
