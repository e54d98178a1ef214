"""The stages on a calendar of months and weeks, as plain tables: one cell a day, a number where a stage begins."""

from __future__ import annotations

from calendar import Calendar
from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from html import escape

from sinewright.app.elements import Say, box, markup, source_note
from sinewright.app.frame import day
from sinewright.app.where_from import legs, rows_note
from sinewright.protect.constructs import find_construct
from sinewright.protect.healing import curve_of
from sinewright.results import Protection, StageLine
from sinewright.wording.weeks import span_words, week_words

MOST_MONTHS = 26
_DAYS = (("Mo", "Monday"), ("Tu", "Tuesday"), ("We", "Wednesday"), ("Th", "Thursday"), ("Fr", "Friday"),
         ("Sa", "Saturday"), ("Su", "Sunday"))  # fmt: skip


def months_between(first: date, last: date) -> list[tuple[int, int]]:
    """Year and month from the first day to the last, at most `MOST_MONTHS`."""
    count = (last.year - first.year) * 12 + last.month - first.month + 1
    places = [first.month - 1 + each for each in range(min(max(count, 1), MOST_MONTHS))]
    return [(first.year + place // 12, place % 12 + 1) for place in places]


def by_date(found: Protection) -> Protection:
    """The same weeks with the stages in the order of their dates; those without a week last."""
    return replace(found, lines=tuple(sorted(found.lines, key=lambda line: (line.week is None, line.week or 0.0))))


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


WANTED = ("own-protect-margin", "own-protect-chance")


def show_line(found: Protection, place: int, line: StageLine) -> None:
    """One stage: when, what, its numbers, what stands against it, who releases it."""
    with box("li", "green" if line.green else "not-green", id=f"stage-{line.key}", tabindex="-1"):
        when = week_words(line.week) if line.week is not None else "no week can be given"
        with box("h3"):
            Say("span", f"{place}. {line.title}: {when}{f', {day(line.on)}' if line.on else ''} ")
            markup(source_note("computed", weeks_note(found), f"the week of {line.title}"), "span")
        Say("p", f"{line.what[:1].upper()}{line.what[1:]}.")
        _weeks(line)
        _numbers(found, line)
        if line.reason:
            with box("p", "watch"):
                Say("span", f"{line.reason[:1].upper()}{line.reason[1:]}. ")
                markup(source_note("computed", numbers_note(found, line), f"what stands against {line.title}"), "span")
        Say("p", f"To be released by: {line.released_by}. Check first: {line.look_first}.", "hint")


def _weeks(line: StageLine) -> None:
    healing = "not by week 12" if line.margin_week is None else f"from {week_words(line.margin_week)}"
    span = span_words(line.published_low_week, line.published_high_week)
    with box("div", "told hint"):
        Say(
            "span",
            f"Scheduled for {week_words(line.scheduled_week)}; the margin is kept {healing}. Waits for {line.longer}.",
        )
        markup(source_note(f"published {span}", line.published_source, line.title), tag="span")


def _numbers(found: Protection, line: StageLine) -> None:
    held = "Keeps the margin" if line.green else "Does not keep the margin"
    numbers = (
        f"{held}: {line.activity} pulls {line.load_p50_N:.0f} N in the middle leg, {line.load_p95_N:.0f} N in one of "
        f"twenty; the weakest twentieth of junctions holds {line.strength_p05_N:.0f} N, {line.ratio:.1f} times the "
        f"middle pull where {line.needed:.1f} are wanted; {100.0 * line.chance:.1f} of 100 would give way."
    )
    with box("div", "told hint"):
        Say("span", numbers)
        markup(source_note("computed", numbers_note(found, line), f"numbers of {line.title}"), tag="span")


def weeks_note(found: Protection) -> str:
    """Where the sentences above the stages come from: every stage weighed against its margin."""
    return "\n\n".join((
        "For each stage: the week of its schedule, or of your own, and the first week from which the weakest twentieth "
        f"of junctions holds the margin; the later of the two counts. {legs(found.draws, found.seed, found.rows)}",
        _sewn_note(found),
        rows_note("Wanted unless chosen otherwise:", WANTED),
    ))  # fmt: skip


def dates_note(found: Protection) -> str:
    """Where the days of the calendar come from."""
    on = day(found.operated_on) if found.operated_on else "not given"
    weeks = "\n".join(
        f"· {place} {line.title}: {week_words(line.week)}; {line.published_source}"
        for place, line in enumerate(found.lines, 1) if line.week is not None
    )  # fmt: skip
    return f"The date of the operation as given here ({on}) and the week of each stage, in whole days:\n{weeks}"


def _sewn_note(found: Protection) -> str:
    sewn = found.sewn
    tested = f"{sewn.tests} tests, {sewn.specimens} specimens; {sewn.told}. {sewn.source}"
    return f"Strength on the day: {sewn.title}, {tested}"


def numbers_note(found: Protection, line: StageLine) -> str:
    """Where the pull, the strength and the margin of a stage come from."""
    setup = next((each.setup for each in found.carried if each.title == line.activity), "")
    healing = curve_of(find_construct(found.sewn.construct).in_bone).rows
    return "\n\n".join((
        f"Pull: {line.activity} ({setup}). {legs(found.draws, found.seed, found.rows)}",
        _sewn_note(found),
        rows_note("Share of it as the junction heals:", healing),
        rows_note("Wanted unless chosen otherwise:", WANTED),
    ))  # fmt: skip
