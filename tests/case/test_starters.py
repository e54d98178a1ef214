"""A starter fills only what was not entered, says what, and each muscle is then known as its picture says."""

from __future__ import annotations

import pytest

from sinewright.case import FRONT, Case, changed, findings_missing, parse_case, state_of
from sinewright.case.starters import EVERTORS, LEG, STARTERS, Starter, filled, filled_words

EMPTY = parse_case('schema_version = 1\npseudonym = "AB-1"\nside = "right"\n')


@pytest.mark.parametrize("starter", STARTERS, ids=lambda starter: starter.title)
def test_an_empty_leg_is_filled_and_estimated(starter: Starter) -> None:
    edits = filled(EMPTY, starter)
    case = changed(EMPTY, edits)
    for name in LEG:
        expected = "absent" if name in starter.absent else "paralysed" if name in starter.paralysed else "normal"
        assert state_of(case.muscles[name]) == expected
        grade = case.muscles[name].grade
        assert grade is None or grade.known == "estimated"
    assert case.history.cause == ((starter.cause,) if starter.cause else ())
    assert "as estimated." in filled_words(edits)
    assert filled(case, starter) == {}
    assert not [each for each in findings_missing(case) if "not examined" in each.why]


def test_the_pictures_are_those_of_the_nerves() -> None:
    gone = {one.title: set(one.paralysed) | set(one.absent) for one in STARTERS}
    assert gone["All normal"] == set()
    assert gone["Deep branch gone"] == gone["Front compartment lost"] == set(FRONT)
    assert gone["Common peroneal gone"] == {*FRONT, *EVERTORS}


def test_nothing_that_was_entered_is_touched() -> None:
    entered: Case = changed(
        EMPTY,
        {"muscles.tibialis_anterior.grade": "3", "muscles.soleus.note": "sore", "history.cause": ("disc",)},
    )
    edits = filled(entered, STARTERS[2])
    assert not [path for path in edits if "tibialis_anterior" in path or "soleus" in path or path == "history.cause"]
    assert changed(entered, edits).muscles.tibialis_anterior == entered.muscles.tibialis_anterior
