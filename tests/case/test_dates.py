"""Dates that no finding can have are refused where they are written."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from sinewright.case import FindingsError, case_from_tables, parse_case
from sinewright.case.dates import impossible_dates

HEAD = {"schema_version": 1, "pseudonym": "AB-1", "side": "right"}
TODAY = date(2026, 3, 4)


@pytest.mark.parametrize(
    ("when", "refused"),
    [(date(1899, 12, 31), True), (date(1900, 1, 1), False), (TODAY, False), (TODAY + timedelta(days=1), True)],
)
def test_from_1900_to_today(when: date, refused: bool) -> None:
    case = case_from_tables({**HEAD, "history": {"nerve_studies": [{"on": date(2025, 1, 1)}, {"on": when}]}})
    found = impossible_dates(case, TODAY)
    assert bool(found) == refused
    for problem in found:
        assert problem.field == "history.nerve_studies (entry 2).on"
        assert problem.given == str(when)
        assert "1900-01-01 to 2026-03-04" in problem.allowed


def test_the_date_of_a_single_finding_counts() -> None:
    leaf = {"value": 170.0, "on": date(2099, 1, 1)}
    case = case_from_tables({**HEAD, "person": {"height_cm": leaf}})
    assert [each.field for each in impossible_dates(case, TODAY)] == ["person.height_cm.on"]


def test_a_file_with_such_a_date_is_refused() -> None:
    head = 'schema_version = 1\npseudonym = "AB-1"\nside = "right"\n'
    with pytest.raises(FindingsError, match="examined_on: given 2999-01-01"):
        parse_case(head + "examined_on = 2999-01-01")
    with pytest.raises(FindingsError, match="allowed a date from 1900-01-01"):
        parse_case(head + "examined_on = 1800-01-01")
