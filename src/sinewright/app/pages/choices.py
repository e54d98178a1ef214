"""Choices: the ladder of every operation for this patient, what matters, what to measure next, rules, other ways."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import partial
from typing import Any

from nicegui import ui

from sinewright.app.elements import LadderTable, Say, Slider, box, button, dress, link, markup, named_note, source_note
from sinewright.app.examination import Examination
from sinewright.app.frame import CaseHead, page
from sinewright.app.ladder_rows import (
    HEADS,
    NOTE,
    SORTS,
    aside,
    beside,
    beside_note,
    donors_of,
    notes,
    ordered,
    row,
    show_calf_first,
)
from sinewright.app.open_case import open_case
from sinewright.app.services import SEED, Services
from sinewright.app.waiting import Waiting
from sinewright.app.where_from import EveryRow, legs, show_caution, show_source_note, show_views
from sinewright.case import digest
from sinewright.choose.goals import SCALES, USUAL_WEIGHT
from sinewright.export.ladder import LadderRow, axis_for
from sinewright.results import Alternative, Asked, Fired, Outcome, Weighing
from sinewright.wording.asking import beside_asking, worth_asking
from sinewright.wording.columns import LADDER_TITLE, ZONE_DEG
from sinewright.wording.rules import SUITS_WORDS, grouped
from sinewright.wording.rules import TITLE as RULES_TITLE
from sinewright.wording.standing import finding, goal_words

MOST_COMPARED, ROWS, ASKED = 3, 12, 5
BESIDE = "beside"
"""Where the comparison stands on the page."""


@dataclass
class ChoicesPage:
    """What this tab shows: the case, the weighing, and how the ladder is sorted, filtered and compared."""

    services: Services
    exam: Examination
    weighing: Weighing | None = None
    sort: str = "worth"
    donor: str = ""
    doubtful: bool = True
    every: bool = False
    picked: list[str] = field(default_factory=list)
    slots: dict[str, Any] = field(default_factory=dict)

    @property
    def shown(self) -> list[Outcome]:
        """The outcomes in order, those filtered out left away."""
        outcomes = self.weighing.outcomes if self.weighing else ()
        kept = [each for each in outcomes if self.donor in ("", each.choice.donor)]
        kept = [each for each in kept if self.doubtful or each.status != "doubtful"]
        return ordered(kept, self.sort)


def register(services: Services) -> None:
    """Puts the page at its address."""

    @ui.page("/case/{name}/choices")
    async def choices(name: str) -> None:
        found = await open_case(services, name)
        if found is not None:
            build(ChoicesPage(services, found[0]), found[1])


def build(context: ChoicesPage, head: CaseHead) -> None:
    """The whole page; the weighing begins at once."""
    with page("Choices", "choices", head), box("div", "columns"):
        with box("div", "wide"):
            with box("section", "card"):
                Say("h1", LADDER_TITLE)
                with box("p", "finding"):
                    context.slots["finding"] = Say("span", "")
                    context.slots["finding-from"] = box("span")
                context.slots["wait"] = Waiting(partial(_weighed, context))
                with box("div") as rungs:
                    Say("p", NOTE, "hint")
                    _bar(context)
                    context.slots["ladder"] = LadderTable(
                        lambda event: _pick(context, event.args),
                        lambda event: _notes(context, event.args),
                        lambda: _every(context),
                    )
                context.slots["rungs"] = rungs
            context.slots["compare"] = box("section", "card", id=BESIDE, tabindex="-1")
            context.slots["calf"] = box("section", "card")
            context.slots["options"] = box("section", "card")
            context.slots["rows"] = EveryRow()
        with box("div", "side"):
            context.slots["next"] = box("section", "card")
            with context.slots["next"]:
                Say("h2", "What to measure next")
                context.slots["asked"] = box("div")
                context.slots["wait-ask"] = Waiting(partial(_told, context))
            _weights(context)
            context.slots["rules"] = box("section", "card")
    for name in ("compare", "calf", "options", "rules", "rungs", "next"):
        context.slots[name].set_visibility(False)
    _weigh(context)


def _weigh(context: ChoicesPage) -> None:
    context.slots["wait"].follow(context.services.weighing(context.exam.case))


def _weighed(context: ChoicesPage, weighing: Weighing) -> None:
    context.weighing = weighing
    context.slots["ladder"].props["notes"] = {}
    for name in ("rungs", "next"):
        context.slots[name].set_visibility(True)
    context.slots["rows"].show(weighing.rows)
    with context.slots["finding-from"].clear():
        show_source_note("told_apart", context.exam.case, [], _basis(weighing), "which choices are told apart")
    _ladder(context)
    _rules(context)
    _calf(context, weighing)
    _options(context)
    _compare(context)
    case = context.exam.case
    context.slots["asked"].clear()
    draws = context.services.draws
    job = context.services.compute.ask("ask", case, draws, SEED, key=(digest(case), draws, SEED))
    context.slots["wait-ask"].follow(job)


def _bar(context: ChoicesPage) -> None:
    with box("div", "bar filters"):
        with box("label", "search"):
            Say("span", "Order by")
            with box("select").on("change", partial(_sort, context), js_handler="(e) => emit(e.target.value)"):
                for key, words in SORTS.items():
                    Say("option", words, value=key)
        with box("label", "search"):
            Say("span", "Donor")
            context.slots["donors"] = box("select")
            context.slots["donors"].on("change", partial(_donor, context), js_handler="(e) => emit(e.target.value)")
        shown = button("Hide doubtful", lambda: _doubt(context), "quiet", aria_pressed="false")
        context.slots["doubt"] = shown
        context.slots["to-beside"] = link("", f"#{BESIDE}", "button quiet")
        context.slots["to-beside"].set_visibility(False)


def _sort(context: ChoicesPage, event: Any) -> None:
    context.sort = event.args if event.args in SORTS else "worth"
    _ladder(context)


def _donor(context: ChoicesPage, event: Any) -> None:
    context.donor = str(event.args or "")
    _ladder(context)


def _doubt(context: ChoicesPage) -> None:
    context.doubtful = not context.doubtful
    context.slots["doubt"].props["aria-pressed"] = "false" if context.doubtful else "true"
    context.slots["doubt"].update()
    _ladder(context)


def _every(context: ChoicesPage) -> None:
    context.every = not context.every
    _ladder(context)


def _pick(context: ChoicesPage, choice: str) -> None:
    if choice in context.picked:
        context.picked.remove(choice)
    elif len(context.picked) < MOST_COMPARED:
        context.picked.append(choice)
    _ladder(context)
    _compare(context)


def _computed(weighing: Weighing) -> str:
    return legs(weighing.draws, weighing.seed, weighing.rows)


def _notes(context: ChoicesPage, choice: str) -> None:
    """Where the numbers of one row come from, for whoever opened it."""
    weighing, ladder = context.weighing, context.slots["ladder"]
    found = [each for each in weighing.outcomes if each.choice.id == choice] if weighing else []
    if weighing is not None and found:
        made = notes(found[0], context.exam.case, _computed(weighing))
        ladder.show(notes={**ladder.props["notes"], choice: made})


def _donors(context: ChoicesPage) -> None:
    slot = context.slots["donors"]
    if len(list(slot)) or context.weighing is None:
        return
    with slot:
        Say("option", "every donor", value="")
        titles = {each.choice.donor: each.choice.title for each in context.weighing.outcomes}
        for donor, title in sorted(titles.items(), key=lambda pair: pair[1]):
            Say("option", title, value=donor)


def _ladder(context: ChoicesPage) -> None:
    if context.weighing is None:
        return
    _donors(context)
    outcomes = context.shown
    able = [each for each in outcomes if each.status != "set aside"]
    left = [each for each in outcomes if each.status == "set aside"]
    shown = able if context.every else able[:ROWS]
    context.slots["finding"].text = f"{finding(_able(context.weighing))} "
    lifts = [LadderRow("", "", "workable", "", each.spread("lift_deg")) for each in able]
    axis = axis_for(lifts, 0.0)
    more = f"Show the first {ROWS} only" if context.every else f"Show {len(able) - ROWS} more"
    context.slots["ladder"].show(
        rows=[*map(row, shown), *aside(left)], heads=HEADS, low=axis.low, high=axis.high, zone=list(ZONE_DEG),
        picked=list(context.picked), base=f"/case/{context.exam.stored.name}/plan?choice=",
        caption=f"Choices for the {context.weighing.side} foot, best on top", more=more if len(able) > ROWS else "",
    )  # fmt: skip


def _able(weighing: Weighing) -> list[Outcome]:
    return [each for each in ordered(weighing.outcomes, "worth") if each.status != "set aside"]


def _basis(weighing: Weighing) -> str:
    """What the whole ladder was computed on."""
    return (
        f"{_computed(weighing)} {weighing.effective_sample_size:.0f} of the proposed legs agree with the examination; "
        f"{weighing.tendon} tendon; Sinewright {weighing.version}."
    )


def _compare(context: ChoicesPage) -> None:
    slot = context.slots["compare"]
    slot.clear()
    weighing = context.weighing
    by_id = {each.choice.id: each for each in weighing.outcomes} if weighing else {}
    picked = [by_id[each] for each in context.picked if each in by_id]
    slot.set_visibility(bool(picked))
    there = context.slots["to-beside"]
    there.set_visibility(bool(picked))
    there.text = f"Side by side: {len(picked)}"
    if not picked or weighing is None:
        return
    with slot:
        Say("h2", "Side by side")
        with box("div", "sideways", tabindex="0", role="region", aria_label="Side by side"), box("table", "beside"):
            with box("thead"), box("tr"):
                Say("th", "", scope="col")
                for each in picked:
                    with box("th", scope="col"):
                        Say("span", each.choice.title, "title")
                        Say("span", each.choice.subtitle, "subtitle")
            with box("tbody"):
                for key, name, cells in beside(picked, weighing):
                    with box("tr"):
                        with box("th", scope="row"):
                            note = beside_note(key, picked, context.exam.case, _computed(weighing))
                            if note:
                                markup(named_note(name, note), "span")
                            else:
                                Say("span", name)
                        for cell in cells:
                            Say("td", cell)


def _weights(context: ChoicesPage) -> None:
    with box("section", "card"):
        Say("h2", "What matters to this patient")
        Say("p", "Drag or type; the ladder follows. What is set here is kept in the case.", "hint")
        goals = context.exam.case.goals
        for name in type(goals).model_fields:
            if name == "own_words":
                continue
            value = getattr(goals, name)
            with box("div", "weight"):
                slider = Slider(goal_words(name), 0, 10, 1, USUAL_WEIGHT if value is None else value)
                slider.on("rest", partial(_weight, context, name))
                markup(source_note(_decided(value), _weight_note(name, value), f"weight of {goal_words(name)}"))
        context.slots["said"] = Say("p", "", "said hint", role="status")


def _decided(value: float | None) -> str:
    return "usual weight" if value is None else "as weighed"


def _weight_note(name: str, value: float | None) -> str:
    """Where a weight comes from when the page opens, and what its goal is held against."""
    kept = "Weighed for this patient; kept in the case." if value is not None else (
        f"Nobody has weighed this goal yet: every goal then counts {USUAL_WEIGHT:g}, our judgement."
    )  # fmt: skip
    return f"{kept}\n\nScale of the goal, our judgement: {SCALES[name]}."


async def _weight(context: ChoicesPage, name: str, event: Any) -> None:
    exam = context.exam
    done = await context.services.in_thread(lambda: exam.edit(f"goals.{name}", float(event.args), None))
    words = f"Stored, version {exam.stored.version}." if done else f"Not stored. {' '.join(exam.problems.values())}"
    context.slots["said"].text = words
    _weigh(context)


def _told(context: ChoicesPage, asked: Asked) -> None:
    slot = context.slots["asked"]
    slot.clear()
    with slot:
        if not asked.questions:
            Say("p", "No operation is left to ask about.", "hint")
        with box("div", "one-source"):
            if utility := worth_asking(asked.questions)[:ASKED]:
                with box("ul", "asks"):
                    for told in utility:
                        Say("li", told)
            if asked.questions:
                for told in beside_asking(asked.questions):
                    Say("p", told, "asks hint")
                show_source_note("asked", context.exam.case, [], _virtual(context), "what to measure next")
        if asked.leading:
            choice, effects = asked.leading[0].choice, asked.leading[0].effects
            parts = [f"{each.doubt} {100 * each.total:.0f} %" for each in effects[:3]]
            with box("p", "hint"):
                Say("span", f"The lift of the first choice ({choice.title}) hangs most on: {', '.join(parts)}. ")
                donors = donors_of([choice.donor])
                show_source_note("fragile", context.exam.case, donors, _virtual(context), "what it hangs on")


def _virtual(context: ChoicesPage) -> str:
    return _computed(context.weighing) if context.weighing else legs(context.services.draws, SEED)


def _rules(context: ChoicesPage) -> None:
    slot, weighing = context.slots["rules"], context.weighing
    slot.clear()
    if weighing is None:
        return
    slot.set_visibility(True)
    with slot:
        Say("h2", RULES_TITLE)
        with box("ul", "rules"):
            for rule in weighing.rules:
                _rule(rule, 0)
            for rule, count in grouped(each.rules for each in weighing.outcomes):
                _rule(rule, count)
        for caution in weighing.warnings:
            with box("p", "hint"):
                Say("span", f"{caution.text} ")
                show_caution(caution)


def _rule(rule: Fired, choices: int) -> None:
    with box("li"):
        if rule.stops:
            Say("strong", "Stops: ")
        about = f" ({choices} {'choice' if choices == 1 else 'choices'})" if choices else ""
        Say("span", f"{rule.text}{about} ")
        if rule.override:
            Say("p", f"Overridden in writing: {rule.override}", "hint")
        show_views(rule.views)


def _calf(context: ChoicesPage, weighing: Weighing) -> None:
    """What a calf procedure in the same sitting would change, when the calf is short."""
    context.slots["calf"].set_visibility(bool(weighing.calf))
    with context.slots["calf"].clear():
        if weighing.calf:
            page_of_plan = f"/case/{context.exam.stored.name}/plan"
            show_calf_first(weighing.calf, context.exam.case, _computed(weighing), page_of_plan)


def _options(context: ChoicesPage) -> None:
    slot, weighing = context.slots["options"], context.weighing
    slot.clear()
    if weighing is None or not weighing.options:
        return
    slot.set_visibility(True)
    with slot:
        Say("h2", "Other ways than a transfer")
        Say("p", "No number is predicted for these; what is known stands behind each.", "hint")
        with box("ul", "rules"):
            for option in weighing.options:
                _option(option)


def _option(option: Alternative) -> None:
    item = box("li")
    dress(item, f"suits-{option.suits}", {})
    with item:
        Say("strong", f"{option.title}: {SUITS_WORDS[option.suits]}. ")
        Say("span", f"{option.reason} ")
        show_views(option.views)
