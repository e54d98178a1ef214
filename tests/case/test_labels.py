"""Every field has its words once, none is a key, and no help echoes its label."""

from __future__ import annotations

import re

from sinewright.case.labels import _TABLE, TRADE, help_text, key_of, label, path_in_words
from sinewright.case.muscles import MUSCLES
from sinewright.case.paths import all_fields, inner_section

PATHS = [path for path, field in all_fields() if inner_section(field) is None]


def words(text: str) -> set[str]:
    return set(re.findall(r"[a-z]+", text.lower()))


def test_every_field_has_a_label_and_every_label_a_field() -> None:
    keys = {key_of(path) for path in PATHS} | {"history.nerve_studies", "history.earlier_surgery"}
    assert keys - set(_TABLE) == set()
    assert {key for key in _TABLE if not key.startswith("finding.")} - keys == set()
    assert tuple(TRADE) == MUSCLES


def test_a_label_is_words_of_surgery_without_signs_and_units() -> None:
    for path in PATHS:
        said = path_in_words(path)
        assert "_" not in said, path
        assert not re.search(r"\b(deg|mm|Nm|limit down|counted positive|fixing)\b", said), (path, said)
        assert len(label(path)) <= 40, said


def test_a_help_says_more_than_its_label() -> None:
    for path in PATHS:
        said = help_text(path)
        assert "positive" not in said, path
        if said:
            assert words(said) - words(label(path)), (path, said)


def test_no_two_fields_that_stand_together_share_their_words() -> None:
    said = [path_in_words(path) for path in PATHS if key_of(path) == path]
    assert len(said) == len(set(said))
