"""The list of checks: every one runs, names its rows, keeps away from fitted rows, and gives a reason when outside."""

from collections import Counter
from pathlib import Path

import pytest

from docs_evidence import evidence_page
from sinewright.anatomy.skeleton import geometry_rows
from sinewright.evidence import CHECKS, CheckResult, Residual
from sinewright.evidence.result import BEST_KNOWN_FIRST
from sinewright.reference import load

DOCS = Path(__file__).parents[2] / "docs" / "evidence.md"
NO_REASON = "no reason is known"
# A guard against changes nobody noticed, not a pass mark: what lies outside today, by name. A model that gets better
# shortens this list; one that gets worse must say so here.
OUTSIDE = {
    "achilles-arm-fath2010-te",
    "achilles-arm-hashizume2012-3d",
    "achilles-arm-kawakami2001",
    "achilles-arm-maganaris2000-achilles-mvc",
    "achilles-arm-rosager2002",
    "achilles-arm-rugg1990",
    "achilles-lengthening-cadaver10",
    "achilles-lengthening-hastings2000",
    "active-range-down-boone1979",
    "angle-10nm-healthy-chung2004",
    "angle-12nm-moseley2001",
    "anterior-tibial-series-stretch",
    "area-over-dorsiflexors",
    "arm-trends-four-bar",
    "calf-on-rising-limb",
    "calf-series-elasticity-hof1998",
    "creep-4-mm",
    "curve-active-thelen2003",
    "five-pass-weave-fails-in-tendon",
    "healing-in-bone-sheep",
    "insertion-sweep-subtalar-axis",
    "knee-coupling-japma2003",
    "passive-gain-after-transfer-dreher2014",
    "passive-load-of-transfer",
    "pull-out-early-motion",
    "push-after-transfer-cho2017",
    "range-down-soucie2011",
    "range-up-soucie2011",
    "recession-herzenberg2007",
    "recession-messerschmidt2018",
    "recession-phisitkul2014",
    "relative-strength-silver1985",
    "rest-on-table-leprosy",
    "rom-dorsiflexion-passive-roaas1982",
    "rom-eversion-passive-roaas1982",
    "rom-inversion-passive-roaas1982",
    "rom-plantarflexion-passive-roaas1982",
    "route-order",
    "series-german19982005-active-plantarflexion",
    "series-german19982005-total-active-arc",
    "series-hmpc2012-active-dorsiflexion",
    "series-jkoa1975-arc-25",
    "series-pooled-active-dorsiflexion-supple",
    "series-shah2009-active-dorsiflexion",
    "side-to-side-against-weave",
    "soleus-fibre-in-walking",
    "soleus-fibre-per-cm",
    "split-anterior-tibial",
    "split-moved-tibialis-posterior",
    "split-tibialis-posterior",
    "strength-8-weeks-after-achilles-lengthening",
    "strength-calf-over-donors",
    "strength-six-to-one",
    "swing-moment-bajelan2024",
    "tendon-strain-at-full-force",
    "tibialis-posterior-excursion-share",
    "tibialis-posterior-free-length",
    "toe-clearance-brace-cruz2009",
    "toe-clearance-dip-schulz2011",
    "torque-10df-healthy-chung2004",
    "torque-curve-df-women",
    "torque-curve-pf-men",
    "torque-curve-pf-women",
    "torque-df-15-over-20-and-30",
    "torque-df-peak-angle",
    "torque-dorsiflexion-dafonseca2025",
    "torque-eversion-dafonseca2025",
    "torque-inversion-dafonseca2025",
    "torque-pf-best-angle",
    "torque-pf-women-fuglmeyer1980",
    "torque-turning-peaks-tankevicius2013",
    "torque-turning-shape-hagen2015",
    "torque-women-share-sepic1986",
    "turning-arc-at-4nm-schwarz2011",
    "turning-round-tibia",
    "volume-order-jeng2012",
}


def test_there_are_at_least_thirty_answered_checks(results: tuple[CheckResult, ...]) -> None:
    answered = [r for r in results if r.outcome != "cannot be checked"]
    assert len(answered) >= 30
    assert len(results) == len(CHECKS)


def test_ids_are_unique(results: tuple[CheckResult, ...]) -> None:
    assert [id for id, n in Counter(r.id for r in results).items() if n > 1] == []


@pytest.mark.parametrize("check", CHECKS, ids=lambda c: c.id)
def test_rows_exist_and_none_that_may_be_fitted_holds_a_claim(check) -> None:  # type: ignore[no-untyped-def]
    fitted = {line["row"] for line in geometry_rows("fit_targets")}
    assert check.rows
    for id in check.rows:
        assert load().row(id).use in ("check", "context"), id
        assert id not in fitted
    for id in check.by:
        load().row(id)
    assert len(set(check.rows)) == len(check.rows)


def test_every_result_can_be_printed_with_its_source(results: tuple[CheckResult, ...]) -> None:
    for r in results:
        assert r.claim and r.expected_text and r.found_text and r.citation, r.id
        assert load().source(r.source_key).citation in r.citation
        assert "nan" not in r.found_text and "inf" not in r.found_text.split(), r.id
        assert r.setup, r.id


def test_known_is_that_of_the_least_known_row(results: tuple[CheckResult, ...]) -> None:
    for check, r in zip(CHECKS, results, strict=True):
        known = [load().row(id).known for id in check.rows]
        assert r.known == max(known, key=BEST_KNOWN_FIRST.index)


def test_what_is_outside_or_not_answered_says_why(results: tuple[CheckResult, ...]) -> None:
    for r in results:
        told = r.outcome in ("outside", "cannot be checked")
        assert bool(r.reason) == told, r.id
        assert NO_REASON not in r.reason, f"{r.id} fell outside: find out why, then say so in the check"


def test_the_checks_that_lie_outside_are_the_known_ones(results: tuple[CheckResult, ...]) -> None:
    found = {r.id for r in results if r.outcome == "outside"}
    assert found - OUTSIDE == set(), "newly outside"
    assert OUTSIDE - found == set(), "no longer outside: take it off the list"


def test_fitted_rows_stand_apart_as_residuals(
    results: tuple[CheckResult, ...], residuals: tuple[Residual, ...]
) -> None:
    fitted = {line["row"] for line in geometry_rows("fit_targets")}
    shown = {r.row for r in residuals}
    assert fitted <= shown
    assert all(load().row(id).use == "fit" for id in shown)
    assert all(abs(r.found_mm - r.printed_mm) < 10.0 for r in residuals)  # a slip of sign or unit, not a pass mark


def test_the_printed_page_is_not_stale(results: tuple[CheckResult, ...], residuals: tuple[Residual, ...]) -> None:
    written = evidence_page(results, residuals)
    assert DOCS.read_text("utf-8") == written, "run: python tools/docs.py"
