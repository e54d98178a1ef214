"""What is given must fit one operation only: another one would be another operation on the patient."""

from __future__ import annotations

import pytest

from sinewright.choose.find import find, is_number
from sinewright.errors import InputError
from sinewright.transfer.catalogue import catalogue

IDS = tuple(moved.id for moved in catalogue())
ID = "tibialis_posterior.membrane_over.lateral_cuneiform_dorsum"


@pytest.mark.parametrize("id", IDS)
def test_every_id_means_itself_even_where_it_begins_another(id: str) -> None:
    assert find(id, IDS) == id
    assert find(f"  {id.upper()} ", IDS) == id


@pytest.mark.parametrize(
    "given", ["membrane_over.lateral_cuneiform_dorsum", "Tibialis_Posterior.membrane_over.lateral_cuneiform_dorsum"]
)
def test_whole_words_that_fit_one_are_taken(given: str) -> None:
    assert find(given, tuple(id for id in IDS if "flexor" not in id)) == ID


@pytest.mark.parametrize(
    "given", ["tibialis_posterior", "membrane_over", "tibialis_posterior.lateral_cuneiform_dorsum"]
)
def test_words_that_fit_several_are_refused_with_what_they_fit(given: str) -> None:
    with pytest.raises(InputError, match="fit one only") as told:
        find(given, IDS)
    assert "write more words of one of these" in str(told.value)
    assert any(id in str(told.value) for id in IDS)


@pytest.mark.parametrize(
    "given",
    ["tibialis_posterior.membrane_ovre.lateral_cuneiform_dorsum", "zebra", "", "long_peroneal", "tibialis_p", ".", "+"],
)
def test_what_fits_none_is_refused_with_near_ids(given: str) -> None:
    with pytest.raises(InputError, match="an id that weigh prints") as told:
        find(given, IDS)
    assert any(id in str(told.value) for id in IDS)


@pytest.mark.parametrize(
    ("given", "number"), [("1", True), ("2b", True), ("12bb", True), ("0", False), ("b", False), ("1.b", False)]
)
def test_a_number_of_the_ladder_is_known_from_words(given: str, number: bool) -> None:
    assert is_number(given) is number


def test_the_nearest_id_is_offered_first() -> None:
    with pytest.raises(InputError) as told:
        find("tibialis_posterior.membrane_ovre.lateral_cuneiform_dorsum", IDS)
    assert str(told.value).split("near ones: ")[1].startswith(ID)
