"""How hard a text is to read, by published formulas, so that a page for patients can be measured instead of praised.

English: grade level of Flesch and Kincaid (Kincaid, Fishburne, Rogers and Chissom 1975). German: first Wiener
Sachtextformel (Bamberger and Vanecek 1984). Both give years of school; a child of 12 is in about the sixth year. The
constants were compared with two open implementations of the formulas, not with the papers.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

WORD = re.compile(r"[^\W\d_]+(?:['’-][^\W\d_]+)*")
SENTENCE_END = re.compile(r"[.!?:]+(?:\s|$)")
ENGLISH_VOWELS = re.compile(r"[aeiouy]+")
GERMAN_VOWELS = re.compile(r"[aeiouäöüy]+")
GRADE_AT_12 = 6.9  # the whole sixth year


@dataclass(frozen=True)
class Counted:
    """What the formulas count."""

    sentences: int
    words: int
    syllables: int
    three_syllables: int
    over_six_letters: int
    one_syllable: int


def count(text: str, language: str) -> Counted:
    """Counts a text; a line that ends without a full stop counts as a sentence. Raises ValueError without a word."""
    sentences = [part for line in text.splitlines() for part in SENTENCE_END.split(line) if WORD.search(part)]
    words = [word for part in sentences for word in WORD.findall(part)]
    if not words:
        raise ValueError("a text without a word has no reading level")
    beats = [syllables(word, language) for word in words]
    return Counted(
        len(sentences),
        len(words),
        sum(beats),
        three_syllables=sum(1 for beat in beats if beat >= 3),
        over_six_letters=sum(1 for word in words if len(word) > 6),
        one_syllable=sum(1 for beat in beats if beat == 1),
    )


def syllables(word: str, language: str) -> int:
    """Syllables of a word, by its groups of vowels; English drops a silent e at the end."""
    low = word.lower()
    if language == "de":
        return max(1, sum(_german_beats(group) for group in GERMAN_VOWELS.findall(low)))
    found = len(ENGLISH_VOWELS.findall(low))
    silent = low.endswith("e") and not low.endswith(("le", "ee", "ye")) and found > 1
    past = low.endswith("ed") and not low.endswith(("ted", "ded")) and found > 1
    plural = low.endswith("es") and not low.endswith(("ses", "zes", "ches", "shes", "xes", "ies")) and found > 1
    return max(1, found - int(silent or past or plural))


def _german_beats(group: str) -> int:
    joined = re.sub(r"ei|ie|au|äu|eu|ai|aa|ee|oo|ui", "a", group)
    return len(joined)


def grade(text: str, language: str = "en") -> float:
    """Years of school needed to read a text. Raises ValueError for a language without a formula.

    >>> round(grade("The cat sat on the mat."), 1)
    -1.4
    """
    c = count(text, language)
    per_sentence = c.words / c.sentences
    if language == "en":
        return 0.39 * per_sentence + 11.8 * c.syllables / c.words - 15.59
    if language == "de":
        share = 100.0 / c.words
        return (
            0.1935 * share * c.three_syllables
            + 0.1672 * per_sentence
            + 0.1297 * share * c.over_six_letters
            - 0.0327 * share * c.one_syllable
            - 0.875
        )
    raise ValueError(f"no reading formula for the language {language!r}: en and de are known")
