"""The consent companion: what the leading choices may bring, as counts of 100 with intervals, and what is not known.

It speaks to the patient in the words of the language file; what the team needs stands beside it, marked as such. It
goes with a talk; it is no consent form and holds no signature line.
"""

from __future__ import annotations

from typing import Any

from sinewright.export.counts import Hundred, of_hundred
from sinewright.export.patient import plain_operation, range_in
from sinewright.export.plain import plain_cautions, spoken
from sinewright.export.planned import Planned, chance_of_lift, counted, leading
from sinewright.export.stamp import stamp_in
from sinewright.export.typeset import PAPERS, Format, typeset
from sinewright.reference import Reference, load
from sinewright.reference.rows import Row
from sinewright.results import Outcome
from sinewright.wording.language import Words, words_in

CHOICES = 3
RISK_FILE = "complications.csv"
COUNTED = "count-"
ABOUT = {
    "tibialis_posterior": ("tibialis posterior transfer", "split tibialis posterior"),
    "peroneus_longus": ("peroneus longus removed",),
}
ANY_TRANSFER = ("tendon insertion", "tendon weave", "tibialis posterior transfer")
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
        "paper": PAPERS[paper],
        "large": large,
        "title": line("consent.title"),
        "kind": line("consent.kind"),
        "choices_heading": line("consent.choices_heading"),
        "dots": line("consent.dots", counted=f"{counted(planned):.0f}"),
        "choices": [_choice(planned, each, words) for each in _shown(planned)],
        "others_heading": line("consent.others_heading"),
        "others": _others(planned, words),
        "risks_heading": line("consent.risks_heading"),
        "risks_intro": line("consent.risks_intro"),
        "risk_heads": [line(f"consent.risk_{name}") for name in ("what", "where", "seen", "hundred", "source")],
        "risks": rows,
        "cautions_heading": line("consent.cautions_heading"),
        "cautions": plain_cautions(planned, words),
        "not_known_heading": line("consent.not_known_heading"),
        "not_known": words.lines("consent.not_known"),
        "sources_heading": line("consent.sources_heading"),
        "sources": sources,
    }


def _shown(planned: Planned) -> list[Outcome]:
    """The chosen operation first, then the leading ones of other donors."""
    rest = [each for each in leading(planned.weighing) if each.choice.id != planned.outcome.choice.id]
    donors, out = {planned.outcome.choice.donor}, [planned.outcome]
    for each in rest:
        if len(out) < CHOICES and each.choice.donor not in donors:
            donors.add(each.choice.donor)
            out.append(each)
    return out


def _choice(planned: Planned, outcome: Outcome, words: Words) -> dict[str, Any]:
    chosen = outcome.choice.id == planned.outcome.choice.id
    hundred = chance_of_lift(planned, outcome)
    names = outcome.choice.donor.split(" + ")
    team = [f"{outcome.choice.title}, {outcome.choice.subtitle}.", spoken(outcome.reason)]
    # Nobody is told that a choice was made when only the weights point to it.
    mark = words.line("consent.chosen" if planned.by_hand else "consent.first") if chosen else ""
    return {
        "title": words.line("consent.what", **plain_operation(outcome, words)),
        "mark": mark,
        "chosen": chosen,
        "doubt": words.line("consent.doubtful") if outcome.status == "doubtful" else "",
        "count": hundred.count,
        "low": hundred.low,
        "high": hundred.high,
        "words": words.line("consent.count", count=hundred.count, low=hundred.low, high=hundred.high),
        "lines": _lines(outcome, words),
        "cost": words.line("consent.cost", cost=" ".join(words.line(f"cost.{name}") for name in names)),
        "team": words.line("consent.team", text=" ".join(filter(None, team))),
    }


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
    """Published counts for the donors of this operation: what, in whom, seen, count of 100 with interval, source."""
    reference = load()
    names = outcome.choice.donor.split(" + ")
    about = {word for name in names for word in ABOUT.get(name, ())} or set(ANY_TRANSFER)
    borrowed = not any(name in ABOUT for name in names) or "peroneus_longus" in names
    if borrowed:
        about |= set(ANY_TRANSFER)
    found = [row for row in reference.rows(file=RISK_FILE) if _is_count(row) and row.structure in about]
    keys = dict.fromkeys(row.source for row in found)
    return [_risk(row, words) for row in found], [_citation(key, reference) for key in keys]


def _citation(key: str, reference: Reference) -> str:
    return f"{key}: {reference.source(key).citation}"


def _is_count(row: Row) -> bool:
    return row.quantity.startswith(COUNTED) and row.has_number and row.n is not None and row.n > 1


def _risk(row: Row, words: Words) -> list[str]:
    assert row.n is not None
    found: Hundred = of_hundred(row.value, float(row.n))
    condition = f" ({row.condition})" if row.condition else ""
    return [
        words.line(f"risk.{row.quantity.removeprefix(COUNTED).replace('-', '_')}"),
        f"{row.structure}{condition}",
        words.line("consent.seen", events=f"{row.value:.0f}", number=row.n),
        words.line("consent.hundred", count=found.count, low=found.low, high=found.high),
        f"{row.source}, {row.known}",
    ]
