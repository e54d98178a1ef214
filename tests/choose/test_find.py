"""An abbreviation must fit one operation only: another one would be another operation on the patient."""

from __future__ import annotations

import pytest

from sinewright.choose.find import find
from sinewright.errors import InputError
from sinewright.transfer.catalogue import catalogue

IDS = tuple(moved.id for moved in catalogue())
ID = "tibialis_posterior.membrane_over.lateral_cuneiform_dorsum"


@pytest.mark.parametrize("id", IDS)
def test_every_id_means_itself_even_where_it_begins_another(id: str) -> None:
    assert find(id, IDS) == id
    assert find(f"  {id.upper()} ", IDS) == id


@pytest.mark.parametrize("given", ["tibialis_p.membrane_o.lateral", "tibialis_posterior.membrane_over.lateral_c"])
def test_an_abbreviation_that_fits_one_is_taken(given: str) -> None:
    assert find(given, IDS) == ID


@pytest.mark.parametrize("given", ["tibialis_posterior", "tibialis_p.membrane.lateral", "membrane_over"])
def test_one_that_fits_several_is_refused_with_what_it_fits(given: str) -> None:
    with pytest.raises(InputError, match="fits one only") as told:
        find(given, IDS)
    assert "write more of one of these" in str(told.value)
    assert any(id in str(told.value) for id in IDS)


@pytest.mark.parametrize("given", ["tibialis_posterior.membrane_ovre.lateral_cuneiform_dorsum", "zebra", ""])
def test_what_fits_none_is_refused_with_near_ids(given: str) -> None:
    with pytest.raises(InputError, match="an id that weigh prints") as told:
        find(given, IDS)
    assert any(id in str(told.value) for id in IDS)


def test_the_nearest_id_is_offered_first() -> None:
    with pytest.raises(InputError) as told:
        find("tibialis_posterior.membrane_ovre.lateral_cuneiform_dorsum", IDS)
    assert str(told.value).split("near ones: ")[1].startswith(ID)
