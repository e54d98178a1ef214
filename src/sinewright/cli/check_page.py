"""The page that `sinewright check` prints: what the case says, what is odd, what is worth measuring."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from itertools import groupby

from rich.text import Text

from sinewright.case.muscles import Muscles
from sinewright.case.said import said
from sinewright.cli.parts import banner, bullets, heading, rules_lines, warning_lines, wrapped
from sinewright.cli.screen import VERMILLION, Screen
from sinewright.results import CAUTION, CaseEntry, Checked, Side
from sinewright.wording.counts import plural

TOP_MISSING = 8
LABEL_WIDTH, VALUE_WIDTH = 38, 22
_IN_BANNER = {"schema_version", "pseudonym", "invented", "side"}
_UNIT_ENDINGS = ("_deg_per_s", "_deg", "_mm", "_cm", "_kg", "_Nm", "_N", "_years", "_months")


def check_lines(found: Checked, screen: Screen, everything: bool) -> list[Text]:
    """The whole page; `everything` prints all that is worth measuring, not only the most useful."""
    person = "invented case" if found.invented else "not marked as invented: treat it as a patient"
    lines = banner(found.side, found.pseudonym, person, screen)
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
    lines += _missing_lines(found, screen, everything)
    lines += [Text(), *wrapped(CAUTION, screen, "dim")]
    return lines


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
        lines += _row(_label(item), said(item, screen.spelled_degree), " ".join(_how_known(item)), screen)
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


def _label(item: CaseEntry) -> str:
    name = item.path.rsplit(".", 1)[-1]
    ending = next((each for each in _UNIT_ENDINGS if name.endswith(each)), "")
    return name.removesuffix(ending).removesuffix("_down").removesuffix("_out").replace("_", " ")


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
    trade = str(Muscles.model_fields[name].description).split(":")[0].split(",")[0]
    told = []
    for item in items:
        known = f" ({', '.join(_how_known(item))})" if item.known else ""
        label = "" if item.path.endswith(".state") else f"{_label(item)} "
        told.append(f"{label}{said(item, screen.spelled_degree)}{known}")
    return wrapped("; ".join(told), screen, first=f"  {trade:<24}", after=" " * 26)


def _missing_lines(found: Checked, screen: Screen, everything: bool) -> list[Text]:
    wanted = found.missing
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
