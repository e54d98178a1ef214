"""The page for patients is measured by published formulas, and the counting by hand."""

from __future__ import annotations

import pytest

from sinewright.export.patient import patient_content, published_steps
from sinewright.export.planned import Planned
from sinewright.export.reading import GRADE_AT_12, count, grade, syllables
from sinewright.wording.language import words_in

HARD = (
    "Postoperative rehabilitation necessitates individualised immobilisation, and neuromuscular re-education of the "
    "transferred musculotendinous unit presupposes considerable perseverance."
)


@pytest.mark.parametrize(
    ("word", "language", "beats"),
    [
        ("cat", "en", 1), ("open", "en", 2), ("therapist", "en", 3), ("like", "en", 1), ("table", "en", 2),
        ("healed", "en", 1), ("operation", "en", 4), ("ambulance", "en", 3),
        ("Fuß", "de", 1), ("Muskel", "de", 2), ("Operation", "de", 5), ("Heilung", "de", 2), ("bewegen", "de", 3),
    ],
)  # fmt: skip
def test_syllables_are_counted_as_they_are_spoken(word: str, language: str, beats: int) -> None:
    assert syllables(word, language) == beats


def test_the_formula_of_flesch_and_kincaid_by_hand() -> None:
    """6 words, 1 sentence, 6 syllables: 0.39 x 6 + 11.8 x 1 - 15.59."""
    assert grade("The cat sat on the mat.") == pytest.approx(0.39 * 6 + 11.8 - 15.59)


def test_the_first_vienna_formula_by_hand() -> None:
    """5 words, 1 sentence, 1 word of three beats, 2 of more than six letters, 3 of one beat."""
    c = count("Der Muskeln hebt die Bewegungen.", "de")
    assert (c.words, c.sentences, c.three_syllables, c.over_six_letters, c.one_syllable) == (5, 1, 1, 2, 3)
    assert grade("Der Muskeln hebt die Bewegungen.", "de") == pytest.approx(
        0.1935 * 20 + 0.1672 * 5 + 0.1297 * 40 - 0.0327 * 60 - 0.875
    )


def told_to_patients(planned: Planned, language: str) -> str:
    content = patient_content(planned, words_in(language), False, "a4", (), None, published_steps())
    lines = [
        content["intro"],
        content["stages"]["intro"],
        content["decide"],
        *(row[0] for row in content["stages"]["rows"]),
    ]
    return "\n".join([*lines, *(item for block in content["blocks"] for item in block["items"])])


@pytest.mark.parametrize("language", ["en", "de"])
def test_a_child_of_twelve_can_read_the_patient_page(planned: Planned, language: str) -> None:
    assert grade(told_to_patients(planned, language), language) <= GRADE_AT_12


def test_the_measure_tells_hard_from_plain(right_foot: Planned) -> None:
    assert grade(HARD) > 15.0
    with pytest.raises(ValueError, match="no reading formula"):
        grade("bonjour", "fr")
    with pytest.raises(ValueError, match="without a word"):
        grade("123", "en")
