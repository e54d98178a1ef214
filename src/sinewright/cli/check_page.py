"""The page that `sinewright check` prints: what the case says, what is odd, what is worth measuring."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from itertools import groupby

from rich.text import Text

from sinewright.case.labels import TRADE, label, path_in_words
from sinewright.case.said import said
from sinewright.cli.parts import banner, bullets, heading, rules_lines, warning_lines, wrapped
from sinewright.cli.screen import VERMILLION, Screen
from sinewright.results import CAUTION, CaseEntry, Checked, Side
from sinewright.wording.counts import plural

TOP_ASKED, TOP_RULES, TOPIC_WIDTH = 4, 3, 10
LABEL_WIDTH, VALUE_WIDTH = 38, 22
_IN_BANNER = {"schema_version", "pseudonym", "invented", "side"}
BRIEF_CAUTION = (
    "Not a medical device and not a decision. Check the side against the patient; local rules and the judgement of "
    "licensed practice come first."
)


def check_lines(found: Checked, about: str, screen: Screen, everything: bool) -> list[Text]:
    """The first screen, at most 40 lines at 100 columns, or with `everything` every entry, rule and question.

    Parameters
    ----------
    found : Checked
        What the case holds.
    about : str
        Who it is about, in one line.
    screen : Screen
        Where it is printed.
    everything : bool
        Print all there is.
    """
    if everything:
        return _everything(found, about, screen)
    lines = banner(found.side, found.pseudonym, _who(found, about), screen)
    lines += _against(found, screen)
    for each in found.examination:
        lines += wrapped(each.text, screen, first=f"{each.topic:<{TOPIC_WIDTH}}", after=" " * TOPIC_WIDTH)
    lines += [Text(), *_worth_measuring(found, screen), *wrapped(_more(found), screen, "dim")]
    return [*lines, *wrapped(BRIEF_CAUTION, screen, "dim")]


def _who(found: Checked, about: str) -> str:
    """Who it is about; a case that is not marked as invented is a patient."""
    patient = "" if found.invented else "not marked as invented: treat it as a patient"
    return " · ".join(part for part in (patient, about) if part)


def _against(found: Checked, screen: Screen) -> list[Text]:
    """What stands against an operation, what contradicts itself, what can hurt; then what speaks beside it."""
    lines: list[Text] = []
    for rule in (rule for rule in found.rules if rule.stops):
        lines += _marked("X", rule.text, screen)
    told = "     ".join(f"! {danger.word}: {danger.advice}" for danger in found.dangers)
    lines += [Text(line.plain, VERMILLION) for line in wrapped(told, screen, first=" ", after=" ")]
    for warning in found.warnings:
        lines += _marked("!", warning.text, screen)
    for spoken in found.operation_rules:
        if spoken.rule.stops:
            why = label(f"plan.overrides.{spoken.rule.code}")
            lines += _marked("X", f"{why}: rules out {plural(spoken.operations, 'operation')}", screen)
    said = {danger.code for danger in found.dangers} | {rule.code for rule in found.rules if rule.stops}
    others = [rule for rule in found.rules if rule.code not in said]
    for rule in others[:TOP_RULES]:
        lines += wrapped(rule.text, screen, first=f"{screen.marks.bullet} ", after="  ")
    if found.needed_first:
        lines += wrapped(f"Needed first, before it is weighed: {'; '.join(found.needed_first)}.", screen, "bold")
    if not lines:
        return [Text("Nothing contradicts itself and nothing stands against an operation."), Text()]
    return [*lines, Text()]


def _marked(mark: str, text: str, screen: Screen) -> list[Text]:
    opening, *rest = wrapped(text, screen, first=f"{mark} ", after="  ")
    opening.stylize(f"bold {VERMILLION}", 0, 1)
    return [opening, *rest]


def _worth_measuring(found: Checked, screen: Screen) -> list[Text]:
    if not found.missing:
        return [Text("No entry that the calculation needs is missing.")]
    lines = [Text("Worth measuring, the most useful first", "bold")]
    lines += bullets((f"{path_in_words(each.field)}: {each.why}" for each in found.missing[:TOP_ASKED]), screen)
    return lines


def _more(found: Checked) -> str:
    """How to see the rest, and how much there is."""
    rest = len(found.missing) - TOP_ASKED
    asked = f", {rest} more to measure" if rest > 0 else ""
    rules = len(found.rules) + len(found.operation_rules)
    return f"--all: {plural(len(found.entries), 'entry', 'entries')}, {plural(rules, 'rule')} with sources{asked}."


def _everything(found: Checked, about: str, screen: Screen) -> list[Text]:
    """Every entry with how it is known, every rule with its sources, everything worth measuring."""
    lines = banner(found.side, found.pseudonym, _who(found, about), screen)
    sections: dict[str, list[CaseEntry]] = {}
    for item in found.entries:
        sections.setdefault(_section(item), []).append(item)
    for place, items in sections.items():
        lines += _group(found.side, place, items, screen)
    warned = found.warnings
    lines += [
        *heading(plural(len(warned), "warning") if warned else "No contradictions in the entries"),
        *warning_lines(warned, screen),
    ]
    operations = [(spoken.rule, spoken.operations) for spoken in found.operation_rules]
    lines += rules_lines(found.rules, operations, screen, full=True)
    lines += _missing_lines(found, screen)
    return [*lines, Text(), *wrapped(CAUTION, screen, "dim")]


def _section(item: CaseEntry) -> str:
    """The heading an entry stands under; all muscles share one."""
    if item.path.startswith("muscles."):
        return "muscles"
    return item.path.rsplit(".", 1)[0] if "." in item.path else ""


def _group(side: Side, place: str, found: Sequence[CaseEntry], screen: Screen) -> list[Text]:
    shown = [item for item in found if item.path not in _IN_BANNER]
    if not shown:
        return []
    lines = heading(_place_words(side, place)) if place else []
    if place == "muscles":
        for name, items in groupby(shown, key=lambda item: item.path.split(".")[1]):
            lines += _muscle(name, list(items), screen)
        return lines
    for item in shown:
        lines += _row(label(item.path), said(item, screen.spelled_degree), " ".join(_how_known(item)), screen)
    return lines


def _place_words(side: Side, place: str) -> str:
    """``range, right foot (to be operated on)``: the leg in words wherever there are two."""
    part, _, leg = place.partition(".")
    words = part.replace("_", " ")
    sides = {
        "affected": f"{side} foot (to be operated on)",
        "other": f"{'left' if side == 'right' else 'right'} foot (the other one)",
    }
    if leg in sides:
        return f"{words[:1].upper()}{words[1:]}, {sides[leg]}"
    if place == "muscles":
        return f"Muscles, {sides['affected']}"
    return f"{words[:1].upper()}{words[1:]}" + (f": {leg.replace('_', ' ')}" if leg else "")


def _how_known(item: CaseEntry) -> Iterator[str]:
    if item.known:
        yield item.known
        yield from (f"on {item.on.isoformat()}",) if item.on else ()
        yield from (f"by {item.by}",) if item.by else ()


def _row(label: str, value: str, known: str, screen: Screen) -> list[Text]:
    """Three columns; a long value wraps under itself and pushes how it is known behind it."""
    short = len(value) <= VALUE_WIDTH
    told = f"{value:<{VALUE_WIDTH}}  {known}" if short else f"{value}  {known}"
    rows = textwrap.wrap(screen.say(told.strip()), screen.width - LABEL_WIDTH - 2, drop_whitespace=True)
    if short:
        rows = [screen.say(told).rstrip()]
    lines = []
    for at, row in enumerate(rows):
        opening = screen.say(label) if at == 0 else ""
        line = Text.assemble((f"  {opening:<{LABEL_WIDTH - 2}}  ", "dim"), row)
        if known in {"estimated", "assumed"} and at == len(rows) - 1:
            line.stylize(VERMILLION, len(line.plain) - len(known))
        lines.append(line)
    return lines


def _muscle(name: str, items: Sequence[CaseEntry], screen: Screen) -> list[Text]:
    """One muscle in a line: its trade name, then what was found."""
    told = []
    for item in items:
        known = f" ({', '.join(_how_known(item))})" if item.known else ""
        opening = "" if item.path.endswith(".state") else f"{label(item.path)} "
        told.append(f"{opening}{said(item, screen.spelled_degree)}{known}")
    return wrapped("; ".join(told), screen, first=f"  {TRADE[name]:<24}", after=" " * 26)


def _missing_lines(found: Checked, screen: Screen) -> list[Text]:
    wanted = found.missing
    if not wanted:
        return [*heading("No entry that the calculation needs is missing")]
    lines = heading(f"Worth measuring: {len(wanted)}, the most useful first")
    told = (f"{path_in_words(each.field)}: {each.why} ({each.field}; {_row_name(each.source)})" for each in wanted)
    return [*lines, *bullets(told, screen)]


def _row_name(source: str) -> str:
    """The evidence row of a reason, or that it is our own judgement."""
    return "our judgement" if source == "sinewright-judgement" else source.split(":")[0]
