"""The page that `sinewright check` prints: what the case says, what is odd, what is worth measuring."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from itertools import groupby

from rich.text import Text

from sinewright.case import Case, Entry, Finding, cautions, entries, entry, findings_missing
from sinewright.case.muscles import Muscles
from sinewright.case.said import said
from sinewright.cli.parts import banner, bullets, heading, rules_lines, warning_lines, wrapped
from sinewright.cli.screen import VERMILLION, Screen
from sinewright.wording.counts import plural
from sinewright.wording.rules import grouped

TOP_MISSING = 8
LABEL_WIDTH, VALUE_WIDTH = 38, 22
_IN_BANNER = {"schema_version", "pseudonym", "invented", "side"}
_UNIT_ENDINGS = ("_deg_per_s", "_deg", "_mm", "_cm", "_kg", "_Nm", "_N", "_years", "_months")


def check_lines(case: Case, screen: Screen, everything: bool) -> list[Text]:
    """The whole page; `everything` prints all that is worth measuring, not only the most useful."""
    person = "invented case" if case.invented else "not marked as invented: treat it as a patient"
    lines = banner(case.side, case.pseudonym, person, screen)
    sections: dict[str, list[Entry]] = {}
    for item in entries(case):
        sections.setdefault(_section(item), []).append(item)
    for place, found in sections.items():
        lines += _group(case, place, found, screen)
    warned = cautions(case)
    lines += [
        *heading(plural(len(warned), "warning") if warned else "No contradictions in the entries"),
        *warning_lines(warned, screen),
    ]
    lines += _rules(case, screen)
    return [*lines, *_missing_lines(case, screen, everything), Text(), Text("Nothing was written.", "dim")]


def _rules(case: Case, screen: Screen) -> list[Text]:
    """Rules about the patient and about every operation that the case itself does not set aside."""
    from sinewright.choose.rules import rules_of_operation, rules_of_patient
    from sinewright.choose.screen import reason_without_rules
    from sinewright.transfer.catalogue import catalogue

    left = (moved for moved in catalogue() if reason_without_rules(case, moved) is None)
    operations = grouped(rules_of_operation(case, moved) for moved in left)
    return rules_lines(rules_of_patient(case), operations, screen, full=True)


def _section(item: Entry) -> str:
    """The heading an entry stands under; all muscles share one."""
    if item.path.startswith("muscles."):
        return "muscles"
    return item.path.rsplit(".", 1)[0] if "." in item.path else ""


def _group(case: Case, place: str, found: Sequence[Entry], screen: Screen) -> list[Text]:
    shown = [item for item in found if item.path not in _IN_BANNER]
    if not shown:
        return []
    lines = heading(_place_words(case, place)) if place else []
    if place == "muscles":
        for name, items in groupby(shown, key=lambda item: item.path.split(".")[1]):
            lines += _muscle(case, name, list(items), screen)
        return lines
    for item in shown:
        lines += _row(_label(item), said(item, screen.spelled_degree), " ".join(_how_known(case, item)), screen)
    return lines


def _place_words(case: Case, place: str) -> str:
    """``range, right foot (to be operated on)``: the leg in words wherever there are two."""
    part, _, leg = place.partition(".")
    words = part.replace("_", " ")
    sides = {
        "affected": f"{case.side} foot (to be operated on)",
        "other": f"{case.other_side} foot (the other one)",
    }
    if leg in sides:
        return f"{words[:1].upper()}{words[1:]}, {sides[leg]}"
    if place == "muscles":
        return f"Muscles, {sides['affected']}"
    return f"{words[:1].upper()}{words[1:]}" + (f": {leg.replace('_', ' ')}" if leg else "")


def _label(item: Entry) -> str:
    name = item.path.rsplit(".", 1)[-1]
    ending = next((each for each in _UNIT_ENDINGS if name.endswith(each)), "")
    return name.removesuffix(ending).removesuffix("_down").removesuffix("_out").replace("_", " ")


def _how_known(case: Case, item: Entry) -> Iterator[str]:
    if not item.known:
        return
    yield item.known
    try:
        found = entry(case, item.path)
    except KeyError:
        return
    if isinstance(found, Finding):
        yield from (f"on {found.on.isoformat()}",) if found.on else ()
        yield from (f"by {found.by}",) if found.by else ()


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


def _muscle(case: Case, name: str, items: Sequence[Entry], screen: Screen) -> list[Text]:
    """One muscle in a line: its trade name, then what was found."""
    trade = str(Muscles.model_fields[name].description).split(":")[0].split(",")[0]
    told = []
    for item in items:
        known = f" ({', '.join(_how_known(case, item))})" if item.known else ""
        label = "" if item.path.endswith(".state") else f"{_label(item)} "
        told.append(f"{label}{said(item, screen.spelled_degree)}{known}")
    return wrapped("; ".join(told), screen, first=f"  {trade:<24}", after=" " * 26)


def _missing_lines(case: Case, screen: Screen, everything: bool) -> list[Text]:
    wanted = findings_missing(case)
    if not wanted:
        return [*heading("No entry that the calculation needs is missing")]
    shown = wanted if everything else wanted[:TOP_MISSING]
    lines = heading(f"Missing and worth measuring: {len(wanted)}, the most useful first")
    lines += bullets((f"{each.field}: {each.why} [{_row_name(each.source)}]" for each in shown), screen)
    if len(shown) < len(wanted):
        lines.append(Text(f"  {len(wanted) - len(shown)} more; --all prints them.", "dim"))
    return lines


def _row_name(source: str) -> str:
    """The evidence row of a reason, or that it is our own judgement."""
    return "our judgement" if source == "sinewright-judgement" else source.split(":")[0]
