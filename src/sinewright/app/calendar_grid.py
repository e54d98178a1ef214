"""The stages on a calendar of months and weeks, as plain tables: one cell a day, a number where a stage begins."""

from __future__ import annotations

from calendar import Calendar
from collections.abc import Sequence
from datetime import date
from html import escape

from sinewright.app.frame import day
from sinewright.results import StageLine

MOST_MONTHS = 26
_DAYS = (("Mo", "Monday"), ("Tu", "Tuesday"), ("We", "Wednesday"), ("Th", "Thursday"), ("Fr", "Friday"),
         ("Sa", "Saturday"), ("Su", "Sunday"))  # fmt: skip


def months_between(first: date, last: date) -> list[tuple[int, int]]:
    """Year and month from the first day to the last, at most `MOST_MONTHS`."""
    count = (last.year - first.year) * 12 + last.month - first.month + 1
    places = [first.month - 1 + each for each in range(min(max(count, 1), MOST_MONTHS))]
    return [(first.year + place // 12, place % 12 + 1) for place in places]


def begun(lines: Sequence[StageLine], on: date) -> int:
    """How many stages may have begun by a day."""
    return sum(line.on is not None and line.on <= on for line in lines)


def calendar_markup(lines: Sequence[StageLine], operated_on: date) -> str:
    """The calendar as mark-up; stages are numbered in their order, a number leads to its stage."""
    dated = [line.on for line in lines if line.on is not None]
    last = max([operated_on, *dated])
    months = "".join(_month(year, month, lines, operated_on) for year, month in months_between(operated_on, last))
    return f'<div class="months">{months}</div>{_key()}'


def sentence(lines: Sequence[StageLine], operated_on: date) -> str:
    """The calendar in words."""
    dated = [f"{place} {line.title.lower()} {day(line.on)}" for place, line in enumerate(lines, 1) if line.on]
    return f"Operation {day(operated_on)}. Not before: {', '.join(dated)}. {undated(lines)}".strip()


def undated(lines: Sequence[StageLine]) -> str:
    """The stages that stand on no day, in words; empty when each has one."""
    left = [f"{place} {line.title.lower()}" for place, line in enumerate(lines, 1) if line.on is None]
    return f"No day can be given for: {', '.join(left)}." if left else ""


def _month(year: int, month: int, lines: Sequence[StageLine], operated_on: date) -> str:
    weeks = Calendar().monthdatescalendar(year, month)
    rows = "".join(_week(week, month, lines, operated_on) for week in weeks)
    heads = "".join(f'<th scope="col"><abbr title="{long}">{short}</abbr></th>' for short, long in _DAYS)
    title = f"{date(year, month, 1):%B %Y}"
    return (
        f'<table class="month"><caption>{title}</caption><thead><tr>'
        f'<th scope="col"><abbr title="whole weeks since the operation, on the first day of the row that follows it">'
        f"week</abbr></th>{heads}</tr></thead><tbody>{rows}</tbody></table>"
    )


def _week(week: Sequence[date], month: int, lines: Sequence[StageLine], operated_on: date) -> str:
    here = [each for each in week if each.month == month]
    since = (max(here[0], operated_on) - operated_on).days
    number = f"{since // 7}" if here[-1] >= operated_on else ""
    cells = "".join(_day(each, lines, operated_on) if each.month == month else "<td></td>" for each in week)
    return f'<tr><th scope="row">{number}</th>{cells}</tr>'


def _day(on: date, lines: Sequence[StageLine], operated_on: date) -> str:
    starts = [(place, line) for place, line in enumerate(lines, 1) if line.on == on]
    stage = begun(lines, on)
    classes = " ".join(
        filter(
            None,
            [
                "operation" if on == operated_on else "",
                f"stage-{stage % 2}" if stage else "",
                "starts" if starts else "",
            ],
        )
    )
    links = "".join(
        f'<a class="begins {"green" if line.green else "later"}" href="#stage-{escape(line.key)}" '
        f'aria-label="{escape(f"{day(on)}: {place} {line.title}, not before this day")}">'
        f"{place}{'' if line.green else '<span aria-hidden=true>▲</span>'}</a>"
        for place, line in starts
    )
    mark = '<span class="op">op</span>' if on == operated_on else ""
    return f'<td class="{classes}"><span class="date">{on.day}</span>{mark}{links}</td>'


def _key() -> str:
    return (
        '<p class="hint">A number is the first day on which a stage may be looked at for release. ▲: later than its '
        "schedule, or against the margin there. op: the operation. The shade changes with each stage.</p>"
    )
