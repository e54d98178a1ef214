"""The page for patients is measured by published formulas."""

from __future__ import annotations

import pytest

from sinewright.export.patient import patient_content, published_steps
from sinewright.export.planned import Planned
from sinewright.wording.language import words_in

from ..support.reading import GRADE_AT_12, grade

HARD = (
    "Rehabilitation after the operation necessitates considerable perseverance, and the education of the transferred "
    "muscle presupposes extraordinary determination and individual supervision."
)


def test_the_measure_is_that_of_the_formulas() -> None:
    """Flesch and Kincaid by hand: 6 words, 1 sentence, 6 syllables: 0.39 x 6 + 11.8 x 1 - 15.59."""
    assert grade("The cat sat on the mat.") == pytest.approx(0.39 * 6 + 11.8 - 15.59, abs=0.01)
    assert grade("The cat sat on the mat") == grade("The cat sat on the mat.")


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
