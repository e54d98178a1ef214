"""The choice ladder for drawing: the rungs of the answer, with the words and numbers of the terminal."""

from __future__ import annotations

from sinewright.choose.answer import answer_of
from sinewright.export.ladder import Ladder, LadderRow
from sinewright.export.stamp import ACT
from sinewright.results import Outcome, Weighing
from sinewright.results.answer import RuledOut, Rung
from sinewright.wording.columns import LADDER_COLUMNS, RULER_COLUMNS, ZONE_DEG
from sinewright.wording.counts import percent, plural

KEYS = ("lift_deg", "pushdown_deg", "hindfoot_in_lift_deg", "reach_margin_mm")
COLUMNS = tuple(column for column in LADDER_COLUMNS if column.key in KEYS)
PULL = tuple(column for column in RULER_COLUMNS if column.key == "junction_pull_N")
CLEARS, CHANCE = ("clears in swing,", "legs of 100"), ("to neutral,", "legs of 100")
LEGEND = (
    "Dot: middle of {draws} virtual legs that fit this examination. Thick: half of them. Thin: nine-tenths. "
    "Shade: neutral or above, our mark for clearing the toes. "
    "Small figures: nine-tenths; under a count of legs, its 95 % interval. "
    "The best way of each donor; `weigh CASE --all` prints the others. {act} Check the side, {side} FOOT."
)


def ladder_of(weighing: Weighing, top: int) -> Ladder:
    """One row for each donor in the order of the answer, at most `top`, then a line for each one that is ruled out."""
    answer = weighing.answer or answer_of(weighing)
    found = {outcome.choice.id: outcome for outcome in weighing.outcomes}
    shown = answer.rungs[:top]
    left = len(answer.rungs) - len(shown)
    note = LEGEND.format(draws=weighing.draws, act=ACT, side=weighing.side.upper())
    invented = "Invented case. " if weighing.invented else ""
    headings = (*(column.heading for column in (*COLUMNS, *PULL)), CLEARS, CHANCE)
    return Ladder(
        weighing.side,
        weighing.pseudonym,
        " ".join(answer.sentences[:2]),
        headings=headings,
        rungs=(*(_rung(rung, found[rung.best.id]) for rung in shown), *map(_out, answer.ruled_out)),
        note=f"{invented}{note}" + (f" Not drawn: {plural(left, 'more donor')}." if left else ""),
        zone_deg=ZONE_DEG,
    )


def _rung(rung: Rung, outcome: Outcome) -> LadderRow:
    more = f" (+{plural(len(rung.ways) - 1, 'way')})" if len(rung.ways) > 1 else ""
    dangers = " ".join(f"! {danger.word}: {danger.advice}." for danger in rung.dangers)
    return LadderRow(
        f"{rung.number} {rung.title}{', too close to call' if rung.tied and rung.number != '1' else ''}",
        f"{rung.best.words}{more}",
        outcome.status,
        reason=" ".join(filter(None, (outcome.reason, dangers, f"Costs: {rung.price}. {_left(rung)}"))),
        lift=outcome.spread("lift_deg"),
        cells=(
            *(column.cell(outcome.spread(column.key), "°") for column in (*COLUMNS, *PULL)),
            _counted(outcome, "clears_swing"),
            _counted(outcome, "lifts_to_neutral"),
        ),
    )


def _left(rung: Rung) -> str:
    """What stays possible when this donor fails."""
    if not rung.left:
        return "If it fails: nothing left."
    best = f"; the best clears in {percent(rung.left_clears.share):.0f} of 100" if rung.left_clears else ""
    return f"If it fails: {plural(rung.left, 'donor')} left{best}."


def _out(out: RuledOut) -> LadderRow:
    return LadderRow(out.title, "", "set aside", out.reason, None)


def _counted(outcome: Outcome, key: str) -> tuple[str, str]:
    """Legs of 100 in which something happens, with the interval."""
    found = outcome.chances.get(key)
    if found is None:
        return "not computed", ""
    return f"{percent(found.share):.0f}", f"{percent(found.low):.0f} to {percent(found.high):.0f}"
