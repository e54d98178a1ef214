"""The page that `sinewright table` prints: what was entered, what it says now, what a change would do, cautions."""

from __future__ import annotations

from collections.abc import Iterable

from rich.text import Text

from sinewright.cli.parts import banner, bullets, heading, warning_lines, wrapped
from sinewright.cli.screen import VERMILLION, Screen
from sinewright.results import Caution, ExpectedAngles, Spread, TableAnswer, Told
from sinewright.wording.counts import plural
from sinewright.wording.directions import BENT, CHANGE, PULL, STRETCH, UP_DOWN

CAUTIONS = (
    "Not a medical device: a calculation to set beside eye and hand; not an instruction. You decide.",
    "Check the side above against the leg on the table.",
    "Deflate the thigh tourniquet and ask about muscle relaxant before you judge tension: both change lengths "
    "(textbook value, no source checked).",
    "Over-stretching is the classic error of setting by feel: passive feel rises only at great length.",
    "Not validated on patients; the reading errors are assumptions.",
)
FITS = {True: "fits", False: "does not fit", None: "look"}


def table_lines(answer: TableAnswer, screen: Screen, basis: bool) -> list[Text]:
    """The whole page."""
    run = f"{answer.speaking.draws} virtual legs, seed {answer.seed}, on the table"
    lines = banner(answer.side, answer.pseudonym, run, screen)
    lines += wrapped(f"{answer.choice.title}: {answer.choice.subtitle}.", screen)
    fix = answer.choice.fixing
    sewn = (
        f"Planned: sewn with the ankle {UP_DOWN.one(fix.ankle_deg, screen.spelled_degree)}, knee "
        f"{BENT.one(fix.knee_deg)}, set stretch {STRETCH.exact(answer.planned_mm)}."
    )
    lines += wrapped(sewn, screen, "dim")
    lines += _entries(answer.entries, screen)
    if answer.sentences:
        lines += [*heading("What it says"), *bullets(answer.sentences, screen)]
    lines += _expected(answer, screen)
    lines += _shifts(answer, screen)
    lines += _speaking(answer, screen)
    lines += basis_lines(answer.warnings, answer.assumptions, answer.sources, screen, basis)
    return [*lines, *heading("Cautions"), *bullets(CAUTIONS, screen)]


def _entries(entries: Iterable[Told], screen: Screen) -> list[Text]:
    lines = heading("Entered")
    told = list(entries)
    if not told:
        return [*lines, Text("  nothing yet: this is the plan")]
    for each in told:
        state = "" if each.counts else "; taken back"
        other = f"; the others led to {each.expected}" if each.expected else ""
        lines += wrapped(f"{each.at.replace('T', ' ')}  {each.words}{other}{state}", screen, first="  ", after="    ")
        if each.contradicts:
            opening, *rest = wrapped("contradicts the rest. Possible explanations:", screen, first="  ! ", after="    ")
            opening.stylize(f"bold {VERMILLION}", 2, 3)
            lines += [opening, *rest]
            for why in each.explanations:
                lines += wrapped(f"[{FITS[why.fits]}] {why.text}", screen, first="    ", after="      ")
    return lines


def _expected(answer: TableAnswer, screen: Screen) -> list[Text]:
    columns = [("as planned", answer.plan), ("as it is now", answer.now)]
    if answer.without is not None:
        columns.append(("without what contradicts", answer.without))
    lines = heading("Expected: middle, and nine tenths of the virtual legs")
    for name, found in columns:
        if found is None:
            lines += wrapped(f"{name}: no number is given", screen, first="  ", after="    ")
            continue
        lines += wrapped(f"{name}: {'; '.join(_said(found, screen))}", screen, first="  ", after="    ")
    return lines


def _said(found: ExpectedAngles, screen: Screen) -> Iterable[str]:
    def angle(name: str, spread: Spread) -> str:
        return f"{name} {UP_DOWN.spread(spread)}"

    stretch = found.set_stretch_mm
    yield f"set stretch {STRETCH.spread(stretch)}"
    yield angle("rest on the table", found.rest_on_table_deg)
    yield angle("final lift", found.lift_deg)
    yield angle("rest later", found.rest_later_deg)
    yield angle("push-down later", found.pushdown_deg)
    pull, tension = found.junction_pull_N, found.tension
    yield f"pull on the junction in lift {PULL.spread(pull)}"
    yield (
        f"tension at the mark {tension.at_once_N.p50:.0f} N at once, {tension.after_relaxation_N.p50:.0f} N after "
        f"early relaxation, {tension.settled_N.p50:.0f} N settled"
    )


def _shifts(answer: TableAnswer, screen: Screen) -> list[Text]:
    if not answer.shifts:
        return []
    lines = heading("If the junction were set again now: middle leg")
    degree = screen.spelled_degree
    for shift in answer.shifts:
        if abs(shift.by_mm) not in (0.0, 2.0, 4.0, 8.0, 12.0):
            continue
        way = "as it is" if shift.by_mm == 0.0 else CHANGE.one(shift.by_mm)
        told = (
            f"{way:<14} rest on the table {UP_DOWN.one(shift.rest_on_table_deg, degree)}, lift "
            f"{UP_DOWN.one(shift.lift_deg, degree)}, push-down {UP_DOWN.one(shift.pushdown_deg, degree)}"
        )
        lines += wrapped(told, screen, first="  ", after="    ")
    return lines


def _speaking(answer: TableAnswer, screen: Screen) -> list[Text]:
    s = answer.speaking
    how = f"resampled to {s.different} different legs, each copy drawn anew" if s.resampled else "not resampled"
    return [
        Text(),
        *wrapped(f"Effective number {s.effective_sample_size:.0f} of {s.draws} virtual legs; {how}.", screen, "dim"),
    ]


def basis_lines(
    warnings: tuple[Caution, ...], assumptions: tuple[str, ...], sources: tuple[str, ...], screen: Screen, basis: bool
) -> list[Text]:
    """Warnings, then every assumption and source or how many there are."""
    lines: list[Text] = []
    if warnings:
        lines += [*heading(plural(len(warnings), "warning")), *warning_lines(warnings, screen)]
    assumed, cited = plural(len(assumptions), "assumed or remembered number"), plural(len(sources), "source")
    if basis:
        return [*lines, *heading(assumed), *bullets(assumptions, screen), *heading(cited), *bullets(sources, screen)]
    return [*lines, *heading("Basis"), *wrapped(f"{cited} and {assumed}; --sources prints them all.", screen)]
