"""The consent companion: what the leading choices may bring, as counts of 100 with intervals, and what is not known.

It goes with a talk; it is no consent form and holds no signature line.
"""

from __future__ import annotations

from typing import Any

from sinewright.export.counts import of_hundred
from sinewright.export.patient import counted
from sinewright.export.planned import Planned, leading
from sinewright.export.stamp import stamp
from sinewright.export.theatre import cautions_of
from sinewright.export.typeset import PAPERS, Format, typeset
from sinewright.export.words import angle_words, range_words
from sinewright.reference import Reference, load
from sinewright.reference.rows import Row
from sinewright.results import Outcome

CHOICES = 3
RISK_FILE = "complications.csv"
COUNTED = "count-"
ABOUT = {
    "tibialis_posterior": ("tibialis posterior transfer", "split tibialis posterior"),
    "peroneus_longus": ("peroneus longus removed",),
}
ANY_TRANSFER = ("tendon insertion", "tendon weave", "tibialis posterior transfer")
NOT_KNOWN = (
    "How well this muscle learns to lift in the swing of a step: assumed, with wide doubt.",
    "How much scar will hold the tendon: assumed, with wide doubt.",
    "How the junction holds in this person: bench tests and animals only.",
    "Whether the computed legs are like this leg in all that matters: not tested on patients.",
    "Anything that happens after the operation besides the tendon: falls, illness, work.",
)


def consent_page(planned: Planned, paper: str = "a4", large: bool = False, kind: Format = "pdf") -> list[bytes]:
    """The consent companion as PDF bytes."""
    return typeset("consent", consent_content(planned, paper, large), planned.made_at, kind)


def consent_content(planned: Planned, paper: str, large: bool) -> dict[str, Any]:
    """Everything that stands on the companion."""
    shown = _shown(planned)
    rows, sources = _risks(planned.outcome)
    return {
        **stamp(planned),
        "paper": PAPERS[paper],
        "large": large,
        "choices": [_choice(planned, each, each.choice.id == planned.outcome.choice.id) for each in shown],
        "others": [
            {"title": option.title, "suits": option.suits, "reason": option.reason}
            for option in planned.weighing.options
        ],
        "risks": rows,
        "sources": sources,
        "cautions": cautions_of(planned, 8),
        "not_known": list(NOT_KNOWN),
        "counted": f"{counted(planned):.0f}",
    }


def _shown(planned: Planned) -> list[Outcome]:
    """The chosen operation first, then the leading ones of other donors or ways."""
    rest = [each for each in leading(planned.weighing) if each.choice.id != planned.outcome.choice.id]
    donors, out = {planned.outcome.choice.donor}, [planned.outcome]
    for each in rest:
        if len(out) < CHOICES and each.choice.donor not in donors:
            donors.add(each.choice.donor)
            out.append(each)
    return out


def _mark(planned: Planned) -> str:
    """Who set the first choice apart: nobody is told that a choice was made when only the weights point to it."""
    return "the choice of this plan" if planned.by_hand else "first under the patient's weights; nobody has chosen yet"


def _choice(planned: Planned, outcome: Outcome, chosen: bool) -> dict[str, Any]:
    names = [goal.name for goal in planned.weighing.goals]
    number = counted(planned)
    share = outcome.standing.met[names.index("no_brace")] if outcome.standing else 0.0
    hundred = of_hundred(share * number, number)
    lines = []
    for key, words in (
        ("lift_deg", "Lift with the knee straight"),
        ("rest_deg", "Resting, hanging"),
        ("pushdown_deg", "Push-down kept to"),
    ):
        spread = outcome.spread(key)
        lines.append(
            f"{words}: {angle_words(spread.p50)} ({range_words(spread)})" if spread else f"{words}: not computed"
        )
    normal = outcome.spread("share_of_normal")
    if normal is not None:
        low, high = 100.0 * normal.p05, 100.0 * normal.p95
        lines.append(f"Lifting strength: {100.0 * normal.p50:.0f} of 100 parts of normal ({low:.0f} to {high:.0f})")
    return {
        "title": outcome.choice.title,
        "subtitle": outcome.choice.subtitle,
        "chosen": chosen,
        "mark": _mark(planned) if chosen else "",
        "status": outcome.status,
        "reason": outcome.reason,
        "count": hundred.count,
        "low": hundred.low,
        "high": hundred.high,
        "words": f"{hundred.words} virtual legs lift to neutral or above, and the tendon reaches",
        "lines": lines,
        "price": _price(planned, outcome),
    }


def _price(planned: Planned, outcome: Outcome) -> str:
    from sinewright.transfer.catalogue import donors

    table = donors()
    given = [table[name].price for name in outcome.choice.donor.split(" + ") if name in table]
    return f"What it costs: {'; '.join(given)}."


def _risks(outcome: Outcome) -> tuple[list[dict[str, str]], list[str]]:
    """Published counts for the donors of this operation: events, number, count of 100 with its interval, source."""
    reference = load()
    names = outcome.choice.donor.split(" + ")
    about = {word for name in names for word in ABOUT.get(name, ())} or set(ANY_TRANSFER)
    borrowed = not any(name in ABOUT for name in names) or "peroneus_longus" in names
    if borrowed:
        about |= set(ANY_TRANSFER)
    found = [row for row in reference.rows(file=RISK_FILE) if _is_count(row) and row.structure in about]
    rows = [_risk(row, reference) for row in found]
    keys = dict.fromkeys(row.source for row in found)
    return rows, [f"{key}: {reference.source(key).citation}" for key in keys]


def _is_count(row: Row) -> bool:
    return row.quantity.startswith(COUNTED) and row.has_number and row.n is not None and row.n > 1


def _risk(row: Row, reference: Reference) -> dict[str, str]:
    assert row.n is not None
    hundred = of_hundred(row.value, float(row.n))
    condition = f" ({row.condition})" if row.condition else ""
    return {
        "what": row.quantity.removeprefix(COUNTED).replace("-", " "),
        "where": f"{row.structure}{condition}",
        "seen": f"{row.value:.0f} of {row.n}",
        "hundred": hundred.words,
        "source": f"{row.source}, {row.had}",
    }
