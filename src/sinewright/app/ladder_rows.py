"""Outcomes as rows of the ladder on screen, and side by side, each number with where it comes from; words only."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any
from urllib.parse import quote

from sinewright.app.elements import Say, box, link, markup, named_note
from sinewright.app.how_sewn import PLACE
from sinewright.app.where_from import BASES, found_lines, note_of, rules_note, show_source_note
from sinewright.case import Case
from sinewright.choose.goals import scales
from sinewright.results import CalfTrial, Outcome, Spread, Weighing
from sinewright.wording.calf import SAID, TITLE, calf_cells, leading, letters_of, not_counted
from sinewright.wording.columns import LADDER_COLUMNS, Column
from sinewright.wording.counts import in_hundred, percent
from sinewright.wording.directions import MOMENT, PULL
from sinewright.wording.standing import Worths, goal_words

DEGREE = "°"
ROW_KEYS = ("pushdown_deg", "hindfoot_in_lift_deg", "reach_margin_mm")
LIFT, GOAL = "lift, knee straight", "goal:"
HEADS = ["clears the floor", "push-down kept", "hindfoot in lift", "reach", "worth of 100"]
SORTS = {
    "worth": "what matters to the patient", "lift_deg": "lift", "clears_swing": "clears in swing",
    "reach_margin_mm": "reach", "second": "a second chance",
}  # fmt: skip
NOTE = (
    "Dot: the middle of the virtual legs that agree with this examination. Thick bar: half of them. Thin bar: nine "
    "in ten. Shade: enough for the toes. Below each middle: nine in ten."
)
CHANCES = {"clears_swing": "clears in swing without a brace", "lowers_foot": "no slap at heel strike"}
LEFT = {"left to turn the foot in": "inward_after_Nm", "left to turn the foot out": "outward_after_Nm"}
_COLUMN = {column.key: column for column in LADDER_COLUMNS}


def said(spread: Spread | None, column: Column) -> list[str]:
    """The middle and its nine-tenths."""
    return list(column.cell(spread, DEGREE))


def row(outcome: Outcome) -> dict[str, Any]:
    """One row for the page."""
    choice, lift = outcome.choice, outcome.spread("lift_deg")
    base = {
        "id": choice.id, "title": choice.title, "subtitle": choice.subtitle, "reason": outcome.reason,
        "kind": outcome.status.replace(" ", "-"), "word": outcome.status.capitalize(), "bar": None,
    }  # fmt: skip
    if lift is None or outcome.status == "set aside":
        return base
    clears = outcome.chances.get("clears_swing")
    cells = [_chance(outcome) if clears else ["not computed", ""]]
    cells += [said(outcome.spread(key), _COLUMN[key]) for key in ROW_KEYS]
    cells.append(_worth(outcome))
    return {**base, "bar": list(lift.as_tuple()), "lift": said(lift, _COLUMN["lift_deg"]), "cells": cells}


def aside(outcomes: Sequence[Outcome]) -> list[dict[str, Any]]:
    """One row for all ways of a donor that are set aside for the same reason; each way stays to be read."""
    together: dict[tuple[str, str], list[Outcome]] = {}
    for each in outcomes:
        together.setdefault((each.choice.title, each.reason), []).append(each)
    made = []
    for ways in together.values():
        first = row(ways[0])
        if len(ways) > 1:
            first |= {"subtitle": f"{len(ways)} ways", "ways": [each.choice.subtitle for each in ways]}
        made.append(first)
    return made


def notes(outcome: Outcome, case: Case, computed: str) -> list[dict[str, str]]:
    """Where each number of a row comes from, and why it is doubtful or set aside."""
    made = row(outcome)
    reasons = why(outcome, case, computed)
    if made["bar"] is None:
        return reasons
    cells = zip(
        (LIFT, *HEADS), ("lift_deg", "clears_swing", *ROW_KEYS, "worth"), (made["lift"], *made["cells"]), strict=True
    )
    numbers = [
        {"label": label, "said": f"{cell[0]} ({cell[1]})" if cell[1] else cell[0],
         "note": note_of(key, case, _moved([outcome]), computed)}
        for label, key, cell in cells
    ]  # fmt: skip
    return numbers + reasons


def why(outcome: Outcome, case: Case, computed: str) -> list[dict[str, str]]:
    """The reason beside a choice: the rules that spoke, the numbers it was judged by, or the findings."""
    if not outcome.reason:
        return []
    donors = _moved([outcome])
    stops = [rule for rule in outcome.rules if rule.stops]
    if stops and outcome.status == "set aside":
        note = rules_note(stops)
    elif outcome.quantities:
        note = note_of("status", case, donors, computed)
    else:
        found = found_lines(case, [f"muscles.{donor}." for donor in donors])
        told = "".join(f"\n· {line}" for line in found) or "\n· nothing was found about this muscle"
        note = f"From this patient's examination, without a calculation:{told}"
    return [{"label": outcome.status, "said": outcome.reason, "note": note}]


def donors_of(moved: Sequence[str]) -> list[str]:
    """The muscles that some operations move, each once; an operation names its own with a plus between them."""
    return list(dict.fromkeys(name for each in moved for name in each.split(" + ")))


def _moved(outcomes: Sequence[Outcome]) -> list[str]:
    return donors_of([each.choice.donor for each in outcomes])


def beside_note(key: str, outcomes: Sequence[Outcome], case: Case, computed: str) -> str:
    """Where a line of the comparison comes from; an empty text where it holds words only."""
    if key.startswith(GOAL):
        scale = scales()[key.removeprefix(GOAL)]
        return f"Scale of this goal, our judgement: {scale}. Its mean over the virtual legs. {computed}"
    if key == "watch":
        return rules_note([rule for each in outcomes for rule in each.rules])
    return note_of(key, case, _moved(outcomes), computed) if key in BASES else ""


def _chance(outcome: Outcome) -> list[str]:
    clears = outcome.chances["clears_swing"]
    return [f"{percent(clears.share):.0f} in 100", f"{percent(clears.low):.0f} to {percent(clears.high):.0f}"]


def _worth(outcome: Outcome) -> list[str]:
    standing = outcome.standing
    if standing is None:
        return ["", ""]
    low, high = percent(standing.utility.p05), percent(standing.utility.p95)
    return [f"{percent(standing.mean):.0f}", f"{low:.0f} to {high:.0f}"]


def ordered(outcomes: Sequence[Outcome], sort: str) -> list[Outcome]:
    """Best on top by one of `SORTS`; those set aside last."""

    def best(outcome: Outcome) -> float:
        standing = outcome.standing
        if standing is None:
            return float("-inf")
        if sort == "worth":
            return -float(standing.place)
        if sort == "second":
            return standing.met["second_chance"]
        if sort == "clears_swing":
            chance = outcome.chances.get(sort)
            return chance.share if chance else float("-inf")
        spread = outcome.spread(sort)
        return spread.p50 if spread else float("-inf")

    return sorted(outcomes, key=lambda each: (each.status == "set aside", -best(each), each.choice.id))


def beside(outcomes: Sequence[Outcome], weighing: Weighing) -> list[tuple[str, str, list[str]]]:
    """Rows of a comparison: the key of the quantity, its name, then one text for each choice."""
    pull = Column("junction_pull_N", ("", ""), "pull on the junction in lift", "", PULL)
    columns = (*LADDER_COLUMNS, pull)
    rows = [
        (column.key, column.label, [_both(each.spread(column.key), column) for each in outcomes]) for column in columns
    ]
    rows += [(key, words, [_chance_words(each, key) for each in outcomes]) for key, words in CHANCES.items()]
    rows += _stance(outcomes)
    titles = Worths.of(weighing).titles or {}
    for goal in weighing.goals:
        met = [f"{percent(each.standing.met[goal.name]):.0f} of 100" if each.standing else "" for each in outcomes]
        rows.append((f"{GOAL}{goal.name}", f"goal met: {goal_words(goal.name)}", met))
    left = [titles.get(each.standing.reserve, "nothing of the list") if each.standing else "" for each in outcomes]
    rows.append(("reserve", "still possible if it fails", left))
    rows.append(("watch", "watch", [_watch(each) or "no rule spoke" for each in outcomes]))
    return rows


def _chance_words(outcome: Outcome, key: str) -> str:
    return in_hundred(outcome.chances[key]) if key in outcome.chances else "not computed"


def _watch(outcome: Outcome) -> str:
    flags = outcome.balance.flags if outcome.balance else ()
    told = [text.rstrip(".") for text in (*(rule.text for rule in outcome.rules), *flags)]
    return " ".join(f"{text[:1].upper()}{text[1:]}." for text in told)


def _both(spread: Spread | None, column: Column) -> str:
    middle, wide = column.cell(spread, DEGREE)
    return f"{middle} ({wide})" if wide else middle


def _stance(outcomes: Sequence[Outcome]) -> list[tuple[str, str, list[str]]]:
    """What is left to turn the foot in and out in stance."""
    told = []
    for words, key in LEFT.items():
        cells = []
        for each in outcomes:
            spread = getattr(each.balance, key) if each.balance else None
            cells.append(
                f"{MOMENT.one(spread.p50)} ({MOMENT.between(spread.p05, spread.p95)})" if spread else "not computed"
            )
        told.append((key, words, cells))
    return told


SHORT = {"lift_deg": "lift", "rest_deg": "at rest hanging", "pushdown_deg": "push-down kept",
         "clears_swing": "clears the floor in swing", "set_stretch_mm": "sewn"}  # fmt: skip
"""The columns: every number that is told of a choice, in its order."""


def show_calf_first(trials: Sequence[CalfTrial], case: Case, computed: str, page: str) -> None:
    """The part, for a calf that is short; `page` is the address of the plan."""
    letters = letters_of(trials)
    Say("h2", TITLE)
    with box("div", "one-source"):
        with box("ul", "leads"):
            for trial in trials:
                with box("li", "planned" if trial.procedure == (case.plan.calf_procedure or "none") else ""):
                    Say("span", leading(trial, letters))
        with box("p", "watch"):
            Say("span", f"{not_counted(trials)} ")
            show_source_note("calf_first", case, _donors(trials), computed, "what leads with each calf procedure")
        named = "Calf first, side by side"
        with box("div", "sideways", tabindex="0", role="region", aria_label=named), box("table", "beside calf-beside"):
            _head(case, _donors(trials), computed)
            for found in zip(*(trial.outcomes for trial in trials), strict=True):
                _choice(trials, found, letters, page)


def _donors(trials: Sequence[CalfTrial]) -> list[str]:
    return donors_of([outcome.choice.donor for outcome in trials[0].outcomes])


def _head(case: Case, donors: Sequence[str], computed: str) -> None:
    with box("thead"), box("tr"):
        Say("th", "calf", scope="col")
        for key, label in SHORT.items():
            with box("th", scope="col"):
                markup(named_note(label, note_of(key, case, donors, computed)), "span")


def _choice(trials: Sequence[CalfTrial], found: Sequence[Outcome], letters: dict[str, str], page: str) -> None:
    choice = found[0].choice
    letter = letters[choice.id]
    with box("tbody"):
        with box("tr"), box("th", "over", scope="rowgroup", colspan=len(SHORT) + 1):
            Say("span", f"{letter}  {choice.title}", "title")
            Say("span", choice.subtitle, "subtitle")
            link(f"Set the calf procedure on Plan, with {letter}", f"{page}?choice={quote(choice.id)}#{PLACE}")
        for trial, outcome in zip(trials, found, strict=True):
            with box("tr", "leads" if choice.id in trial.leaders else ""):
                with box("th", scope="row"):
                    Say("span", SAID[trial.procedure])
                    if choice.id in trial.leaders:
                        Say("span", f"{_PLACES[trial.leaders.index(choice.id)]} of what leads", "subtitle")
                _cells(outcome)


_PLACES = ("first", "second", "third", "fourth", "fifth")


def _cells(outcome: Outcome) -> None:
    told = {key: words for key, _, words in calf_cells(outcome, DEGREE)}
    if not told:
        Say("td", outcome.reason, colspan=len(SHORT))
        return
    for key in SHORT:
        middle, _, wide = told.get(key, "not computed").partition(" (")
        with box("td"):
            Say("b" if wide else "span", middle)
            if wide:
                Say("span", f"({wide}", "subtitle")
