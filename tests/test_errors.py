"""Messages that a surgeon can act on, and one tree that a caller can catch."""

from __future__ import annotations

import pickle

import pytest

from sinewright.errors import (
    CaseFileError,
    DoubtError,
    InputError,
    SinewrightError,
    SolveError,
    SourceDataError,
)

EXAMPLES = [
    InputError("knee_deg", "200 deg", "-10 to 150 deg", "measure the knee again."),
    CaseFileError("case.toml", "no [patient] table", "add one", line=3),
    SourceDataError("axes.csv", 12, "no unit"),
    SolveError("no rest found"),
    DoubtError("4 draws left of 1000"),
]


def test_input_error_names_field_value_allowed_and_advice() -> None:
    expected = "knee_deg: given 200 deg, allowed -10 to 150 deg; measure the knee again."
    assert str(EXAMPLES[0]) == expected


def test_file_errors_name_the_line_only_when_known() -> None:
    assert str(EXAMPLES[1]) == "case.toml, line 3: no [patient] table; add one."
    assert str(CaseFileError("case.toml", "not found", "check the name")) == "case.toml: not found; check the name."
    assert str(EXAMPLES[2]) == "axes.csv, line 12: no unit."
    assert str(SourceDataError("choices.csv", 0, "no such topic")) == "choices.csv: no such topic."


@pytest.mark.parametrize("error", EXAMPLES, ids=lambda error: type(error).__name__)
def test_every_error_is_of_the_tree_and_survives_a_worker_process(error: SinewrightError) -> None:
    assert isinstance(error, SinewrightError)
    assert str(pickle.loads(pickle.dumps(error))) == str(error)


def test_exit_codes_tell_the_kinds_apart() -> None:
    assert [error.exit_code for error in EXAMPLES] == [2, 2, 3, 4, 5]
