"""The consent companion: what the leading choices may bring, as counts of 100 with intervals, and what is not known.

It speaks to the patient in the words of the language file; what the team needs stands beside it, marked as such. It
goes with a talk; it is no consent form and holds no signature line.
"""

from __future__ import annotations

import re
from typing import Any

from sinewright.export.counts import Hundred, of_hundred
from sinewright.export.patient import calf_line, plain_operation, range_in
from sinewright.export.plain import plain_cautions, spoken
from sinewright.export.planned import (
    CLEARS,
    LIFTS,
    Planned,
    counted,
    falls_short,
    hundred_of,
    leading,
    stop_share,
)
from sinewright.export.stamp import stamp_in
from sinewright.export.typeset import PAPERS, Format, typeset
from sinewright.reference import load
from sinewright.reference.rows import Row, Source
from sinewright.results import Outcome
from sinewright.transfer.catalogue import recipients
from sinewright.wording.counts import percent
from sinewright.wording.language import Words, words_in

CHOICES = 3
RISK_FILE = "complications.csv"
COUNTED = "count-"
MOVED = "tibialis_posterior"  # the one donor whose series count what went wrong and who wears no brace
BRACE_FREE = "out-pooled-brace-free-six-series"
ABOUT = {
    MOVED: ("tibialis posterior transfer",),
    "flexor_hallucis_longus": ("FHL anterior transfer",),
}
SPLIT, INTO_BONE, INTO_TENDON = "split tibialis posterior", "tendon insertion", "tendon weave"
INWARD = {"pull_adds_varus", "no_outward_balancer", "peroneal_to_inner_side", "short_peroneal_taken"}
OUTWARD = {"pull_adds_valgus", "short_peroneal_unopposed", "whole_tendon_spastic"}
ANGLES = (("lift", "lift_deg"), ("rest", "rest_deg"), ("push", "pushdown_deg"))


def consent_page(
    planned: Planned, paper: str = "a4", large: bool = False, kind: Format = "pdf", language: str = "en"
) -> list[bytes]:
    """The consent companion as PDF bytes."""
    return typeset("consent", consent_content(planned, paper, large, words_in(language)), planned.made_at, kind)


def consent_content(planned: Planned, paper: str, large: bool, words: Words) -> dict[str, Any]:
    """Everything that stands on the companion."""
    rows, sources = _risks(planned.outcome, words)
    line = words.line
    return {
        **stamp_in(planned, words),
        "draft": "",  # the companion sets choices side by side and says where nobody has chosen
        "draft_word": "",
        "paper": PAPERS[paper],
        "large": large,
        "title": line("consent.title"),
        "kind": line("consent.kind"),
        "choices_heading": line("consent.choices_heading"),
        "dots": line("consent.dots", counted=f"{counted(planned):.0f}"),
        "choices": [_choice(planned, each, words) for each in _shown(planned)],
        "left_out": _left_out(planned, words),
        "others_heading": line("consent.others_heading"),
        "others": _others(planned, words),
        "risks_heading": line("consent.risks_heading"),
        "risks_intro": line("consent.risks_intro"),
        "risk_heads": [line(f"consent.risk_{name}") for name in ("what", "where", "seen", "hundred", "source")],
        "risks_none": "" if rows else line("consent.risks_none"),
        "risks": rows,
        "general_heading": line("consent.general_heading"),
        "general": words.lines("consent.general"),
        "general_note": line("consent.general_note"),
        "cautions_heading": line("consent.cautions_heading"),
        "cautions": _cautions(planned, words),
        "not_known_heading": line("consent.not_known_heading"),
        "not_known": words.lines("consent.not_known"),
        "sources_heading": line("consent.sources_heading"),
        "sources": sources,
    }


def _shown(planned: Planned) -> list[Outcome]:
    """The chosen operation first, then the leading ones of other donors; of these none that falls short."""
    donors, out = {planned.outcome.choice.donor}, [planned.outcome]
    for each in leading(planned.weighing):
        if len(out) < CHOICES and each.choice.donor not in donors and not falls_short(each):
            donors.add(each.choice.donor)
            out.append(each)
    return out


def _left_out(planned: Planned, words: Words) -> str:
    """Said when donors were worked out and all their operations fall short."""
    donors = {each.choice.donor for each in leading(planned.weighing)} - {planned.outcome.choice.donor}
    offered = {each.choice.donor for each in leading(planned.weighing) if not falls_short(each)}
    least = f"{percent(stop_share()):.0f}"
    return words.line("consent.left_out", least=least) if donors - offered else ""


def _cautions(planned: Planned, words: Words) -> list[str]:
    """The cautions without the one on the arch where the price of the muscle has said it."""
    said = words.line("caution.arch") if MOVED in planned.outcome.choice.donor else ""
    return [text for text in plain_cautions(planned, words) if text != said]


def _turns(planned: Planned, outcome: Outcome, words: Words) -> list[str]:
    """Which way the foot may turn; silent where a caution of the chosen operation says it."""
    codes = {rule.code for rule in outcome.rules}
    if codes & (INWARD | OUTWARD):
        own = outcome.choice.id == planned.outcome.choice.id
        return [] if own else [words.line("turn.in" if codes & INWARD else "turn.out")]
    return [words.line("turn.out")] if MOVED in outcome.choice.donor else []


def _choice(planned: Planned, outcome: Outcome, words: Words) -> dict[str, Any]:
    chosen = outcome.choice.id == planned.outcome.choice.id
    hundred = hundred_of(planned, CLEARS, outcome) or hundred_of(planned, LIFTS, outcome)
    assert hundred is not None, "every offered operation is counted"
    price = [words.line(f"cost.{name}") for name in outcome.choice.donor.split(" + ")]
    team = [f"{outcome.choice.title}, {outcome.choice.subtitle}.", spoken(outcome.reason)]
    # Nobody is told that a choice was made when only the weights point to it.
    mark = words.line("consent.chosen" if planned.by_hand else "consent.first") if chosen else ""
    return {
        "title": words.line("consent.what", **plain_operation(outcome, words)),
        "mark": mark,
        "chosen": chosen,
        "doubt": _doubt(outcome, words),
        "count": hundred.count,
        "low": hundred.low,
        "high": hundred.high,
        "words": _counts(planned, outcome, words),
        "lines": [*_in_print(outcome, words), *_lines(outcome, words), *calf_line(planned, words)],
        "cost": words.line("consent.cost", cost=" ".join((*price, *_turns(planned, outcome, words)))),
        "team": words.line("consent.team", text=" ".join(filter(None, team))),
    }


def _doubt(outcome: Outcome, words: Words) -> str:
    if falls_short(outcome):
        return words.line("consent.stop", least=f"{percent(stop_share()):.0f}")
    return words.line("consent.doubtful") if outcome.status == "doubtful" else ""


def _counts(planned: Planned, outcome: Outcome, words: Words) -> str:
    """Both counts, clearing the floor first."""
    out = []
    for name, key in (("clears", CLEARS), ("count", LIFTS)):
        if (found := hundred_of(planned, key, outcome)) is not None:
            out.append(words.line(f"consent.{name}", count=found.count, low=found.low, high=found.high))
    return " ".join(out)


def _in_print(outcome: Outcome, words: Words) -> list[str]:
    """How many people of published series wear no brace, beside the computed share, and why the two differ."""
    if outcome.choice.donor != MOVED:
        return []
    row = load().row(BRACE_FREE)
    return [words.line("consent.in_print", events=f"{row.value:g}", number=row.n), words.line("consent.why_differ")]


def _lines(outcome: Outcome, words: Words) -> list[str]:
    out = []
    for name, key in ANGLES:
        spread = outcome.spread(key)
        told = range_in(key, spread, words) if spread else words.line("consent.missing")
        out.append(words.line(f"consent.{name}", angle=told))
    normal = outcome.spread("share_of_normal")
    if normal is not None:
        low, middle, high = (f"{100.0 * value:.0f}" for value in (normal.p05, normal.p50, normal.p95))
        out.append(words.line("consent.strength", middle=middle, low=low, high=high))
    return out


def _others(planned: Planned, words: Words) -> list[dict[str, str]]:
    """Other ways: name and meaning for the patient, the reason of this case for the team."""
    return [
        {
            "title": words.line(f"way.{option.id}.title"),
            "suits": words.line(f"suits.{option.suits}"),
            "what": words.line(f"way.{option.id}.what"),
            "team": words.line("consent.team", text=spoken(option.reason)),
        }
        for option in planned.weighing.options
    ]


def _risks(outcome: Outcome, words: Words) -> tuple[list[list[str]], list[str]]:
    """Published counts of this very operation: what, in whom, seen, count of 100 with interval, author and year."""
    reference, about = load(), _about(outcome)
    found = [row for row in reference.rows(file=RISK_FILE) if _is_count(row) and row.structure in about]
    named = [(row, reference.source(row.source)) for row in found]
    named = [(row, source) for row, source in named if short_citation(source)]
    cited = dict.fromkeys(f"{short_citation(source)}: {source.citation}" for _, source in named)
    return [_risk(row, source, words) for row, source in named], list(cited)


def _about(outcome: Outcome) -> set[str]:
    """Structures of the reference whose counts are those of this operation."""
    donors = outcome.choice.donor.split(" + ")
    about = {word for name in donors for word in ABOUT.get(name, ())}
    if MOVED in donors:
        ends = [recipients()[name] for name in outcome.choice.recipient.split(" + ")]
        about |= {INTO_BONE if end.bone else INTO_TENDON for end in ends}
        about |= {SPLIT for end in ends if end.name.startswith("split_")}
    return about


_INITIALS = re.compile(r"(?:\s+[A-Z][A-Z.-]*)+$")


def short_citation(source: Source) -> str:
    """First author and year, such as ``Cho 2017``; the journal where no author was noted; empty without both.

    >>> short_citation(Source("x", authors="Cho BK and others", year=2017))
    'Cho 2017'
    """
    first = _INITIALS.sub("", source.authors.replace(" and ", ",").split(",")[0].strip()) or source.journal
    return f"{first} {source.year}" if first and source.year else ""


def _is_count(row: Row) -> bool:
    return row.quantity.startswith(COUNTED) and row.has_number and row.n is not None and row.n > 1


def _risk(row: Row, source: Source, words: Words) -> list[str]:
    assert row.n is not None
    found: Hundred = of_hundred(row.value, float(row.n))
    condition = f" ({row.condition})" if row.condition else ""
    return [
        words.line(f"risk.{row.quantity.removeprefix(COUNTED).replace('-', '_')}"),
        f"{row.structure}{condition}",
        words.line("consent.seen", events=f"{row.value:.0f}", number=row.n),
        words.line("consent.hundred", count=found.count, low=found.low, high=found.high),
        short_citation(source),
    ]
