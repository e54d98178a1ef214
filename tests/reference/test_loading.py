"""The package's numbers load whole, fast and with their marks; a spoiled row is refused by file and line."""

from __future__ import annotations

import csv
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from sinewright.errors import SourceDataError
from sinewright.reference import Reference, load
from sinewright.reference.loading import DATA, NOT_ROWS

Build = Callable[..., Reference]


def test_every_row_of_every_file_is_loaded() -> None:
    written = 0
    for path in DATA.glob("*.csv"):
        with path.open(encoding="utf-8", newline="") as stream:
            written += 0 if path.name in NOT_ROWS else sum(1 for _ in csv.reader(stream)) - 1
    assert len(load()) == written > 2000


def test_every_source_prints_on_one_line() -> None:
    reference = load()
    citations = {reference.source(row.source).citation for row in reference.rows()}
    assert all(citation and "\n" not in citation for citation in citations)


def test_citation_of_a_paper() -> None:
    source = load().source("abuhijleh2007")
    assert source.citation == "Abu-Hijleh, Harris. 2007. Clin Anat 20:186. doi 10.1002/ca.20298"


def test_manal_2013_achilles_arm_keeps_sign_unit_spread_and_conditions() -> None:
    """Row ma-achilles-tc-rest-20df-manal2013: -34.6 (1.8) mm at 20 deg of dorsiflexion, n 10."""
    row = load().row("ma-achilles-tc-rest-20df-manal2013")
    assert (row.low, row.value, row.high, row.unit, row.sd, row.n) == (-34.6, -34.6, -34.6, "mm", 1.8, 10)
    assert row.conditions == {"axis": "talocrural", "ankle_deg": "20"}
    assert row.condition_number("ankle_deg") == 20.0
    assert (row.source, row.known, row.use, row.file) == ("manal2013", "read", "fit", "moment_arms.csv")


def test_file_and_line_point_at_the_row() -> None:
    row = load().row("ma-achilles-tc-rest-20df-manal2013")
    assert (DATA / row.file).read_text(encoding="utf-8").splitlines()[row.line - 1].startswith(row.id)


def test_rows_are_filtered_by_every_argument() -> None:
    rows = load().rows(file="moment_arms", quantity="moment-arm", structure="achilles", use="fit")
    assert len(rows) > 3
    assert {(row.file, row.quantity, row.structure, row.use) for row in rows} == {
        ("moment_arms.csv", "moment-arm", "achilles", "fit")
    }


def test_our_own_rows_say_that_they_are_assumptions() -> None:
    for row in load().rows(file="own_assumptions"):
        assert row.id.startswith("own-")
        if row.known == "recalled":  # the paper it is remembered from is named
            assert load().source(row.source).citation and row.source != "sinewright-judgement"
        else:
            assert row.source == "sinewright-judgement" and row.known in {"judged", "derived"}
    assert "Assumption" in load().source("sinewright-judgement").citation


def test_a_check_row_never_sets_a_parameter() -> None:
    reference = load()
    checks = reference.rows(use="check") + reference.rows(use="context")
    for row in checks:
        with pytest.raises(SourceDataError, match=f"{row.id} is marked {row.use}"):
            reference.fit_value(row.id)
    assert reference.fit_value("ma-achilles-tc-rest-20df-manal2013") == -34.6


def test_a_row_without_a_number_refuses_to_give_one(build: Build) -> None:
    row = build({"value": "", "unit": ""}).row("a-1")
    assert not row.has_number
    with pytest.raises(SourceDataError, match=r"arms\.csv, line 2: a-1 holds no number"):
        _ = row.value


def test_a_range_gives_ends_and_midpoint(build: Build) -> None:
    row = build({"value": "-57..-36"}).row("a-1")
    assert (row.low, row.value, row.high) == (-57.0, -46.5, -36.0)


def test_a_spread_from_low_to_high_gives_its_ends_and_any_other_refuses(build: Build) -> None:
    row = build({"spread": "0.5..1.05", "spread_kind": "range"}).row("a-1")
    assert row.spread_ends == (0.5, 1.05)
    with pytest.raises(SourceDataError, match="a-1 has no spread from low to high"):
        _ = build({"spread": "6", "spread_kind": "sd"}).row("a-1").spread_ends


@pytest.mark.parametrize(
    ("spoiled", "problem"),
    [
        ({"unit": ""}, "holds the number -48 without a unit"),
        ({"source": ""}, "has no source"),
        ({"source": "hearsay"}, "names the source hearsay"),
        ({"value": "about 5"}, "value 'about 5' is not a number"),
        ({"value": "5..2"}, "value '5..2' is not a number"),
        ({"value": "nan"}, "value 'nan' is not a number"),
        ({"value": "inf"}, "value 'inf' is not a number"),
        ({"spread": "some"}, "spread 'some' is not a number"),
        ({"spread_kind": "mad"}, "spread_kind='mad'"),
        ({"n": "ten"}, "n is 'ten'"),
        ({"known": "guessed"}, "known='guessed'"),
        ({"use": "tune"}, "use='tune'"),
        ({"source": "unkept", "use": "context"}, "called read, but nobody can look up its source unkept"),
        ({"source": "unkept", "known": "quoted"}, "set a parameter, but nobody can look up its source unkept"),
        ({"id": ""}, "without an id"),
        ({"note": "one,cell,too,many"}, "19 cells where 16 are needed"),
    ],
)
def test_a_spoiled_row_is_refused_by_file_and_line(build: Build, spoiled: dict[str, str], problem: str) -> None:
    with pytest.raises(SourceDataError) as caught:
        build({"id": "a-0"}, spoiled)
    assert (caught.value.file, caught.value.line) == ("arms.csv", 3)
    assert problem in str(caught.value)


def test_an_id_stands_once(build: Build) -> None:
    with pytest.raises(SourceDataError, match=r"arms\.csv, line 3: id a-1 stands already in arms\.csv, line 2"):
        build({}, {})


def test_other_columns_are_refused(build: Build, tmp_path: Path) -> None:
    build({})
    (tmp_path / "more.csv").write_text("id,value\nb-1,3\n", encoding="utf-8")
    with pytest.raises(SourceDataError, match=r"more\.csv, line 1: the columns must be"):
        Reference(tmp_path)


def test_a_source_stands_once_and_has_known_fields_only(build: Build, tmp_path: Path) -> None:
    build({})
    own = tmp_path / "own_sources.toml"
    own.write_text("[paper2001]\nyear = 2001\n", encoding="utf-8")
    with pytest.raises(SourceDataError, match="paper2001 stands already"):
        Reference(tmp_path)
    own.write_text("[paper2002]\nyaer = 2002\n", encoding="utf-8")
    with pytest.raises(SourceDataError, match="a field other than authors, year"):
        Reference(tmp_path)


@pytest.mark.parametrize("ask", [lambda r: r.row("x"), lambda r: r.source("x"), lambda r: r.fit_value("x")])
def test_asking_for_what_is_not_there_is_refused(ask: Any) -> None:
    with pytest.raises(SourceDataError, match="x"):
        ask(load())


def test_loading_is_quick_and_done_once() -> None:
    """Target 60 ms of processor time; the best of five, so that a busy machine does not decide."""
    times = []
    for _ in range(5):
        start = time.process_time()
        Reference(DATA)
        times.append(time.process_time() - start)
    assert min(times) < 0.060
    assert load() is load()
