"""iCalendar (RFC 5545): read back by the library, neutral, stable identifiers, SEQUENCE on change."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, timedelta

import pytest
from icalendar import Calendar

from sinewright.errors import InputError
from sinewright.protect.calendar import CalendarEvent, calendar_text, uid_of, visits
from sinewright.protect.protection import Wish, protection

from ..virtual_people import example
from .test_stages import DRAWS, STEM, TENDON, found

NOW = datetime(2026, 3, 1, 12, 0, tzinfo=UTC)
LATER = NOW + timedelta(days=3)


def events(text: str) -> dict[str, dict[str, object]]:
    out = {}
    for event in Calendar.from_ical(text).walk("VEVENT"):
        out[str(event["uid"])] = {
            "on": event.decoded("dtstart"),
            "end": event.decoded("dtend"),
            "sequence": int(event["sequence"]),
            "status": str(event["status"]),
            "stamp": event.decoded("dtstamp"),
            "title": str(event["summary"]),
        }
    return out


def test_dates_are_whole_days_in_crlf_lines_of_at_most_75_octets() -> None:
    text = calendar_text(visits(found()), None, NOW)
    assert "\r\n" in text and "\n" not in text.replace("\r\n", "")
    assert all(len(line.encode()) <= 75 for line in text.split("\r\n"))
    assert "DTSTART;VALUE=DATE:2026" in text
    for event in events(text).values():
        assert isinstance(event["on"], date) and not isinstance(event["on"], datetime)
        assert event["end"] == event["on"] + timedelta(days=1)  # type: ignore[operator]
        assert event["sequence"] == 0 and event["stamp"] == NOW


def unfolded(text: str) -> list[str]:
    """Content lines by the rule of RFC 5545, 3.1: a line break followed by one blank is taken out."""
    assert text.endswith("\r\n")
    return text.replace("\r\n ", "").split("\r\n")[:-1]


def test_the_grammar_of_rfc_5545_read_without_the_library_that_writes_it() -> None:
    """Folding (3.1), nesting (3.6), what an event must hold once (3.6.1), escaped text (3.3.11), whole days (3.3.4)."""
    text = calendar_text(visits(found()), None, NOW)
    assert "\r\n " in text, "the description is long enough to be folded"
    lines = unfolded(text)
    assert lines[0] == "BEGIN:VCALENDAR" and lines[-1] == "END:VCALENDAR"
    assert lines.count("VERSION:2.0") == 1 and sum(line.startswith("PRODID:") for line in lines) == 1
    starts = [i for i, line in enumerate(lines) if line == "BEGIN:VEVENT"]
    ends = [i for i, line in enumerate(lines) if line == "END:VEVENT"]
    assert len(starts) == len(ends) == len(visits(found())) > 0
    uids = set()
    for first, last in zip(starts, ends, strict=True):
        names = [re.split("[:;]", line, maxsplit=1)[0] for line in lines[first + 1 : last]]
        for name in ("UID", "DTSTAMP", "DTSTART", "DTEND", "SEQUENCE", "SUMMARY", "DESCRIPTION", "STATUS"):
            assert names.count(name) == 1, name
        held = dict(line.split(":", 1) for line in lines[first + 1 : last])
        assert re.fullmatch(r"\d{8}T\d{6}Z", held["DTSTAMP"]) and re.fullmatch(r"\d+", held["SEQUENCE"])
        days = [held[f"{name};VALUE=DATE"] for name in ("DTSTART", "DTEND")]
        assert all(re.fullmatch(r"\d{8}", day) for day in days) and days[0] < days[1]
        assert not re.search(r"(?<!\\)[;,]", held["DESCRIPTION"]), "commas and semicolons of a text are escaped"
        uids.add(held["UID"])
    assert len(uids) == len(starts)


def test_nothing_of_the_person_or_the_diagnosis_is_in_it() -> None:
    text = calendar_text(visits(found()), None, NOW).lower().replace("sinewright", "")
    for word in (
        "qv-02",
        "left",
        "right",
        "foot",
        "tendon",
        "drop",
        "peroneal",
        "weave",
        "operation",
        "cast",
        "transfer",
    ):
        assert word not in text, word
    assert "clinic visit 1" in text


def test_a_moved_operation_keeps_identifiers_and_raises_the_sequence_of_what_changed() -> None:
    first = calendar_text(visits(found()), None, NOW)
    same = calendar_text(visits(found()), first, LATER)
    assert events(same) == events(first), "nothing changed: nothing is touched, not even the stamp"
    wish = Wish("weave", operated_on=date(2026, 3, 12), planned_mm=4.0)
    moved = visits(protection(example(STEM), TENDON, wish, DRAWS, 1))
    second = events(calendar_text(moved, first, LATER))
    assert set(second) == set(events(first))
    for uid, event in second.items():
        assert event["sequence"] == 1 and event["stamp"] == LATER
        assert event["on"] == events(first)[uid]["on"] + timedelta(days=7)  # type: ignore[operator]


def test_what_vanishes_is_cancelled_once_and_can_come_back() -> None:
    a, b = (
        CalendarEvent("a@x.invalid", "Clinic visit 1", date(2026, 4, 1)),
        CalendarEvent("b@x.invalid", "Clinic visit 2", date(2026, 5, 1)),
    )
    first = calendar_text((a, b), None, NOW)
    second = calendar_text((a,), first, LATER)
    assert events(second)["b@x.invalid"]["status"] == "CANCELLED"
    assert events(second)["b@x.invalid"]["sequence"] == 1
    assert events(second)["a@x.invalid"]["sequence"] == 0
    third = calendar_text((a,), second, LATER + timedelta(days=1))
    assert events(third) == events(second)
    back = events(calendar_text((a, b), third, LATER + timedelta(days=2)))["b@x.invalid"]
    assert (back["status"], back["sequence"]) == ("TENTATIVE", 2)


def test_identifiers_part_stages_sides_and_episodes() -> None:
    one = uid_of(found(), "motion", 1)
    assert one == uid_of(found("anchor", "tibialis_posterior.membrane_under.lateral_cuneiform_dorsum"), "motion", 1)
    assert len({one, uid_of(found(), "gait", 1), uid_of(found(), "motion", 2)}) == 3


@pytest.mark.parametrize(
    "text", ["nonsense", "BEGIN:VCALENDAR\r\nPRODID:-//other//EN\r\nVERSION:2.0\r\nEND:VCALENDAR\r\n", ""]
)
def test_another_calendar_is_never_written_over(text: str) -> None:
    with pytest.raises(InputError, match="only a calendar of this program"):
        calendar_text((), text, NOW)


def test_without_an_operation_date_there_is_no_calendar() -> None:
    undated = protection(example(STEM), TENDON, Wish("weave", planned_mm=4.0), 120, 1)
    with pytest.raises(InputError, match="--operated-on"):
        visits(undated)
