"""How hard a text is to read, in years of school: Flesch and Kincaid in English, the first Wiener formula in German."""

from __future__ import annotations

import re

import textstat

GRADE_AT_12 = 6.9  # the whole sixth year
FORMULA_OF_VIENNA = 1


def grade(text: str, language: str = "en") -> float:
    """Years of school; a line without an end counts as a sentence.

    Raises ValueError for a language without a formula and for a text without a word.
    """
    # The dictionary of syllables knows no digits, which are read in a moment anyway.
    words = [re.sub(r"\S*[\d$°]\S*", "", line).strip() for line in text.splitlines()]
    lines = [line for line in words if any(sign.isalpha() for sign in line)]
    if not lines:
        raise ValueError("a text without a word has no reading level")
    whole = " ".join(line if line[-1] in ".!?" else f"{line}." for line in lines)
    measure = textstat.textstat
    measure.set_lang(language)
    if language == "en":
        return float(measure.flesch_kincaid_grade(whole))
    if language == "de":
        return float(measure.wiener_sachtextformel(whole, FORMULA_OF_VIENNA))
    raise ValueError(f"no reading formula for the language {language!r}: en and de are known")
