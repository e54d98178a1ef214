"""One share, one interval: terminal, app, document, theatre, patient and consent print the same numbers for it."""

from __future__ import annotations

import pytest

from sinewright.app.ladder_rows import beside
from sinewright.cli.ladder import ladder_lines
from sinewright.cli.screen import Screen
from sinewright.export.consent import consent_page
from sinewright.export.patient import patient_page
from sinewright.export.planned import LIFTS, Planned, hundred_of
from sinewright.export.theatre import theatre_page
from sinewright.results.brief import in_hundred as briefly
from sinewright.results.document import plain
from sinewright.wording.counts import hundred, in_hundred
from sinewright.wording.standing import Worths

from ..cli.cli_streams import Stream
from .paper import words_of


def test_every_place_prints_the_same_interval_for_the_same_share(left_foot: Planned) -> None:
    weighing, outcome = left_foot.weighing, left_foot.outcome
    lift = outcome.chances["lifts_to_neutral"]
    middle, low, high = hundred(lift)
    kept_as = hundred_of(left_foot, LIFTS)
    assert kept_as is not None and kept_as.words == f"{middle} of 100 ({low} to {high})"
    assert f"{middle} of 100 ({low} to {high})" in words_of(theatre_page(left_foot)[0])
    for page in (patient_page, consent_page):
        told = words_of(page(left_foot)[0])
        assert f"{middle} of 100" in told and f"{low} to {high}" in told, page.__name__
    clears = in_hundred(outcome.chances["clears_swing"])
    assert briefly(outcome.chances["clears_swing"]) == clears
    assert clears in " ".join(cell for _, _, cells in beside([outcome], weighing) for cell in cells)
    screen = Screen(Stream(terminal=False), width=200, full=True)
    terminal = " ".join(line.plain for line in ladder_lines([outcome], screen, (-5.0, 5.0), Worths.of(weighing)))
    assert clears in " ".join(terminal.split())
    document = next(one for one in plain(weighing)["outcomes"] if one["choice"]["id"] == outcome.choice.id)
    for key, chance in outcome.chances.items():
        kept = document["chances"][key]
        assert [round(100 * kept[name]) for name in ("share", "low", "high")] == list(hundred(chance))
        assert kept["independent"] == pytest.approx(chance.independent, abs=0.1)


def test_the_interval_is_that_of_independent_legs(left_foot: Planned) -> None:
    """Fewer than were drawn, and no fewer than legs and pool allow."""
    basis = left_foot.weighing.basis
    assert basis is not None
    for outcome in left_foot.weighing.outcomes:
        for name, chance in outcome.chances.items():
            part = chance.draws / basis.legs
            assert chance.independent == pytest.approx(
                1.0 / (1.0 / chance.draws + 1.0 / (basis.effective_sample_size * part)), rel=1e-6
            ), name
