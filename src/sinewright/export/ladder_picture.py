"""The choice ladder for drawing: the same rows, order, words and numbers as on the terminal."""

from __future__ import annotations

from sinewright.export.ladder import Ladder, LadderRow
from sinewright.results import Outcome, Weighing
from sinewright.wording.columns import LADDER_COLUMNS, RULER_COLUMNS, ZONE_DEG
from sinewright.wording.counts import percent
from sinewright.wording.standing import finding

KEYS = ("lift_deg", "pushdown_deg", "hindfoot_in_lift_deg", "reach_margin_mm")
COLUMNS = tuple(column for column in LADDER_COLUMNS if column.key in KEYS)
PULL = tuple(column for column in RULER_COLUMNS if column.key == "junction_pull_N")
CLEARS, CHANCE = ("clears in swing,", "legs of 100"), ("to neutral,", "legs of 100")
LEGEND = (
    "Dot: middle of {draws} virtual legs who agree with this examination. Thick: half of them. Thin: nine-tenths. "
    "Shade: neutral or above, our mark for clearing the toes. "
    "Small figures: nine-tenths; under a count of legs, its 95 % interval. "
    "Not a medical device: a calculation to think with; the weighing is yours."
)


def ladder_of(weighing: Weighing, top: int) -> Ladder:
    """The `top` choices of each group in the order of the terminal, those set aside last."""
    ordered = weighing.outcomes
    able = [each for each in ordered if each.status != "set aside"]
    aside = [each for each in ordered if each.status == "set aside"]
    titles = {each.choice.id: f"{each.choice.title}, {each.choice.subtitle}" for each in ordered}
    rungs = [_rung(each, weighing, titles) for each in (*able[:top], *aside[:top])]
    left = len(ordered) - len(rungs)
    note = LEGEND.format(draws=weighing.draws) + (f" Not drawn: {left} more." if left else "")
    headings = (*(column.heading for column in (*COLUMNS, *PULL)), CLEARS, CHANCE)
    return Ladder(
        weighing.side,
        weighing.pseudonym,
        finding(able),
        headings=headings,
        rungs=tuple(rungs),
        note=note,
        zone_deg=ZONE_DEG,
    )


def _rung(outcome: Outcome, weighing: Weighing, titles: dict[str, str]) -> LadderRow:
    cells: tuple[tuple[str, str], ...] = ()
    reason = outcome.reason
    if outcome.spread("lift_deg"):
        cells = (
            *(column.cell(outcome.spread(column.key), "°") for column in (*COLUMNS, *PULL)),
            _counted(outcome, "clears_swing"),
            _counted(outcome, "lifts_to_neutral"),
        )
    if outcome.standing is not None and outcome.standing.reserve:
        reason = f"{reason} If it fails: {titles.get(outcome.standing.reserve, outcome.standing.reserve)}.".strip()
    return LadderRow(
        outcome.choice.title,
        outcome.choice.subtitle,
        outcome.status,
        reason=reason,
        lift=outcome.spread("lift_deg"),
        cells=cells,
    )


def _counted(outcome: Outcome, key: str) -> tuple[str, str]:
    """Legs of 100 in which something happens, with the interval."""
    found = outcome.chances.get(key)
    if found is None:
        return "not computed", ""
    return f"{percent(found.share):.0f}", f"{percent(found.low):.0f} to {percent(found.high):.0f}"
