"""Freezing a plan: what is to be frozen said once more with the side, the plans kept before, the press that freezes."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Any

from sinewright.app.elements import Say, box, button, link, markup, show_dangers, source_note
from sinewright.app.examination import Examination
from sinewright.app.frame import CAUTION
from sinewright.app.frozen_sheet import dangers_in, lay_sheet
from sinewright.app.how_sewn import calf_first, who_chose
from sinewright.app.open_case import frozen_of
from sinewright.app.services import Services
from sinewright.errors import SinewrightError
from sinewright.results import Outcome, Weighing
from sinewright.service.worker import Sewing, planned_of
from sinewright.store.plans import KeptPlan, plan_to_keep
from sinewright.wording.calf import SAID
from sinewright.wording.directions import STRETCH, sewn_words

FROZEN_NOTE = (
    "Kept word for word when the plan was frozen: number, operation, how far the mark is drawn, the moment, and the "
    "first signs of the sum over its whole content, by which a changed plan would be known."
)
NEVER = "A frozen plan never changes: theatre shows its numbers and nothing newer. A later one takes its place."
NOT_YET = "Waits until drawing, ruler and weighing are those of what is set above."


@dataclass(frozen=True)
class Ready:
    """What can be frozen: operation, weighing, and what the weighing says about the operation; of the stored case."""

    sewing: Sewing
    weighing: Weighing
    outcome: Outcome


@dataclass
class Freezing:
    """The card that freezes.

    Parameters
    ----------
    services : Services
    exam : Examination
        The case as this tab sees it.
    kept : tuple of KeptPlan
        Plans kept before, oldest first.
    ready : callable
        What can be frozen now; None while anything shown is not that of the stored case.
    note : callable
        Puts the mark of a number, by its key and what it is about.
    """

    services: Services
    exam: Examination
    kept: tuple[KeptPlan, ...]
    ready: Callable[[], Ready | None]
    note: Callable[[str, str], None]
    slots: dict[str, Any] = field(default_factory=dict)

    def build(self) -> None:
        """The elements; nothing can be pressed until something is ready."""
        with box("div", "freezing"):
            press = button("Look it over before freezing", self._review, "main big", disabled="")
            self.slots["press"] = press
            with box("div"):
                side = self.exam.case.side
                Say(
                    "p",
                    f"{side[0].upper()}  {side} foot. A calculation, not a decision and not a medical device.",
                    "hint",
                )
                self.slots["dangers"] = box("div")
                self.slots["not-yet"] = Say("p", NOT_YET, "hint")
        self.slots["review"] = box("div")
        self.slots["kept"] = box("div")
        self._show_kept()

    def allow(self) -> None:
        """The press follows what is ready; dangers stand beside it as soon as the weighing knows them."""
        ready, press = self.ready(), self.slots["press"]
        if ready is None:
            press.props["disabled"] = ""
        else:
            press.props.pop("disabled", None)
            with self.slots["dangers"].clear():
                show_dangers(dangers_in(ready.weighing, ready.outcome))
        press.update()
        self.slots["not-yet"].set_visibility(ready is None)

    def clear(self) -> None:
        """What was to be looked over is no longer what is set."""
        self.slots["review"].clear()

    def _show_kept(self) -> None:
        """The plan that stands; those before it behind a fold."""
        newest, earlier = self.kept[-1:], self.kept[:-1][::-1]
        with self.slots["kept"].clear():
            _list(newest)
            if earlier:
                with box("details", "more"):
                    Say("summary", f"{len(earlier)} earlier")
                    _list(earlier)

    def _review(self) -> None:
        ready = self.ready()
        if ready is None:
            return
        choice, stretch = ready.sewing.ruler.choice, ready.sewing.ruler.chosen.set_stretch_mm
        side = self.exam.case.side
        with self.slots["review"].clear(), box("div", "review"):
            Say("p", f"{side[0].upper()}  {side} foot", "plate-words")
            Say("p", f"{choice.title}, {choice.subtitle}.")
            if calf := calf_first(self.exam.case, ready.sewing.calf_gain_deg):
                with box("p"):
                    Say("strong", f"{calf} ")
                    self.note("calf_gain", "the gain of the calf")
            with box("p"):
                Say("span", f"{sewn_words(stretch, choice.fixing)} ")
                self.note("steps", "what is to be frozen")
            Say("p", who_chose(self.exam.case), "hint")
            show_dangers(dangers_in(ready.weighing, ready.outcome))
            Say("p", CAUTION, "hint")
            Say("p", NEVER, "hint")
            button(f"Freeze for the {side} foot", self._freeze, "main")
            button("Not yet", self.clear, "quiet")

    async def _freeze(self) -> None:
        ready, name = self.ready(), self.exam.stored.name
        if ready is None:
            return

        def work() -> int:
            with self.services.store.write(self.services.role) as unit:
                plan = plan_to_keep(ready.weighing, ready.sewing.ruler)
                return unit.keep_plan(name, self.exam.stored.version, plan)

        try:
            number = await self.services.in_thread(work)
        except SinewrightError as problem:
            self._say(f"Not frozen. {problem}")
            return
        self.kept = await self.services.in_thread(lambda: self.services.store.plans(name))
        self._show_kept()
        self._say(f"Plan {number} is kept; its page for theatre is being laid.")
        self._say(f"Plan {number} is frozen. {await self._lay(ready)}".strip())
        with self.slots["review"]:
            link("On to theatre", f"/case/{name}/theatre", "button main")

    def _say(self, words: str) -> None:
        with self.slots["review"].clear():
            Say("p", words, "said", role="status")

    async def _lay(self, ready: Ready) -> str:
        """Keeps what theatre will show beside the plan that was frozen; what went wrong, or nothing."""
        frozen = frozen_of(self.kept, self.services.draws)
        if frozen is None:
            return ""
        planned = planned_of(frozen[0], ready.weighing, ready.sewing, frozen[1])
        try:
            await lay_sheet(self.services, self.exam.stored.name, planned, frozen[0])
        except SinewrightError as problem:
            return str(problem)
        return ""


def _list(kept: Sequence[KeptPlan]) -> None:
    with box("ul", "kept"):
        for each in kept:
            with box("li"):
                Say("span", f"{kept_words(each)} ")
                markup(source_note("frozen", FROZEN_NOTE, f"plan {each.number}"), "span")


def kept_words(kept: KeptPlan) -> str:
    """A kept plan in a line: number, operation, set stretch, calf, whether it stands, when."""
    chosen = kept.chosen
    title = f"{chosen.title}, {STRETCH.one(chosen.set_stretch_mm)}" if chosen else "weighed only"
    calf = (kept.inputs.get("plan") or {}).get("calf_procedure") or "none"
    title += f", {SAID[calf]}" if calf != "none" else ""
    over = f", superseded by plan {kept.superseded_by}" if kept.superseded_by else ", stands"
    return f"Plan {kept.number}: {title}{over} · {kept.made_at[:16].replace('T', ' ')} UTC · {kept.hash[:8]}"
