"""One stage of the weeks after, with its numbers and where each comes from."""

from __future__ import annotations

from sinewright.app.elements import Say, box, markup, source_note
from sinewright.app.frame import day
from sinewright.app.where_from import legs, rows_note
from sinewright.protect.constructs import find_construct
from sinewright.protect.healing import curve_of
from sinewright.results import Protection, StageLine

WANTED = ("own-protect-margin", "own-protect-chance")


def show_line(found: Protection, place: int, line: StageLine) -> None:
    """One stage: when, what, its numbers, what stands against it, who releases it."""
    with box("li", "green" if line.green else "not-green", id=f"stage-{line.key}", tabindex="-1"):
        when = f"week {line.week:.3g}" if line.week is not None else "no week can be given"
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
    healing = "not by week 12" if line.margin_week is None else f"from week {line.margin_week:.2g}"
    span = f"{line.published_low_week:.2g} to {line.published_high_week:.2g} weeks"
    with box("div", "told hint"):
        Say(
            "span",
            f"Scheduled for week {line.scheduled_week:.2g}; the margin is kept {healing}. Waits for {line.longer}.",
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
        f"· {place} {line.title}: week {line.week:.3g}; {line.published_source}"
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
