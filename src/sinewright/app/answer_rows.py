"""The answer as rows for the page: rungs and their ways on one axis, figures beside print on one scale; words only."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from sinewright.export.ladder import LadderRow, axis_for
from sinewright.reference import load
from sinewright.reference.spreads import parse_bounds
from sinewright.results import CalfTrial, Spread, Weighing
from sinewright.results.answer import Answer, Figure, Rung, Way
from sinewright.wording.calf import SAID
from sinewright.wording.counts import percent, plural
from sinewright.wording.directions import UP_DOWN

Points = tuple[float, float, float]  # lower end, middle and upper end, in the unit of a scale


@dataclass(frozen=True)
class Scale:
    """A line on which a computed and a published number stand: its ends with their words, where neutral lies.

    `sign` turns a printed number into ours: print counts degrees below neutral without a minus.
    """

    low: float
    high: float
    ends: tuple[str, str]
    neutral: float | None = None
    sign: float = 1.0

    def at(self, value: float) -> float:
        """Where a value stands on the line, 0 to 100; what lies beyond stands at the end."""
        inside = min(max(value, self.low), self.high)
        return percent((inside - self.low) / (self.high - self.low))


SCALES: dict[str, Scale] = {
    "clears_swing": Scale(0.0, 100.0, ("0", "100")),
    "lift_deg": Scale(-30.0, 30.0, ("30° down", "30° up"), neutral=0.0),
    "pushdown_deg": Scale(-60.0, 0.0, ("60° down", "neutral"), sign=-1.0),
}
"""The figures that are drawn; others of the answer are said in words."""


@dataclass(frozen=True)
class DrawnFigure:
    """A figure with its numbers: as computed, and as printed where a series prints it."""

    figure: Figure
    scale: Scale
    computed: Points
    published: Points | None


def drawn_figures(answer: Answer, weighing: Weighing) -> list[DrawnFigure]:
    """The figures of the answer that have a scale, with the numbers of the first operation."""
    out = []
    for figure in (each for each in answer.figures if each.key in SCALES):
        scale, computed = SCALES[figure.key], _computed(figure.key, answer, weighing)
        if computed is not None:
            out.append(DrawnFigure(figure, scale, computed, _published(figure, scale)))
    return out


def _computed(key: str, answer: Answer, weighing: Weighing) -> Points | None:
    first = answer.rungs[0].best.id if answer.rungs else ""
    for outcome in (each for each in weighing.outcomes if each.choice.id == first):
        if chance := outcome.chances.get(key):
            return percent(chance.low), percent(chance.share), percent(chance.high)
        if spread := outcome.spread(key):
            return spread.p05, spread.p50, spread.p95
    return None


def _published(figure: Figure, scale: Scale) -> Points | None:
    """The printed number with its printed range; a count of people becomes one of a hundred."""
    if not figure.rows:
        return None
    row = load().row(figure.rows[0])
    if row.quantity.startswith("count-"):
        share = percent(row.value / row.n) if row.n else 0.0
        return share, share, share
    ends = parse_bounds(row.spread) if row.spread_kind == "range" else None
    low, high = sorted(scale.sign * end for end in ends or (row.value, row.value))
    return low, scale.sign * row.value, high


def lift_axis(answer: Answer) -> tuple[float, float]:
    """The ends of the axis that holds every rung and way [deg]."""
    ways = [way for rung in answer.rungs for way in rung.ways]
    axis = axis_for([LadderRow("", "", "workable", "", way.lift_deg) for way in ways], 0.0)
    return axis.low, axis.high


def rung_rows(answer: Answer, other: Mapping[str, float]) -> list[dict[str, Any]]:
    """One row for each rung, best on top.

    Parameters
    ----------
    answer : Answer
        As weighed.
    other : mapping of str to float
        Middle of the lift [deg] under the other decision about the calf, by operation; where it is known.
    """
    joined = sum(rung.tied for rung in answer.rungs) > 1
    return [_rung_row(rung, joined and rung.tied, other) for rung in answer.rungs]


def _rung_row(rung: Rung, tied: bool, other: Mapping[str, float]) -> dict[str, Any]:
    left = f"{rung.left} left" if rung.left else "none left"
    best = f"best clears {percent(rung.left_clears.share):.0f}" if rung.left_clears else ""
    return {
        **_way_row(rung.best, other), "title": rung.title, "price": rung.price, "tied": tied, "left": left,
        "best": best, "dangers": [{"word": each.word, "advice": each.advice} for each in rung.dangers],
        "more": plural(len(rung.ways) - 1, "more way"), "ways": [_way_row(way, other) for way in rung.ways[1:]],
    }  # fmt: skip


def _way_row(way: Way, other: Mapping[str, float]) -> dict[str, Any]:
    lift, clears = way.lift_deg, way.clears
    return {
        "number": way.number, "id": way.id, "way": way.words, "tied": way.tied,
        "bar": list(lift.as_tuple()) if lift else None,
        "lift": UP_DOWN.one(lift.p50) if lift else "", "range": UP_DOWN.between(lift.p05, lift.p95) if lift else "",
        "other": other.get(way.id), "clears": f"{percent(clears.share):.0f}" if clears else "",
        "clear_range": f"{percent(clears.low):.0f} to {percent(clears.high):.0f}" if clears else "",
    }  # fmt: skip


def other_calf(trials: Sequence[CalfTrial], planned: str) -> tuple[str, dict[str, float]]:
    """The other decision about the calf in words, and the middle of the lift [deg] under it by operation.

    Of several procedures it is the one after which most of the first operation's legs clear the floor.
    """
    others = [trial for trial in trials if trial.procedure != planned and trial.outcomes]
    if not others:
        return "", {}
    trial = max(others, key=_clears_of_first)
    lifts = {outcome.choice.id: outcome.spread("lift_deg") for outcome in trial.outcomes}
    return SAID[trial.procedure], {id: lift.p50 for id, lift in lifts.items() if isinstance(lift, Spread)}


def _clears_of_first(trial: CalfTrial) -> float:
    chance = trial.outcomes[0].chances.get("clears_swing")
    return chance.share if chance else 0.0


def out_rows(answer: Answer) -> list[dict[str, str]]:
    """Donors that are ruled out, one row for each reason; what the reason means stands in the table of all."""
    by_reason: dict[str, list[str]] = {}
    for each in answer.ruled_out:
        by_reason.setdefault(_brief(each.reason), []).append(each.title)
    return [{"title": ", ".join(titles), "reason": reason} for reason, titles in by_reason.items()]


def _brief(reason: str) -> str:
    """``long peroneal is paralysed`` of ``Long peroneal is paralysed: it cannot pull.``"""
    return f"{reason[:1].lower()}{reason[1:].partition(':')[0].rstrip('.')}"
