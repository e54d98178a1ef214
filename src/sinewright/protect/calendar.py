"""Dates of the stages as an iCalendar file (RFC 5545): neutral titles, no diagnosis, nothing of the person.

The identifier of an event depends on pseudonym, side, episode and stage alone, so that a moved operation moves its
events. When a file is written again, what changed goes up by one in SEQUENCE, what vanished is cancelled, and what
stayed keeps its stamp.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING

from sinewright.errors import InputError
from sinewright.results import Protection

if TYPE_CHECKING:
    from icalendar import Calendar, Event

PRODUCT = "-//Sinewright//dates//EN"
WORDS = "Nothing changes by date alone. Bring your page; you are told at the visit what comes next."


@dataclass(frozen=True)
class CalendarEvent:
    """One event: identifier, title, day."""

    uid: str
    title: str
    on: date


def visits(found: Protection, episode: int = 1) -> tuple[CalendarEvent, ...]:
    """The events of all stages with a date, in the order of the dates. Raises InputError without an operation date."""
    if found.operated_on is None:
        raise InputError(
            "--calendar", "no operation date", "a date with --operated-on", "give the operation date first"
        )
    dated = sorted(
        (line for line in found.lines if line.on is not None and line.key != "hold"), key=lambda x: x.on or 0
    )
    days = sorted({line.on for line in dated if line.on is not None})
    return tuple(
        CalendarEvent(uid_of(found, line.key, episode), f"Clinic visit {days.index(line.on) + 1}", line.on)
        for line in dated
        if line.on is not None
    )


def uid_of(found: Protection, key: str, episode: int) -> str:
    """Identifier of one stage's event: the same whenever it is written, and says nothing."""
    text = f"{found.pseudonym.lower()}\n{found.side}\n{episode}\n{key}"
    return f"{sha256(text.encode()).hexdigest()[:32]}@sinewright.invalid"


def calendar_text(wanted: tuple[CalendarEvent, ...], before: str | None, now: datetime) -> str:
    """The calendar as text, CRLF lines. ``before``: the file as it was, if there is one; ``now``: aware, in UTC.

    Raises InputError when ``before`` is not a calendar of this program.
    """
    from icalendar import Calendar

    old = _events(before) if before is not None else {}
    calendar = Calendar()
    calendar.add("prodid", PRODUCT)
    calendar.add("version", "2.0")
    calendar.add("method", "PUBLISH")
    for visit in wanted:
        calendar.add_component(_event(visit, old.pop(visit.uid, None), now))
    for gone in old.values():
        calendar.add_component(_cancelled(gone, now))
    text: str = calendar.to_ical().decode("utf-8")
    return text


def _events(text: str) -> dict[str, Event]:
    from icalendar import Calendar

    try:
        calendar: Calendar = Calendar.from_ical(text)
        ours = str(calendar.get("prodid")) == PRODUCT
    except ValueError:
        ours = False
    if not ours:
        advice = "name another file: only a calendar of this program is written again"
        raise InputError("--calendar", "a file that is something else", "a new file or our own calendar", advice)
    return {str(event["uid"]): event for event in calendar.events}


def _event(visit: CalendarEvent, old: Event | None, now: datetime) -> Event:
    from icalendar import Event

    same = old is not None and _same(visit, old)
    event = Event()
    event.add("uid", visit.uid)
    event.add("dtstamp", old.decoded("dtstamp") if old is not None and same else _stamp(now))
    event.add("sequence", 0 if old is None else int(old.get("sequence", 0)) + (0 if same else 1))
    event.add("summary", visit.title)
    event.add("description", WORDS)
    event.add("dtstart", visit.on)
    event.add("dtend", visit.on + timedelta(days=1))
    event.add("class", "PRIVATE")
    event.add("transp", "TRANSPARENT")
    event.add("status", "TENTATIVE")
    return event


def _same(visit: CalendarEvent, old: Event) -> bool:
    kept = (str(old.get("summary")), old.decoded("dtstart"), str(old.get("status")), str(old.get("description")))
    return kept == (visit.title, visit.on, "TENTATIVE", WORDS)


def _cancelled(old: Event, now: datetime) -> Event:
    """An event that is no longer wanted: kept, cancelled, one higher; one that was cancelled before stays."""
    if str(old.get("status")) == "CANCELLED":
        return old
    number = int(old.get("sequence", 0)) + 1
    for name in ("sequence", "status", "dtstamp"):
        old.pop(name, None)
    old.add("sequence", number)
    old.add("status", "CANCELLED")
    old.add("dtstamp", _stamp(now))
    return old


def _stamp(now: datetime) -> datetime:
    return now.astimezone(UTC).replace(microsecond=0)


def read_before(path: Path) -> str | None:
    """The calendar file as it stands, or None where there is none yet."""
    return path.read_text(encoding="utf-8") if path.exists() else None
