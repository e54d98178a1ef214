"""The note beside a number names what it is made of, what was found on this patient, and rows that exist."""

from __future__ import annotations

import pytest

from sinewright.app.where_from import BASES, MOST, legs, note_of, row_line, rows_note
from sinewright.case import read_case
from sinewright.reference import load
from sinewright.transfer.surgery import DONORS

from .app_browser import EXAMPLES

CASE = read_case(EXAMPLES / "stiff_calf.toml")


@pytest.mark.parametrize("key", BASES)
def test_every_row_that_a_note_names_exists_for_every_donor(key: str) -> None:
    for donor in DONORS:
        for row in BASES[key].rows:
            assert load().row(row.replace("{donor-}", donor.muscle.replace("_", "-")))


@pytest.mark.parametrize("key", BASES)
def test_a_note_says_how_it_is_made_and_names_each_row_with_its_source(key: str) -> None:
    note = note_of(key, CASE, ["tibialis_posterior"], legs(1000, 1))
    assert note.startswith(f"{BASES[key].what} Computed on 1000 virtual legs, seed 1.")
    for row in BASES[key].rows:
        id = row.replace("{donor-}", "tibialis-posterior")
        assert f"[{id}]" in note
        assert load().source(load().row(id).source).citation in note
    assert "{" not in note


def test_a_note_shows_what_was_found_on_this_patient_with_its_direction_as_a_word() -> None:
    note = note_of("rest_on_table_deg", CASE, ["tibialis_posterior"], "")
    assert "passive dorsiflexion, knee straight (leg to be operated on): 8° down (measured)" in note
    assert "(other leg)" not in note
    strong = note_of("moment_neutral_Nm", CASE, ["tibialis_posterior"], "")
    assert "tibialis posterior" in strong
    assert "long peroneal" not in strong
    assert note.count("\n· ") <= MOST + 1 + len(BASES["rest_on_table_deg"].rows)


def test_a_row_says_how_it_is_known() -> None:
    assert row_line("own-protect-margin").startswith("junction, safety factor: 1.5; assumption, our judgement; ")
    assert rows_note("Rows:", ["own-protect-margin"]).count("\n· ") == 1
