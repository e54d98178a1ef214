"""The first screen of `check`: what stands against it, the examination in words, what to measure; short everywhere."""

from __future__ import annotations

import json
import re
from pathlib import Path

import jsonschema
import pytest

from sinewright.case import Case, changed, parse_case, read_case
from sinewright.choose.checking import check
from sinewright.cli.answer_page import about_line
from sinewright.cli.check_page import check_lines
from sinewright.cli.screen import Screen
from sinewright.results import json_text

from .cli_streams import Stream

ROOT = Path(__file__).parents[2]
EXAMPLES = sorted((ROOT / "examples").glob("*.toml"))
HEAD = 'schema_version = 1\npseudonym = "quiet-otter-58"\nside = "left"\n'
# At 80 columns a sentence takes more lines; a window of 48 lines holds it.
MOST = {100: 39, 80: 46}  # `check` adds one line: that nothing was written


def page(case: Case, width: int = 100, *, full: bool = False) -> list[str]:
    screen = Screen(Stream(full), width, full=full)
    return [line.plain for line in check_lines(check(case), about_line(case), screen, everything=False)]


@pytest.mark.parametrize("width", [80, 100])
@pytest.mark.parametrize("full", [False, True])
@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_every_example_stands_on_one_screen(path: Path, width: int, full: bool) -> None:
    lines = page(read_case(path), width, full=full)
    assert len(lines) <= MOST[width]
    assert max(map(len, lines)) <= width


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_the_examination_stands_in_its_order_and_never_says_not_examined_beside_a_grade(path: Path) -> None:
    told = page(read_case(path))
    topics = [line.split()[0] for line in told if re.match(r"[A-Z][a-z]+ {2,}\S", line)]
    assert topics == [
        "Lesion", "Lifts", "Donors", "Ankle", "Calf", "Hindfoot", "Foot", "Bed", "Feeling", "Health", "Brace", "Wants",
    ]  # fmt: skip
    assert "not examined" not in " ".join(told)


def test_what_is_said_is_what_was_found() -> None:
    told = " ".join(" ".join(page(read_case(ROOT / "examples" / "stiff_calf.toml"))).split())
    for part in (
        "common peroneal lesion 66 months ago; no recovery for 60 months",
        "all four lifters MRC 0; active dorsiflexion to 38 deg down",
        "tibialis posterior MRC 5, 172 N (other leg 186)",
        "long peroneal and short peroneal MRC 0",
        "passive 8 deg down with the knee straight, 6 deg up bent (other leg 7 deg up, 16 deg up)",
        "subtalar joint stiff",
        "flexible varus; stands 6 deg varus; turns 34 deg inward and 10 deg outward",
        "both pulses felt",
    ):
        assert part in told


def test_what_stops_comes_first_and_the_rest_can_be_seen() -> None:
    case = changed(read_case(EXAMPLES[0]), {"foot.ulcer": "open", "history.infection": "active"})
    told = page(case)
    blocks = [place for place, line in enumerate(told) if line.startswith("X ")]
    assert len(blocks) >= 2
    assert max(blocks) < next(place for place, line in enumerate(told) if line.startswith("Lesion"))
    assert any(line.startswith("--all: ") for line in told)


def test_a_muscle_without_a_grade_is_said_to_be_missing() -> None:
    told = " ".join(page(parse_case(HEAD + '[muscles]\nperoneus_longus.grade = "5"\n')))
    assert "long peroneal MRC 5" in told
    assert "tibialis posterior not examined" in told
    assert "treat it as a patient" in told
    assert "Worth measuring" in told


def test_the_document_says_the_same() -> None:
    case = read_case(ROOT / "examples" / "borderline_donor.toml")
    document = json.loads(json_text(check(case)))
    jsonschema.validate(document, json.loads((ROOT / "docs" / "check.schema.json").read_text("utf-8")))
    codes = ["over_lengthening", "numb_sole", "diabetes_or_smoking", "blood_thinner"]  # calf short, sole reduced
    assert [each["code"] for each in document["dangers"]] == codes
    told = " ".join(" ".join(page(case, 120, full=True)).split())
    for line in document["examination"]:
        assert f"{line['topic']} {line['text']}" in told
