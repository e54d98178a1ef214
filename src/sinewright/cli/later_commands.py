"""`sinewright table` and `sinewright protect`: on the table, and the weeks after."""

from __future__ import annotations

import sys
from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, TypeVar

import typer

from sinewright.cli.screen import progress_bar
from sinewright.options import CaseText, ChoiceText, Draws, JsonFile, Seed, StoreOption

if TYPE_CHECKING:
    from sinewright.case import Case
    from sinewright.learn.entries import TableReading
    from sinewright.learn.entry_file import Owner

Word = TypeVar("Word", bound=str)
Planned = Annotated[
    str | None,
    typer.Option(
        "--planned", metavar="MM", help="Set stretch of the plan, such as 6tighter; else the case's, else weigh's."
    ),
]
Basis = Annotated[bool, typer.Option("--sources", help="Print every assumption and source.")]


def table(
    case: CaseText,
    choice: ChoiceText,
    tendon_mm: Annotated[
        float | None,
        typer.Option("--tendon-mm", metavar="MM", help="Free tendon from the lowest muscle fibres to the cut."),
    ] = None,
    mark: Annotated[
        str | None,
        typer.Option("--mark", metavar="MM", help="Mark beyond its start point: 6tighter, 2slacker, unchanged."),
    ] = None,
    rest: Annotated[
        str | None, typer.Option("--rest", metavar="ANGLE", help="Resting angle: 11down, 4up or neutral.")
    ] = None,
    stimulated: Annotated[
        str | None,
        typer.Option("--stimulated", metavar="ANGLE", help="Angle with the donor stimulated: 8up, 3down, neutral."),
    ] = None,
    spring_n: Annotated[
        float | None,
        typer.Option("--spring-N", metavar="N", help="Spring scale at the tendon end at the mark, muscle relaxed."),
    ] = None,
    moved: Annotated[
        str | None,
        typer.Option("--moved", metavar="MM", help="The junction was set again: 4tighter or 3slacker. Enter it alone."),
    ] = None,
    knee_deg: Annotated[
        float | None,
        typer.Option("--knee-deg", metavar="DEG", help="Knee flexion of the angles; else the plan's while sewing."),
    ] = None,
    limb: Annotated[
        str, typer.Option("--limb", metavar="POSTURE", help="lying (on the back) or hanging (shank over the edge).")
    ] = "lying",
    entries: Annotated[
        Path | None,
        typer.Option("--entries", metavar="FILE.toml", help="Keeps every entry with its time; made when missing."),
    ] = None,
    undo: Annotated[bool, typer.Option("--undo", help="Take back the last entry of the file; it stays there.")] = False,
    planned: Planned = None,
    draws: Draws = 2000,
    seed: Seed = 1,
    json_file: JsonFile = None,
    store: StoreOption = None,
    sources: Basis = False,
) -> None:
    """Weigh what was measured on the table: final lift now, millimetres to the plan, what contradicts.

    Directions are words. Nothing is decided: the page says what each change would do.
    """
    from sinewright.cli.case_argument import case_from, operation_meant
    from sinewright.cli.table_page import table_lines
    from sinewright.files import check_target, write_whole

    read = case_from(case, store)
    target = check_target(json_file, keep=Path(case)) if json_file else None
    keep = check_target(entries, keep=Path(case), option="--entries") if entries else None
    given = _given(
        tendon_mm, mark, rest, stimulated=stimulated, spring_n=spring_n, moved=moved, knee_deg=knee_deg, limb=limb
    )
    planned_m = _planned(planned)
    choice = operation_meant(read, choice)
    known = _known(keep, read, choice, given, undo)
    from sinewright.learn.entry_file import entries_text
    from sinewright.learn.prepare import prepare
    from sinewright.learn.session import Session
    from sinewright.results import json_text

    with progress_bar("laying the table of this operation") as progress:
        prepared = prepare(read, choice, draws, seed=seed, planned=planned_m, progress=progress)
    answer = Session(prepared, known).answer()
    if keep and (given or undo):
        write_whole(keep, entries_text(_owner(read, choice), known), option="--entries")
    if target:
        write_whole(target, json_text(answer))
    _show(lambda screen: table_lines(answer, screen, sources))


def _given(
    tendon_mm: float | None, mark: str | None, rest: str | None, stimulated: str | None, spring_n: float | None,
    moved: str | None, knee_deg: float | None, limb: str,
) -> tuple[TableReading, ...]:  # fmt: skip
    """The entries typed on the command line, all at this moment."""
    from sinewright.errors import InputError
    from sinewright.learn.entries import LIMBS, TableReading, angle_from, stretch_from

    if limb not in LIMBS:
        raise InputError("--limb", f'"{limb}"', ", ".join(LIMBS), "say how the shank lay")
    now = datetime.now().replace(microsecond=0)
    out: list[TableReading] = []
    if tendon_mm is not None:
        out.append(TableReading("tendon", tendon_mm, now))
    if mark is not None:
        out.append(TableReading("mark", stretch_from("--mark", mark), now))
    if rest is not None:
        out.append(TableReading("rest", angle_from("--rest", rest), now, knee_deg, limb))
    if stimulated is not None:
        out.append(TableReading("stimulated", angle_from("--stimulated", stimulated), now, knee_deg, limb))
    if spring_n is not None:
        out.append(TableReading("spring", spring_n, now))
    if moved is not None and out:
        advice = "enter the change first, then what is read after it"
        raise InputError("--moved", moved, "alone, without readings in the same command", advice)
    if moved is not None:
        out.append(TableReading("moved", stretch_from("--moved", moved), now))
    if knee_deg is not None and rest is None and stimulated is None:
        raise InputError("--knee-deg", f"{knee_deg:g} deg", "only with --rest or --stimulated", "name the angle too")
    return tuple(out)


def _planned(planned: str | None) -> float | None:
    """Set stretch of the plan [m]."""
    if planned is None:
        return None
    from sinewright.learn.entries import stretch_from
    from sinewright.units import m

    return m(stretch_from("--planned", planned))


def _known(
    keep: Path | None, case: Case, choice: str, given: tuple[TableReading, ...], undo: bool
) -> tuple[TableReading, ...]:
    """Entries of the file, if there is one, with the new ones or without the last."""
    from dataclasses import replace

    from sinewright.errors import InputError
    from sinewright.learn.entries import take_back
    from sinewright.learn.entry_file import read_entries

    if undo and (given or keep is None):
        raise InputError("--undo", "with new entries or without a file", "alone with --entries", "undo first")
    old = read_entries(keep, _owner(case, choice)) if keep is not None and keep.exists() else ()
    if undo:
        return take_back(old, datetime.now().replace(microsecond=0))
    newest = max((entry.at for entry in old), default=datetime.min)
    later = newest + timedelta(seconds=1) if old else newest
    return (*old, *(replace(entry, at=max(entry.at, later)) for entry in given))  # what comes later is later


def _owner(case: Case, choice: str) -> Owner:
    from sinewright.learn.entry_file import Owner

    return Owner(case.pseudonym, case.side, choice)


def protect(
    case: CaseText,
    choice: ChoiceText,
    construct: Annotated[
        str,
        typer.Option(
            "--construct",
            metavar="NAME",
            help="weave, side_to_side_woven, side_to_side_simple, tunnel_sutured, tunnel_button, screw, "
            "screw_thin_tendon or anchor.",
        ),
    ],
    tests: Annotated[
        str, typer.Option("--tests", metavar="SET", help="Strength tests: usual or pessimistic.")
    ] = "usual",
    passes: Annotated[int | None, typer.Option("--passes", metavar="N", help="Passes of a weave; else three.")] = None,
    overlap_mm: Annotated[
        float | None, typer.Option("--overlap-mm", metavar="MM", help="Overlap of tendon with tendon.")
    ] = None,
    hold: Annotated[str, typer.Option("--hold", metavar="KIND", help="cast, boot or frame.")] = "cast",
    pace: Annotated[
        str, typer.Option("--pace", metavar="PACE", help="Schedule from published weeks: early, usual or late.")
    ] = "usual",
    week: Annotated[
        list[str] | None,
        typer.Option("--week", metavar="STAGE=W", help="Your own week of a stage, such as motion=3; may be repeated."),
    ] = None,
    margin: Annotated[
        float | None, typer.Option("--margin", metavar="X", help="Fifth percentile of strength over middle load.")
    ] = None,
    chance: Annotated[
        float | None, typer.Option("--chance", metavar="P", help="Highest chance of giving way that stays green.")
    ] = None,
    cast: Annotated[
        str | None,
        typer.Option("--cast", metavar="ANGLE", help="Ankle in the hold: 5up, 5down, neutral; else as sewn."),
    ] = None,
    stretch_limit: Annotated[
        str | None, typer.Option("--stretch-limit", metavar="ANGLE", help="How far down the therapist may bring it.")
    ] = None,
    operated_on: Annotated[
        datetime | None,
        typer.Option("--operated-on", metavar="DATE", formats=["%Y-%m-%d"], help="Date of the operation, 2026-03-05."),
    ] = None,
    calendar: Annotated[
        Path | None,
        typer.Option(
            "--calendar", metavar="FILE.ics", help="Write the dates as iCalendar: neutral titles, no diagnosis."
        ),
    ] = None,
    episode: Annotated[
        int, typer.Option("--episode", metavar="N", min=1, help="2 for a second operation of this leg: other events.")
    ] = 1,
    planned: Planned = None,
    draws: Draws = 1000,
    seed: Seed = 1,
    json_file: JsonFile = None,
    store: StoreOption = None,
    sources: Basis = False,
) -> None:
    """Compare the pull on the junction with its strength as it heals: stages, dates, signs to watch.

    A stage is released by a clinician who has looked, never by its date.
    """
    from sinewright.cli.case_argument import case_from, operation_meant
    from sinewright.cli.protect_page import protect_lines
    from sinewright.errors import InputError
    from sinewright.files import check_target, write_whole
    from sinewright.learn.entries import angle_from, stretch_from
    from sinewright.protect.constructs import TESTS
    from sinewright.protect.protection import Wish, protection
    from sinewright.protect.stages import HOLDS, PACES
    from sinewright.results import json_text

    read = case_from(case, store)
    target = check_target(json_file, keep=Path(case)) if json_file else None
    ics = check_target(calendar, keep=Path(case), option="--calendar") if calendar else None
    if ics and operated_on is None:
        raise InputError("--calendar", "no operation date", "a date with --operated-on", "give the operation date")
    wish = Wish(
        construct=construct,
        tests=_one_of("--tests", tests, TESTS),
        passes=passes,
        overlap_mm=overlap_mm,
        hold=_one_of("--hold", hold, HOLDS),
        pace=_one_of("--pace", pace, PACES),
        own_weeks=_own_weeks(week or []),
        margin=margin,
        chance=chance,
        cast_deg=None if cast is None else angle_from("--cast", cast),
        stretch_limit_deg=None if stretch_limit is None else angle_from("--stretch-limit", stretch_limit),
        operated_on=None if operated_on is None else operated_on.date(),
        planned_mm=None if planned is None else stretch_from("--planned", planned),
    )

    choice = operation_meant(read, choice)
    with progress_bar("loading the junction"):
        found = protection(read, choice, wish, draws, seed)
    if ics:
        _write_calendar(ics, found, episode)
    if target:
        write_whole(target, json_text(found))
    _show(lambda screen: protect_lines(found, screen, sources))


def _one_of(field: str, given: str, allowed: tuple[Word, ...]) -> Word:
    """The word of a list that was typed. Raises InputError for another one."""
    from sinewright.errors import InputError

    for word in allowed:
        if word == given:
            return word
    raise InputError(field, f'"{given}"', ", ".join(allowed), "write one of these words")


def _own_weeks(texts: list[str]) -> dict[str, float]:
    """``motion=3`` as a table. Raises InputError for anything else."""
    from sinewright.errors import InputError

    out: dict[str, float] = {}
    for text in texts:
        key, _, week = text.partition("=")
        try:
            out[key.strip()] = float(week)
        except ValueError:
            raise InputError("--week", f'"{text}"', "STAGE=WEEKS", "write for instance --week motion=3") from None
    return out


def _write_calendar(path: Path, found: Any, episode: int) -> None:
    from datetime import UTC

    from sinewright.files import write_whole
    from sinewright.protect.calendar import calendar_text, read_before, visits

    text = calendar_text(visits(found, episode), read_before(path), datetime.now(UTC))
    write_whole(path, text, option="--calendar")


def _show(page: Callable[[Any], list[Any]]) -> None:
    from sinewright.cli.screen import screen_for

    screen = screen_for(sys.stdout)
    screen.show(page(screen))
    sys.stdout.flush()
