"""How an operation is sewn, as controls: calf procedure, tension, posture. What is left open follows the program."""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Mapping
from dataclasses import dataclass, field
from functools import partial
from typing import Any

from sinewright.app.elements import Say, Slider, box, button, markup, source_note
from sinewright.app.where_from import found_lines, note_of, rows_note, show_source_note, views_note
from sinewright.case import Case
from sinewright.case.fields import bounds_of
from sinewright.case.wishes import PlanWishes
from sinewright.choose.rules_body import RULES
from sinewright.choose.sewing import fixing_posture
from sinewright.results import CALF_PROCEDURES, Ruler
from sinewright.service.worker import Following, Sewing
from sinewright.wording.calf import SAID
from sinewright.wording.directions import MARK, STRETCH, UP_DOWN

PLACE = "calf"
"""Where the calf procedure is chosen, for links that lead there."""
GAIN, SET_MM, OVERLAP = "calf_gain_deg", "set_stretch_mm", "junction_overlap_mm"
ANKLE, HEEL, KNEE = "fixing_ankle_deg", "fixing_subtalar_deg", "fixing_knee_deg"
POSTURE = (ANKLE, KNEE, HEEL)
OPEN = "Not decided"
OPEN_NOTE = (
    "What nobody has set is chosen by the program and follows every change; what is set here is kept in the case and "
    "stays. The ankle is never sewn higher than it goes with the knee as it is held. Rows of tension and posture:"
)
_RULE = next(rule for rule in RULES if rule.code == "fixing_posture")


@dataclass(frozen=True)
class Control:
    """One slider: its name on the page, how it is called in a sentence, and how its values are said."""

    label: str
    called: str
    unit: str = "mm"
    plus: str = ""
    minus: str = ""
    zero: str = ""


CONTROLS = {
    GAIN: Control("Gain expected from it", "gain of the calf", "°", zero="none"),
    SET_MM: Control("Mark of the muscle", "set stretch", "mm", plus=MARK.plus, minus="short of it", zero=MARK.zero),
    OVERLAP: Control("Overlap", "overlap"),
    ANKLE: Control("Ankle as sewn", "ankle", "°", plus="up", minus="down", zero="neutral"),
    KNEE: Control("Knee as sewn", "knee", "°", plus="bent", minus="", zero="straight"),
    HEEL: Control("Hindfoot as sewn", "hindfoot", "°", plus="in", minus="out", zero="straight"),
}
FREED = {
    (GAIN,): "Let the program expect the gain", (SET_MM,): "set stretch", (OVERLAP,): "overlap", POSTURE: "posture",
}  # fmt: skip


def procedure_of(case: Case) -> str:
    """The calf procedure of the plan in words, empty where none is done."""
    planned = case.plan.calf_procedure
    return "" if planned in (None, "none") else SAID[planned].removeprefix("after ")


def calf_first(case: Case, gain_deg: float) -> str:
    """The sentence that stands wherever a plan with a calf procedure is shown; empty without one."""
    done = procedure_of(case)
    return f"First the calf: {done}, {gain_deg:.0f}° expected. All that is shown is after it." if done else ""


def who_chose(case: Case) -> str:
    """Which values the surgeon set and which the program chose, in one sentence each."""
    plan = case.plan
    names = [name for name in CONTROLS if name != GAIN or procedure_of(case)]
    mine = [CONTROLS[name].called for name in names if getattr(plan, name) is not None]
    free = [CONTROLS[name].called for name in names if getattr(plan, name) is None]
    mine = [*(["calf procedure"] if plan.calf_procedure else []), *mine]
    told = [f"Set by the surgeon: {', '.join(mine) or 'nothing'}.", f"Chosen by the program: {', '.join(free)}."]
    return " ".join(told if free else told[:1])


def at_first(case: Case) -> dict[str, float]:
    """What the program chooses before anything is sewn: the posture; the rest stands at nothing."""
    posture = fixing_posture(case)
    return {ANKLE: posture.ankle_deg, KNEE: posture.knee_deg, HEEL: posture.subtalar_deg}


def as_sewn(found: Sewing | Following) -> dict[str, float]:
    """What was chosen where the plan leaves it open."""
    choice = found.ruler.choice if isinstance(found, Sewing) else found.choice
    fixing = choice.fixing
    made = {
        SET_MM: choice.set_stretch_mm,
        ANKLE: fixing.ankle_deg,
        KNEE: fixing.knee_deg,
        HEEL: fixing.subtalar_deg,
    }
    made[GAIN] = round(found.calf_gain_deg, 1)
    return made | ({OVERLAP: found.overlap_mm} if isinstance(found, Sewing) else {})


@dataclass
class HowSewn:
    """The controls. `moves` is called while a slider moves, `keeps` with what is to be stored, None to free;
    `before_mark` puts the ruler that the mark's slider stands under."""

    moves: Callable[[str, float], Awaitable[None]]
    keeps: Callable[[dict[str, Any]], Awaitable[None]]
    undo: Callable[[], Awaitable[None]]
    before_mark: Callable[[], None] = lambda: None
    chosen: dict[str, float] = field(default_factory=dict)
    sliders: dict[str, Slider] = field(default_factory=dict)
    calf: dict[str | None, Say] = field(default_factory=dict)
    slots: dict[str, Any] = field(default_factory=dict)

    def build(self, case: Case) -> None:
        """The elements, at what the plan says and else at what the program would choose; the mark stands apart."""
        with box("div", "sewing-grid"):
            for name in POSTURE:
                self._slider(name)
        self._calf_part()
        with box("p", "watch") as rule:
            self.slots["rule"] = Say("span", "")
            self.slots["rule-from"] = box("span")
        self.slots["rule-box"] = rule
        with box("div", "bar tight"):
            Say("span", "Let the program choose")
            for names in (POSTURE, (SET_MM,), (OVERLAP,)):
                self._free(names)
            self.slots["from"] = box("span")
            button("Undo", self.undo, "quiet")
        self.slots["said"] = Say("p", "", "said hint", role="status")
        self.before_mark()
        with box("div", "under-ruler"):
            self._slider(SET_MM)
            self._slider(OVERLAP)
        self.unsewn(case)

    def unsewn(self, case: Case) -> None:
        """Nothing is sewn as the plan stands: only the posture is known."""
        self.chosen = at_first(case)
        self.show(case)

    def _calf_part(self) -> None:
        with box("div", "calf-first", id=PLACE, tabindex="-1"):
            with box("div", "bar tight", role="group", aria_label="Calf procedure"):
                Say("span", "Calf first")
                for each in (None, *CALF_PROCEDURES):
                    words = OPEN if each is None else "None" if each == "none" else SAID[each].removeprefix("after ")
                    act = partial(self.keeps, {"calf_procedure": each, GAIN: None})
                    self.calf[each] = button(words[:1].upper() + words[1:], act, "quiet")
            with box("div") as gain:
                self._slider(GAIN)
                with box("div", "bar"):
                    self._free((GAIN,))
            self.slots["gain"] = gain
            with box("p", "hint"):
                self.slots["calf-says"] = Say("span", "")
                self.slots["calf-from"] = box("span")
                Say("span", " Dotted: chosen by the program.")

    def _slider(self, name: str) -> None:
        low, high = bounds_of(PlanWishes.model_fields[name]) or (0.0, 0.0)
        control = CONTROLS[name]
        said = {"unit": control.unit, "plus": control.plus, "minus": control.minus, "zero": control.zero}
        made = Slider(control.label, low, high, 1, max(low, 0.0), **said)
        made.on("move", lambda event: self.moves(name, float(event.args)))
        made.on("rest", lambda event: self.keeps({name: float(event.args)}))
        self.sliders[name] = made

    def _free(self, names: tuple[str, ...]) -> None:
        words = FREED[names]
        named = None if names == (GAIN,) else f"Let the program choose the {words}"
        button(words, lambda: self.keeps(dict.fromkeys(names)), "quiet", aria_label=named)

    def said(self, words: str) -> None:
        """What became of the last entry."""
        self.slots["said"].text = words

    def back(self) -> None:
        """Nothing was stored: every slider goes back to where it stood."""
        for slider in self.sliders.values():
            slider.back()

    def show(self, case: Case, moved: Mapping[str, float] | None = None) -> None:
        """Every control at what the plan says, else at what was chosen last; not those that a hand is moving."""
        plan, moved = case.plan, moved or {}
        for name, slider in self.sliders.items():
            mine, chosen = getattr(plan, name), self.chosen.get(name)
            slider.props["by"] = "set by the surgeon" if mine is not None else (
                "chosen by the program" if chosen is not None else "not chosen yet"
            )  # fmt: skip
            if name not in moved:
                slider.props["value"] = mine if mine is not None else self.chosen.get(name, slider.props["value"])
            slider.update()
        for each, made in self.calf.items():
            made.props["aria-pressed"] = "true" if each == plan.calf_procedure else "false"
            made.update()
        self.slots["gain"].set_visibility(bool(procedure_of(case)))
        self.slots["calf-says"].text = _calf_says(case)
        self._rule(case)

    def follow(self, found: Sewing | Following, case: Case, moved: Mapping[str, float] | None = None) -> None:
        """What the program chose just now; controls that are left open go there."""
        self.chosen |= as_sewn(found)
        if isinstance(found, Sewing):
            marks = found.ruler.marks
            self.sliders[SET_MM].slide_between((marks[0].set_stretch_mm, marks[-1].set_stretch_mm))
        self.show(case, moved)

    def _rule(self, case: Case) -> None:
        """What is said when the ankle does not go where it would be sewn; silent while it does."""
        fired = _RULE.fired(case)
        self.slots["rule-box"].set_visibility(fired is not None)
        if fired is not None:
            self.slots["rule"].text = f"{fired.text.partition(':')[0]}. "
            with self.slots["rule-from"].clear():
                markup(source_note("reason", f"{fired.text}\n\n{views_note(fired.views)}", "the posture"), "span")

    def marks(self, case: Case, computed: str, rows: tuple[str, ...]) -> None:
        """Where the values stand that are not typed: rows of tension and posture, wishes, the gain of the calf."""
        told = "".join(f"\n· {line}" for line in found_lines(case, ("plan.",))) or "\n· nothing yet"
        note = f"{rows_note(OPEN_NOTE, rows)}\n\nSet in this case:{told}\n\n{note_of('overlap', case, [], '')}"
        with self.slots["from"].clear():
            markup(source_note("our judgement", note, "who chooses what"), "span")
        with self.slots["calf-from"].clear():
            show_source_note("calf_gain", case, [], computed, "the gain of the calf")


def _calf_says(case: Case) -> str:
    """What the calf procedure that is set, or none, means for everything on the page."""
    if procedure_of(case):
        return "All that is shown is after it. "
    if case.plan.calf_procedure == "none":
        return "Left as it is. "
    return ""


HEADS = ("ankle while sewing", "mark of the muscle", "the ankle goes there in")
SEWN, BEYOND = "as it is sewn", "beyond the ruler"


def exchange_rows(ruler: Ruler) -> list[tuple[str, str, str]]:
    """Ankle angle, stretch that does the same, and how many of 100 legs let the ankle up there; lowest ankle first.

    The posture in which it is sewn stands among them, in place of the same angle.
    """
    here = ruler.choice.fixing.ankle_deg
    rows = [(here, STRETCH.one(ruler.chosen.set_stretch_mm), SEWN)]
    for each in ruler.exchange:
        if round(each.ankle_deg) == round(here):
            continue
        stretch = BEYOND if each.set_stretch_mm is None else STRETCH.one(each.set_stretch_mm)
        rows.append((each.ankle_deg, stretch, f"{100 * each.goes_there:.0f} of 100 legs"))
    return [(UP_DOWN.one(ankle, "°"), stretch, legs) for ankle, stretch, legs in sorted(rows)]


def show_exchange(ruler: Ruler) -> None:
    """The table, with the posture of the plan marked in words and weight."""
    with box("table", "exchange"):
        Say("caption", "As tight as this in the middle leg, with the foot held otherwise while sewing", "hint")
        with box("thead"), box("tr"):
            for head in HEADS:
                Say("th", head, scope="col")
        with box("tbody"):
            for ankle, stretch, legs in exchange_rows(ruler):
                with box("tr", "here" if legs == SEWN else ""):
                    Say("th", ankle, scope="row")
                    Say("td", stretch)
                    Say("td", legs)
