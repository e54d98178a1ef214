"""`sinewright table` and `sinewright protect` as typed: words for signs, whole files, pages that say what they must."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from pathlib import Path

import jsonschema
import pytest
from icalendar import Calendar

from sinewright.results import Protection, TableAnswer, schema_text

from ..virtual_people import EXAMPLES
from .cli_streams import Ran

Run = Callable[..., Ran]
BARE_SIGN = re.compile(r"(?<![\w.])-\d")
CASE = EXAMPLES["knee_dislocation_common_peroneal"]
CHOICE = "tibialis_posterior.membrane_under.lateral_cuneiform_dorsum"
TABLE = ("table", CASE, "--choice", CHOICE, "--draws", "150", "--planned", "6tighter")
PROTECT = ("protect", CASE, "--choice", CHOICE, "--draws", "150", "--planned", "4tighter")


def flat(text: str) -> str:
    return " ".join(text.split())


def test_table_answers_keeps_every_entry_and_takes_back(run: Run, tmp_path: Path) -> None:
    kept, document = tmp_path / "entries.toml", tmp_path / "out.json"
    first = run(*TABLE, "--mark", "5tighter", "--rest", "12down", "--knee-deg", "30", "--entries", kept)
    assert (first.code, first.err) == (0, "")
    told = flat(first.out)
    assert told.startswith("[ L left foot ] QV-02")
    for part in (
        "set stretch 6 mm tighter",
        "resting angle 12 deg down, leg lying, knee 30 deg bent",
        "Final lift expected as it is now, with the junction settled",
        "after early relaxation, which loses no millimetre",
        "To rest on the table as planned",
        "the result stays within",
        "Effective number",
        "Not a medical device",
        "Check the side above against the leg on the table",
    ):
        assert part in told
    assert not BARE_SIGN.search(first.out)
    second = run(*TABLE, "--moved", "4tighter", "--entries", kept, "--json", document)
    assert second.code == 0
    found = json.loads(document.read_text("utf-8"))
    jsonschema.validate(found, json.loads(schema_text(TableAnswer)))
    assert [each["counts"] for each in found["entries"]] == [True, True, True]
    assert kept.read_text("utf-8").count("[[entry]]") == 3
    undone = run(*TABLE, "--undo", "--entries", kept)
    assert "junction set again 4 mm tighter; taken back" in flat(undone.out)
    assert kept.read_text("utf-8").count("taken_back = ") == 1


def test_table_says_what_contradicts_and_lists_explanations(run: Run) -> None:
    told = flat(run(*TABLE, "--mark", "6tighter", "--rest", "21up", "--knee-deg", "30").out)
    assert "contradicts the rest. Possible explanations:" in told
    assert "[look] Wrong side or wrong patient" in told
    assert "The direction was mixed up: 21 deg down is meant." in told
    assert "No number is given" in told


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        (("--rest", "11"), "--rest"),
        (("--rest=-11",), "--rest"),
        (("--mark", "5"), "--mark"),
        (("--mark", "5up"), "--mark"),
        (("--stimulated", "4tighter"), "--stimulated"),
        (("--planned", "4"), "--planned"),
        (("--moved", "3tighter", "--mark", "2tighter"), "--moved"),
        (("--knee-deg", "30"), "--knee-deg"),
        (("--rest", "4up", "--limb", "sitting"), "--limb"),
        (("--undo",), "--undo"),
        (("--spring-N", "900"), "spring"),
        (("--tendon-mm", "12"), "tendon"),
    ],
)
def test_ambiguous_or_impossible_input_is_one_message_and_exit_2(run: Run, typed: tuple[str, ...], told: str) -> None:
    found = run("table", CASE, "--choice", CHOICE, *typed)
    assert (found.code, found.out) == (2, "")
    assert found.err.startswith(f"sinewright: {told}")
    assert "allowed" in found.err and found.err.count("\n") == 1


def test_an_unknown_choice_and_anothers_entries_are_refused(run: Run, tmp_path: Path) -> None:
    assert run("table", CASE, "--choice", "nothing").code == 2
    kept = tmp_path / "entries.toml"
    kept.write_text('pseudonym = "QV-03"\nside = "left"\nchoice = "x"\n', "utf-8")
    found = run(*TABLE, "--entries", kept)
    assert found.code == 2 and "belong to another patient" in found.err


def test_protect_prints_numbers_dates_signs_and_writes_whole_files(run: Run, tmp_path: Path) -> None:
    ics, document = tmp_path / "dates.ics", tmp_path / "out.json"
    more = ("--construct", "anchor", "--pace", "early", "--operated-on", "2026-03-05", "--json", document)
    found = run(*PROTECT, *more, "--calendar", ics)
    assert (found.code, found.err) == (0, "")
    told = flat(found.out)
    for part in (
        "[ L left foot ] QV-02",
        "The margin is not kept for:",
        "X MARGIN NOT KEPT First active motion",
        "fifth percentile of the next one sewn",
        "rep-split-ta-anchor-load-nunezpereira2009",
        "Tension of the relaxed donor in the posture of fixing: set, read at once",
        "settled, once the junction has crept by",
        "published 0.7 to 8 weeks; scheduled week 0.7",
        "to be released by: surgeon and therapist. Check first:",
        "Watch for: patient",
        "Watch for: therapist",
        "A stage is released by a clinician who has looked, never by its date.",
        "Not a medical device",
    ):
        assert part in told, part
    assert not BARE_SIGN.search(found.out)
    result = json.loads(document.read_text("utf-8"))
    jsonschema.validate(result, json.loads(schema_text(Protection)))
    assert result["green"] is False
    assert Calendar.from_ical(ics.read_text("utf-8")).get("prodid").startswith("-//Sinewright")


def test_a_strong_weave_gets_green_lines_with_dates(run: Run, tmp_path: Path) -> None:
    ics = tmp_path / "dates.ics"
    choice = "tibialis_posterior.membrane_under.anterior_tibial_below"
    found = run(
        "protect", CASE, "--choice", choice, "--draws", "150", "--planned", "4tighter", "--construct", "weave",
        "--operated-on", "2026-03-05", "--calendar", ics, "--week", "motion=3",
    )  # fmt: skip
    told = flat(found.out)
    assert "+ keeps the margin First active motion" in told
    assert "not before week 3.0, 2026-03-26" in told
    before = ics.read_bytes()
    assert b"\r\n" in before and b"20260326" in before


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        (("--construct", "glue"), "--construct"),
        (("--construct", "weave", "--tests", "kind"), "--tests"),
        (("--construct", "weave", "--pace", "fast"), "--pace"),
        (("--construct", "weave", "--hold", "sock"), "--hold"),
        (("--construct", "weave", "--week", "motion"), "--week"),
        (("--construct", "weave", "--week", "dance=3"), "--week"),
        (("--construct", "weave", "--cast", "5"), "--cast"),
        (
            (
                "--construct",
                "weave",
                "--stretch-limit=-10",
            ),
            "--stretch-limit",
        ),
        (("--construct", "weave", "--calendar", "x.ics"), "--calendar"),
        (("--construct", "screw", "--passes", "3"), "--passes"),
    ],
)
def test_what_protect_refuses(run: Run, typed: tuple[str, ...], told: str) -> None:
    found = run("protect", CASE, "--choice", CHOICE, *typed)
    assert (found.code, found.out) == (2, "")
    assert found.err.startswith(f"sinewright: {told}")
    assert not Path("x.ics").exists()


def test_a_foreign_calendar_is_left_alone(run: Run, tmp_path: Path) -> None:
    ics = tmp_path / "mine.ics"
    ics.write_text("BEGIN:VCALENDAR\r\nPRODID:-//other//EN\r\nVERSION:2.0\r\nEND:VCALENDAR\r\n", "utf-8", newline="")
    before = ics.read_bytes()
    found = run(*PROTECT, "--construct", "screw", "--operated-on", "2026-03-05", "--calendar", ics)
    assert found.code == 2 and "--calendar" in found.err
    assert ics.read_bytes() == before
