"""A translation is complete or refused, and its text is text."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

import pytest

from sinewright.errors import InputError
from sinewright.export.patient import patient_page
from sinewright.export.planned import Planned
from sinewright.wording.language import OWN, differences, words_in

from .paper import words_of

ENGLISH = (files("sinewright.wording") / "languages" / "en.toml").read_text("utf-8")


@pytest.mark.parametrize("language", OWN)
def test_every_language_of_the_package_is_complete(language: str) -> None:
    assert differences(words_in("en").table, words_in(language).table) == []


def test_a_translation_of_ones_own_is_used(right_foot: Planned, tmp_path: Path) -> None:
    path = tmp_path / "plain.toml"
    path.write_text(ENGLISH.replace('Your team decides"', 'The team chooses"'), "utf-8")
    assert "The team chooses" in words_of(patient_page(right_foot, str(path))[0])


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('call = "Phone, written in by your team:"\n', "", "call is missing"),
        ("[stage]", 'more = "x"\n\n[stage]', "more is unknown"),
        ("$count of 100", "some of 100", "must hold"),
        ("code =", "code ==", "TOML"),
    ],
)
def test_an_incomplete_translation_is_refused(tmp_path: Path, old: str, new: str, said: str) -> None:
    path = tmp_path / "bad.toml"
    path.write_text(ENGLISH.replace(old, new, 1), "utf-8")
    with pytest.raises(InputError, match=said):
        words_in(str(path))


def test_an_unknown_language_is_refused() -> None:
    with pytest.raises(InputError, match="en, de"):
        words_in("xx")
