"""An empty case is not weighed: it says what is needed first, on every way to a weighing."""

from __future__ import annotations

import pytest

import sinewright
from sinewright.case import changed, parse_case
from sinewright.case.needed import needed_first, nothing_examined, refuse_empty
from sinewright.choose.checking import check
from sinewright.errors import InputError

EMPTY = parse_case('schema_version = 1\npseudonym = "AB-1"\nside = "right"\n[person]\nage_years = 40\n')


def test_an_empty_case_is_refused_with_what_is_needed_first() -> None:
    with pytest.raises(InputError) as refused:
        sinewright.weigh(EMPTY)
    for part in ("cause of the drop foot", "MRC grade of the lifters", "tibialis posterior", "knee straight", "bent"):
        assert part in refused.value.advice


def test_what_is_known_is_not_asked_for_and_one_graded_muscle_is_enough() -> None:
    case = changed(EMPTY, {"history.cause": ("disc",), "range.affected.dorsiflexion_knee_bent_deg": 4.0})
    assert len(needed_first(case)) == len(needed_first(EMPTY)) - 2
    assert nothing_examined(case)
    graded = changed(case, {"muscles.tibialis_posterior.grade": "5"})
    refuse_empty(graded)
    assert check(graded).needed_first == ()
    assert check(case).needed_first == needed_first(case)
