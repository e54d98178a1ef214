"""The pages as a reader meets them: side first, cautions there, sources when asked."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import pytest
from rich.text import Text

from sinewright.case import parse_case
from sinewright.choose.checking import check
from sinewright.cli.check_page import check_lines
from sinewright.cli.evidence_page import evidence_lines
from sinewright.cli.screen import Screen
from sinewright.cli.weigh_page import PrintedRows, weigh_lines
from sinewright.results import Agreement, CheckResult, EvidenceDocument, json_text

from .cli_streams import Stream
from .invented_weighing import WEIGHING

HEAD = 'schema_version = 1\npseudonym = "quiet-otter-58"\nside = "left"\n'


def page(lines: Sequence[Text]) -> str:
    return "\n".join(line.plain for line in lines)


def flat(lines: Sequence[Text]) -> str:
    return " ".join(page(lines).split())


def test_weigh_begins_with_the_side_and_ends_with_the_cautions(plain: Screen) -> None:
    told = page(weigh_lines(WEIGHING, plain, PrintedRows()))
    assert told.startswith("[ R  right foot ]  quiet-otter-58")
    other = page(weigh_lines(replace(WEIGHING, side="left"), plain, PrintedRows()))
    assert other.startswith("[ L  left foot ]")
    assert "Not a medical device" in told.split("Cautions")[-1]
    assert "The first and two others are as good within the doubt" in told


def test_warnings_carry_source_and_how_it_is_known(plain: Screen) -> None:
    told = flat(weigh_lines(WEIGHING, plain, PrintedRows()))
    assert "The calf is tight with the knee straight only: 5 deg down - lengthening is weighed." in told
    assert "quoted by another paper: Santic 1999, p. 3" in told
    assert "Scar keeps 20 to 60 % of the glide" in told


def test_sources_are_counted_and_printed_when_asked(plain: Screen) -> None:
    assert "2 sources and 1 assumed or remembered number; --sources prints them all." in flat(
        weigh_lines(WEIGHING, plain, PrintedRows())
    )
    assert "Klein P" in flat(weigh_lines(WEIGHING, plain, PrintedRows(basis=True)))


def test_what_is_not_printed_is_counted(plain: Screen) -> None:
    told = flat(weigh_lines(WEIGHING, plain, PrintedRows(top=1)))
    assert "Not printed: 3 more in the ladder; --all prints them." in told
    assert "Not printed" not in flat(weigh_lines(WEIGHING, plain, PrintedRows(top=None)))


def test_nothing_workable_is_said_and_not_drawn(plain: Screen) -> None:
    aside = tuple(each for each in WEIGHING.outcomes if each.status == "set aside")
    told = flat(weigh_lines(replace(WEIGHING, outcomes=aside), plain, PrintedRows()))
    assert "No choice is left to weigh" in told
    assert "31 mm short" in told
    assert "push-down" not in told


@pytest.mark.parametrize("width", [60, 80, 120])
def test_no_line_runs_over_the_edge(width: int) -> None:
    screen = Screen(Stream(False), width, full=False)
    for lines in (
        weigh_lines(WEIGHING, screen, PrintedRows(None, basis=True)),
        check_lines(check(parse_case(HEAD)), "", screen, everything=True),
    ):
        assert max(len(line.plain.rstrip()) for line in lines) <= width


def test_check_says_angles_in_words_and_how_each_is_known(plain: Screen) -> None:
    case = parse_case(
        HEAD + "invented = true\n[range.affected]\nresting_hanging_deg = -32\n"
        'dorsiflexion_knee_bent_deg = { value = 11.5, known = "estimated", by = "eye" }\n'
        "plantarflexion_limit_down_deg = 46\ninversion_limit_deg = 32\n"
        "[range.other]\neversion_limit_out_deg = 18\n"
        '[muscles.peroneus_longus]\nstate = "weak"\ngrade = "4-"\n'
    )
    told = flat(check_lines(check(case), "invented case", plain, everything=True))
    for part in (
        "[ L left foot ] quiet-otter-58 invented case",
        "Range, left foot (to be operated on)",
        "Range, right foot (the other one)",
        "resting angle, sitting 32 deg down measured",
        "passive dorsiflexion, knee bent 11.5 deg up estimated by eye",
        "passive plantarflexion 46 deg down",
        "passive inversion of the hindfoot 32 deg inward",
        "passive eversion of the hindfoot 18 deg outward",
        "long peroneal weak; MRC grade 4- (measured)",
        "Worth measuring: ",
    ):
        assert part in told
    assert "-32" not in told


def test_a_case_that_is_not_marked_invented_is_treated_as_a_patient(plain: Screen) -> None:
    assert "treat it as a patient" in flat(check_lines(check(parse_case(HEAD)), "", plain, everything=False))


@pytest.mark.parametrize(
    "path", sorted((Path(__file__).parents[2] / "examples").glob("*.toml")), ids=lambda path: path.stem
)
def test_examples_are_printed_in_words(path: Path, plain: Screen) -> None:
    told = page(check_lines(check(parse_case(path.read_text("utf-8"))), "", plain, everything=True))
    assert told.isascii()
    assert " -" not in told.replace("\n- ", "\n").replace(" - ", "")


def held(id: str, outcome: Agreement, reason: str = "") -> CheckResult:
    """An invented check."""
    return CheckResult(
        id, "the arm of the anterior tibial is 40 mm", "invented2001", "Invented B. 2001.", "ankle neutral", "40 mm",
        "31 mm", outcome, reason, ("ma-invented",), "read",
    )  # fmt: skip


def test_evidence_prints_misses_first_with_their_reason(plain: Screen) -> None:
    results = [
        held("b", "reproduced"),
        held("a", "outside", "the path was fitted to living people"),
        held("c", "within published spread", "spread 6 mm"),
    ]
    told = flat(evidence_lines(results, plain))
    assert "3 published claims" in told
    assert "X outside 1 ? cannot be checked 0 ~ within published spread 1 = reproduced 1" in told
    assert told.index("why: the path was fitted") < told.index("why: spread 6 mm")
    assert "set-up: ankle neutral" in told
    assert "(read in the source; a)" in told


def test_evidence_document_holds_every_check_as_found() -> None:
    checks = (held("a", "outside", "why not"), held("b", "reproduced"))
    document = json.loads(json_text(EvidenceDocument(version="0.1.0", checks=checks)))
    assert [each["outcome"] for each in document["checks"]] == ["outside", "reproduced"]
    assert document["checks"][0]["row_ids"] == ["ma-invented"]
    assert (document["side"], document["invented"]) == (None, None)
    with pytest.raises(ValueError, match="nearly"):
        held("c", "nearly")  # type: ignore[arg-type]


def test_check_prints_what_it_is_not_and_its_document_holds_every_entry(plain: Screen) -> None:
    found = check(parse_case(HEAD + "invented = true\n[range.affected]\nresting_hanging_deg = -32\n"))
    for everything in (False, True):
        assert "ot a medical device" in flat(check_lines(found, "", plain, everything))
    document = json.loads(json_text(found))
    assert (document["document"], document["side"], document["invented"]) == ("check", "left", True)
    assert {"range.affected.resting_hanging_deg": -32.0}.items() <= {
        each["path"]: each["value"] for each in document["entries"]
    }.items()


def test_colour_and_weight_end_where_their_word_ends(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TERM", "xterm-256color")
    monkeypatch.delenv("NO_COLOR", raising=False)
    stream = Stream(True)
    screen = Screen(stream, 100, full=True)
    screen.show(weigh_lines(WEIGHING, screen, PrintedRows()))
    told = stream.getvalue()
    assert " R  right foot \x1b[0m  \x1b[1mquiet-otter-58\x1b[0m  400 virtual" in told
    assert "\x1b[1m◆ Tibialis posterior, through the membrane\x1b[0m  lateral" in told
    assert "\x1b[38;5;166mdoubtful\x1b[0m: In 8" in told
