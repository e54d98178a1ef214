"""Choices: the answer first and one rung for each donor; what matters, what to measure next; the rest folded below."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import partial
from typing import Any

from nicegui import ui

from sinewright.app.answer_head import show_figures, show_sentences
from sinewright.app.answer_rows import lift_axis, other_calf, out_rows, rung_rows
from sinewright.app.elements import (
    LadderTable,
    Rungs,
    Say,
    Slider,
    box,
    button,
    dress,
    link,
    markup,
    named_note,
    source_note,
)
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
from sinewright.app.where_from import EveryRow, legs, note_of, show_caution, show_source_note, show_views
from sinewright.case import digest
from sinewright.case.needed import needed_first, nothing_examined
from sinewright.choose.answer import answer_of
from sinewright.choose.goals import scales, usual_weight
from sinewright.export.ladder import LadderRow, axis_for
from sinewright.results import Alternative, Asked, Fired, Outcome, Weighing
from sinewright.results.answer import Answer
from sinewright.wording.asking import beside_asking, worth_asking
from sinewright.wording.columns import ZONE_DEG
from sinewright.wording.counts import basis_words, percent
from sinewright.wording.rules import SUITS_WORDS, grouped
from sinewright.wording.rules import TITLE as RULES_TITLE
from sinewright.wording.standing import finding, goal_words

MOST_COMPARED, ROWS, ASKED = 3, 12, 5
OPEN_WEIGHTS = 3  # stand open; the others are folded
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
    with page("Choices", "choices", head), box("div", "answered"):
        with box("section", "answer", aria_label="The answer"):
            with box("div", "one-source") as said:
                Say("h1", f"Choices for the {head.side} foot")
            context.slots["sentences"] = said
            context.slots["figures"] = box("div", "figures")
        context.slots["wait"] = Waiting(partial(_weighed, context))
        with box("div", "below") as below:
            with box("section", "one-source ladder-of", aria_label="One rung per donor"):
                context.slots["answer-rungs"] = Rungs()
                context.slots["ladder-from"] = box("p", "hint")
            with box("div", "rail"):
                _weights(context)
                _next(context)
        context.slots["below"] = below
        _folds(context)
    for name in ("compare", "calf", "options", "rules", "every", "below"):
        context.slots[name].set_visibility(False)
    if nothing_examined(context.exam.case):
        _needed(context)
    else:
        _weigh(context)


def _needed(context: ChoicesPage) -> None:
    """An empty case is not weighed: what is needed first, and the way there."""
    with context.slots["sentences"].clear(), box("div", "say"):
        Say("h1", "Nothing is weighed yet. ")
        Say("p", f"Needed first: {'; '.join(needed_first(context.exam.case))}.")
    with context.slots["sentences"]:
        link("To the findings", f"/case/{context.exam.stored.name}/findings", "button")


def _next(context: ChoicesPage) -> None:
    """The place of what to measure next."""
    with box("section"):
        Say("h2", "Measure next")
        context.slots["asked"] = box("div")
        context.slots["wait-ask"] = Waiting(partial(_told, context))


def _folds(context: ChoicesPage) -> None:
    """What stands folded below the answer; a closed fold says how much it holds."""
    with box("div", "folds"):
        context.slots["calf"] = box("section", "card")
        with box("section", "card") as every, box("details", "more"):
            context.slots["every-title"] = Say("summary", "")
            with box("p", "finding"):
                context.slots["finding"] = Say("span", "")
                context.slots["finding-from"] = box("span")
            Say("p", NOTE, "hint")
            _bar(context)
            context.slots["ladder"] = LadderTable(
                lambda event: _pick(context, event.args),
                lambda event: _notes(context, event.args),
                lambda: _every(context),
            )
            context.slots["compare"] = box("section", "card", id=BESIDE, tabindex="-1")
        context.slots["every"] = every
        context.slots["rules"] = box("section", "card")
        context.slots["options"] = box("section", "card")
        context.slots["rows"] = EveryRow()


def _weigh(context: ChoicesPage) -> None:
    context.slots["wait"].follow(context.services.weighing(context.exam.case))


def _weighed(context: ChoicesPage, weighing: Weighing) -> None:
    context.weighing = weighing
    context.slots["ladder"].props["notes"] = {}
    for name in ("below", "every"):
        context.slots[name].set_visibility(True)
    _answer(context, weighing, weighing.answer or answer_of(weighing))
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


def _answer(context: ChoicesPage, weighing: Weighing, answer: Answer) -> None:
    """Sentences, dangers and figures, and below them the rungs."""
    case, computed = context.exam.case, _computed(weighing)
    with context.slots["sentences"].clear():
        show_sentences(answer, note_of("told_apart", case, [], _basis(weighing)))
    with context.slots["figures"].clear():
        show_figures(answer, weighing, case, computed)
    low, high = lift_axis(answer)
    others, lifts = other_calf(weighing.calf, weighing.calf_procedure)
    context.slots["answer-rungs"].show(
        rungs=rung_rows(answer, lifts), outs=out_rows(answer), low=low, high=high, zone=list(ZONE_DEG), others=others,
        base=_plan_address(context), caption=f"Choices for the {weighing.side} foot, best on top",
    )  # fmt: skip
    with context.slots["ladder-from"].clear():
        show_source_note("told_apart", case, [], _basis(weighing), "the ladder")


def _plan_address(context: ChoicesPage) -> str:
    return f"/case/{context.exam.stored.name}/plan?choice="


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
    every = _able(context.weighing)
    context.slots["every-title"].text = f"Every way in one table: {len(every)}, to order, compare and follow back"
    lifts = [LadderRow("", "", "workable", "", each.spread("lift_deg")) for each in able]
    axis = axis_for(lifts, 0.0)
    more = f"Show the first {ROWS} only" if context.every else f"Show {len(able) - ROWS} more"
    context.slots["ladder"].show(
        rows=[*map(row, shown), *aside(left)], heads=HEADS, low=axis.low, high=axis.high, zone=list(ZONE_DEG),
        picked=list(context.picked), base=_plan_address(context),
        caption=f"Choices for the {context.weighing.side} foot, best on top", more=more if len(able) > ROWS else "",
    )  # fmt: skip


def _able(weighing: Weighing) -> list[Outcome]:
    return [each for each in ordered(weighing.outcomes, "worth") if each.status != "set aside"]


def _basis(weighing: Weighing) -> str:
    """What the whole ladder was computed on."""
    return (
        f"{_computed(weighing)} {basis_words(weighing.basis) + '; ' if weighing.basis else ''}"
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
    """What was weighed for this patient stands open, up to three; the others are folded."""
    goals = context.exam.case.goals
    names = [name for name in type(goals).model_fields if name != "own_words"]
    names.sort(key=lambda name: getattr(goals, name) is None)
    with box("section", "weights one-source"):
        Say("h2", "What matters")
        for name in names[:OPEN_WEIGHTS]:
            _slider(context, name)
        with box("details", "more"):
            Say("summary", f"{len(names) - OPEN_WEIGHTS} more")
            for name in names[OPEN_WEIGHTS:]:
                _slider(context, name)
        markup(source_note("where from", _weights_note(context, names), "what matters"), "p", "hint")
        context.slots["said"] = Say("p", "", "said hint", role="status")


def _slider(context: ChoicesPage, name: str) -> None:
    value = getattr(context.exam.case.goals, name)
    slider = Slider(goal_words(name), 0, 10, 1, usual_weight() if value is None else value)
    slider.on("rest", partial(_weight, context, name))


def _weights_note(context: ChoicesPage, names: Sequence[str]) -> str:
    """Where the weights come from when the page opens, and what each goal is held against."""
    goals = context.exam.case.goals
    usual = [goal_words(name) for name in names if getattr(goals, name) is None]
    open_ = f" Not yet weighed for this patient, so counted {usual_weight():g}, our judgement: {', '.join(usual)}."
    read = scales()
    every = "".join(f"\n· {goal_words(name)}: {read[name]}" for name in names)
    return (
        f"Drag or type; the ladder follows, and what is set is kept in the case.{open_ if usual else ''}"
        f"\n\nScales of the goals, our judgement:{every}"
    )


async def _weight(context: ChoicesPage, name: str, event: Any) -> None:
    exam = context.exam
    done = await context.services.in_thread(lambda: exam.edit(f"goals.{name}", float(event.args), None))
    words = f"Stored, version {exam.stored.version}." if done else f"Not stored. {' '.join(exam.problems.values())}"
    context.slots["said"].text = words
    _weigh(context)


def _told(context: ChoicesPage, asked: Asked) -> None:
    """The measurement that tells most, open; the others, and what the lift of the first hangs on, folded."""
    utility, dull = worth_asking(asked.questions)[:ASKED], beside_asking(asked.questions)
    told = [*utility, *(dull if asked.questions else ["No operation is left to ask about."])]
    first, stop, further = (told[0] if told else "").partition(". ")
    with context.slots["asked"].clear(), box("div", "one-source"):
        with box("ul", "asks"):
            Say("li", f"{first}{stop}".strip())
        with box("details", "more"):
            Say("summary", f"{len(told) - 1} more")
            for sentence in filter(None, (further, *told[1:])):
                Say("p", sentence)
            _hangs(context, asked)
        show_source_note("asked", context.exam.case, [], _virtual(context), "what to measure next")


def _hangs(context: ChoicesPage, asked: Asked) -> None:
    """What the lift of the first choice hangs on."""
    if not asked.leading:
        return
    choice, effects = asked.leading[0].choice, asked.leading[0].effects
    parts = [f"{each.doubt} {percent(each.total):.0f} %" for each in effects[:3]]
    with box("p", "hint"):
        Say("span", f"The lift of the first choice ({choice.title}) hangs most on: {', '.join(parts)}. ")
        show_source_note("fragile", context.exam.case, donors_of([choice.donor]), _virtual(context), "what it hangs on")


def _virtual(context: ChoicesPage) -> str:
    return _computed(context.weighing) if context.weighing else legs(context.services.draws, SEED)


def _rules(context: ChoicesPage) -> None:
    slot, weighing = context.slots["rules"], context.weighing
    slot.clear()
    if weighing is None:
        return
    spoken = grouped(each.rules for each in weighing.outcomes)
    count = len(weighing.rules) + len(spoken) + len(weighing.warnings)
    slot.set_visibility(count > 0)
    with slot, box("details", "more"):
        Say("summary", f"{RULES_TITLE}: {count}")
        with box("ul", "rules"):
            for rule in weighing.rules:
                _rule(rule, 0)
            for rule, choices in spoken:
                _rule(rule, choices)
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
    with context.slots["calf"].clear(), box("details", "more"):
        if weighing.calf:
            Say("summary", "Calf first, side by side: what leads without and with lengthening")
            page_of_plan = f"/case/{context.exam.stored.name}/plan"
            show_calf_first(weighing.calf, context.exam.case, _computed(weighing), page_of_plan)


def _options(context: ChoicesPage) -> None:
    slot, weighing = context.slots["options"], context.weighing
    slot.clear()
    if weighing is None or not weighing.options:
        return
    slot.set_visibility(True)
    with slot, box("details", "more"):
        Say("summary", f"Other ways than a transfer: {len(weighing.options)}")
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
