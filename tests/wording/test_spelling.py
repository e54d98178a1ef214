"""Every word of the pages for patients is spelled as a person read it and a dictionary knows it.

``vocabulary`` holds the words that were held against a dictionary, with the terms of the trade read one by one. A word
that is new, or that a replacement has mangled, fails here until it has been read and added.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from sinewright.wording.language import OWN, words_in

VOCABULARY = Path(__file__).parent / "vocabulary"
WORD = re.compile(r"[^\W\d_]+(?:'[a-z]+)?")


def texts(value: Any) -> Iterator[str]:
    """Every text of a language, at any depth."""
    if isinstance(value, str):
        yield value
        return
    for inner in value.values() if isinstance(value, dict) else value:
        yield from texts(inner)


def misspelled(text: str, known: frozenset[str]) -> list[str]:
    """Words of a text that are not known; $names are no words."""
    return [word for word in WORD.findall(re.sub(r"\$\w+", " ", text)) if word.lower() not in known]


def vocabulary(language: str) -> frozenset[str]:
    return frozenset((VOCABULARY / f"{language}.txt").read_text("utf-8").split())


@pytest.mark.parametrize("language", OWN)
def test_every_word_is_one_that_was_read(language: str) -> None:
    known = vocabulary(language)
    assert not {word for text in texts(words_in(language).table) for word in misspelled(text, known)}


@pytest.mark.parametrize("language", OWN)
def test_no_word_is_kept_that_no_page_uses(language: str) -> None:
    used = {word.lower() for text in texts(words_in(language).table) for word in WORD.findall(text)}
    assert not vocabulary(language) - used


@pytest.mark.parametrize(
    ("language", "text", "wrong"),
    [
        ("en", "Some numbers in your retendon do not fit together.", ["retendon"]),
        ("en", "In $count of 100 the foot clears the flor.", ["flor"]),
        ("de", "Nehmen Sie den Gibs nicht selbst ab.", ["Gibs"]),
    ],
)
def test_a_mangled_word_is_seen(language: str, text: str, wrong: list[str]) -> None:
    assert misspelled(text, vocabulary(language)) == wrong


@pytest.mark.parametrize("language", OWN)
def test_no_word_stands_twice_and_no_space_is_loose(language: str) -> None:
    for text in texts(words_in(language).table):
        twice = re.search(r"\b(?!das das\b)(\w+) \1\b", text)  # "ein Mittel, das das Blut" is German
        assert not twice, text
        assert text == " ".join(text.split()) and " ," not in text and " ." not in text
