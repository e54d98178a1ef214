"""The page that `sinewright protect` prints: loads, strength over the weeks, stages with their numbers, signs."""

from __future__ import annotations

from rich.text import Text

from sinewright.cli.parts import banner, bullets, heading, wrapped
from sinewright.cli.screen import GREEN, VERMILLION, Screen
from sinewright.cli.table_page import basis_lines
from sinewright.protect.tension import tension_sentence
from sinewright.results import Protection, StageLine
from sinewright.wording.directions import PULL, UP_DOWN
from sinewright.wording.known import KNOWN_WORDS

CAUTIONS = (
    "Not a medical device: a calculation to think with, not an instruction. You decide, after looking at the patient.",
    "Check the side above against the patient.",
    "Healing curves are assumptions and end at week 12; bench tests are of few specimens without living muscle.",
    "Pull-out was not seen under early motion in leprosy feet with tendon weaves in expert units: do not carry that "
    "over to screws, anchors, soft bone or heavy patients.",
)
GREEN_WORD, REFUSED = "keeps the margin", "MARGIN NOT KEPT"


def protect_lines(found: Protection, screen: Screen, basis: bool) -> list[Text]:
    """The whole page."""
    run = f"{found.draws} virtual legs, seed {found.seed}, the weeks after"
    lines = banner(found.side, found.pseudonym, run, screen)
    lines += wrapped(f"{found.choice.title}: {found.choice.subtitle}.", screen)
    lines += [*heading("What it says"), *bullets(found.sentences, screen)]
    lines += _junction(found, screen)
    lines += _carried(found, screen)
    lines += _stages(found, screen)
    if found.factors:
        lines += heading("Tightened for this patient")
        lines += bullets(
            (f"{each.what} times {each.by:.2f}: {each.reason} (assumption)" for each in found.factors), screen
        )
    lines += _signs(found, screen)
    lines += basis_lines(found.warnings, found.assumptions, found.sources, screen, basis)
    return [*lines, *heading("Cautions"), *bullets(CAUTIONS, screen)]


def _junction(found: Protection, screen: Screen) -> list[Text]:
    s = found.sewn
    told = f" ({s.told})" if s.told else ""
    first = (
        f"{s.title}{told}, {s.tests} tests: middle {s.middle_N:.0f} N, fifth percentile of the next one sewn "
        f"{s.p05_N:.0f} N, {s.specimens} specimens. {s.source}."
    )
    weeks = ", ".join(f"week {week.week:g} {week.p05_N:.0f} N" for week in found.weeks)
    tension = tension_sentence(found.tension)
    healing = f"Fifth percentile over the weeks: {weeks} (healing curve: assumption)."
    return [*heading("The junction"), *bullets((first[0].upper() + first[1:], healing, tension), screen)]


def _carried(found: Protection, screen: Screen) -> list[Text]:
    lines = heading("Pull on the junction: middle, and nine tenths of the virtual legs")
    for each in found.carried:
        lines += wrapped(f"{each.title}: {PULL.spread(each.load_N)}; {each.setup}", screen, first="  ", after="    ")
    degree = screen.spelled_degree
    told = (
        f"Hold at {UP_DOWN.exact(found.cast_deg, degree)}; stretch to "
        f"{UP_DOWN.exact(found.stretch_limit_deg, degree)}. As sewn, before settling."
    )
    return [*lines, *wrapped(told, screen, "dim")]


def _stages(found: Protection, screen: Screen) -> list[Text]:
    title = f"Stages, schedule {found.pace}: margin {found.margin:g} times, at most {100 * found.most_chance:g} of 100"
    lines = heading(f"{title} may give way")
    for line in found.lines:
        word = GREEN_WORD if line.green else REFUSED
        mark = "+" if line.green else "X"
        opening = Text.assemble(
            "  ", (f"{mark} {word}", f"bold {GREEN if line.green else VERMILLION}"), f"  {line.title}"
        )
        lines += [opening, *wrapped(_weeks(line), screen, first="      ", after="      ")]
        if line.reason:
            lines += wrapped(f"why not: {line.reason}.", screen, first="      ", after="        ")
        else:
            lines += wrapped(_numbers(line), screen, first="      ", after="        ")
        released = f"to be released by: {line.released_by}. Check first: {line.look_first}"
        lines += wrapped(released, screen, "dim", first="      ", after="        ")
    return lines


def _weeks(line: StageLine) -> str:
    healing = f"healing week {line.margin_week:g}" if line.margin_week is not None else "healing: not by week 12"
    low, high = line.published_low_week, line.published_high_week
    verb = "lasts" if line.key == "hold" else "published"
    when = "no week can be given" if line.week is None else f"not before week {line.week:.1f}"
    day = f", {line.on.isoformat()}" if line.on else ""
    return (
        f"{when}{day} (longer: {line.longer}); {healing}; {verb} {low:g} to {high:g} weeks; scheduled week "
        f"{line.scheduled_week:g}"
    )


def _numbers(line: StageLine) -> str:
    return (
        f"{line.activity}: fifth percentile of strength {line.strength_p05_N:.0f} N, middle load "
        f"{line.load_p50_N:.0f} N (up to {line.load_p95_N:.0f} N in 95 of 100): {line.ratio:.1f} times, "
        f"{line.needed:.1f} wanted; {100 * line.chance:.1f} of 100 would give way"
    )


def _signs(found: Protection, screen: Screen) -> list[Text]:
    lines: list[Text] = []
    for reader in ("patient", "therapist"):
        lines += heading(f"Watch for: {reader}")
        own = (sign for sign in found.signs if sign.reader == reader)
        lines += bullets((f"{sign.see} {sign.do} ({KNOWN_WORDS[sign.known]})" for sign in own), screen)
    return lines
