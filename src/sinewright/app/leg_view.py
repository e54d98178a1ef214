"""The leg of the plan page: the drawing to scale and the solid beside it, both at the foot angle that is asked for."""

from __future__ import annotations

import asyncio
from dataclasses import dataclass, field
from typing import Any

from nicegui import background_tasks, ui

from sinewright.app.elements import Say, Slider, box, button, markup
from sinewright.app.services import Services
from sinewright.export.solid import SolidLeg
from sinewright.results import Side
from sinewright.service.worker import Frame, Sewing

FRAMES, RESTS_S = 60, 0.3
"""How many drawings are kept; how long the slider rests before both its neighbours are drawn ahead."""
SEE, PUT_AWAY = "See it solid", "Put the solid away"
KEY = (
    ("muscle", "moved muscle"), ("after", "its tendon after"), ("before", "its way before"),
    ("carries", "tendon that carries the pull"), ("recipient", "recipient in its place"), ("calf", "heel cord"),
)  # fmt: skip
"""What the colours of the solid mean, in words."""
Foot = tuple[float, float]


class SolidView(ui.element, component="parts/solid.js"):
    """A solid on a canvas, turned by drag, keys and buttons."""

    def __init__(self, side: Side) -> None:
        super().__init__()
        self.props["side"] = side

    def show(self, solid: dict[str, Any]) -> None:
        """Shows another pose; the place of the eye stays."""
        self.run_method("show", solid)


@dataclass
class LegView:
    """Drawing, solid and the two sliders of the foot; frames are kept while the operation stays as it is sewn."""

    services: Services
    side: Side
    sewing: Sewing | None = None
    solid: SolidLeg | None = None
    foot: Foot = (0.0, 0.0)
    onward: float = 1.0
    drawing: bool = False
    frames: dict[Foot, asyncio.Task[Frame]] = field(default_factory=dict)
    slots: dict[str, Any] = field(default_factory=dict)

    def build(self) -> None:
        """The elements, empty until something is sewn; the solid stands behind its button."""
        Say("h2", "The leg to scale", "sr")
        self.slots["profile"] = markup("", classes="paper profile")
        with box("div", "turning"):
            self._sliders()
            self.slots["see"] = button(SEE, self._see, "quiet", aria_expanded="false")
            self.slots["source-note"] = box("span", "hint")
        self.slots["beside"] = box("div", "leg-beside")
        self.slots["beside"].set_visibility(False)
        with self.slots["beside"]:
            with box("div", "solid-card"):
                self.slots["solid"] = SolidView(self.side)
            with box("div"):
                with box("ul", "solid-key"):
                    for kind, words in KEY:
                        with box("li"):
                            box("span", f"swatch {kind}", aria_hidden="true")
                            Say("span", words)
                Say("p", "Turn it by dragging, with the buttons, or with the arrow keys once it is chosen.", "hint")

    def _see(self) -> None:
        """Shows the solid, or puts it away again."""
        shown = not self.slots["beside"].visible
        self.slots["beside"].set_visibility(shown)
        self.slots["see"].text = PUT_AWAY if shown else SEE
        self.slots["see"].props["aria-expanded"] = "true" if shown else "false"
        self.slots["see"].update()

    def _sliders(self) -> None:
        foot = Slider("Foot", -50, 30, 1, 0, unit="°", plus="up", minus="down", zero="neutral")
        heel = Slider("Heel", -20, 20, 1, 0, unit="°", plus="in", minus="out", zero="straight")
        foot.on("move", lambda event: self.turn((float(event.args), self.foot[1])))
        heel.on("move", lambda event: self.turn((self.foot[0], float(event.args))))
        self.slots["foot"] = foot

    async def sewn(self, sewing: Sewing) -> None:
        """Shows the operation as it is sewn now; the first time the foot stands in the posture of fixing."""
        first, self.sewing, self.frames = self.sewing is None, sewing, {}
        self.solid = SolidLeg(sewing.leg)
        if first:
            self.foot = (sewing.ruler.choice.fixing.ankle_deg, 0.0)
            self.slots["foot"].move_to(self.foot[0])
        await self.turn(self.foot)

    async def turn(self, foot: Foot) -> None:
        """Draws the foot where the slider is; one drawing at a time, always ending with the last angle asked for and
        the operation as it is sewn by then."""
        self.onward = 1.0 if foot[0] >= self.foot[0] else -1.0
        self.foot = foot
        if self.drawing or self.sewing is None:
            return
        self.drawing = True
        drawn = None
        try:
            while drawn != self.foot:
                drawn, sewing = self.foot, self.sewing
                picture, solid = await self._frame(drawn)
                if self.sewing is not sewing:  # its picture would stand beside another ruler
                    drawn = None
                    continue
                self.slots["profile"].set_content(picture)
                self.slots["solid"].show(solid)
        finally:
            self.drawing = False
        background_tasks.create(self._ahead(self.foot), name="legs drawn ahead")

    async def _ahead(self, foot: Foot) -> None:
        """Draws where the slider goes next, so that it is there at once; what lies behind only once it rests."""
        for step, wait_s in ((self.onward, 0.0), (-self.onward, RESTS_S)):
            await asyncio.sleep(wait_s)
            if self.foot != foot or self.drawing:
                return
            await self._frame((foot[0] + step, foot[1]), ahead=True)

    async def _frame(self, foot: Foot, ahead: bool = False) -> Frame:
        assert self.sewing is not None
        assert self.solid is not None
        frames = self.frames
        if foot not in frames:
            if len(frames) >= FRAMES:
                frames.pop(next(iter(frames)))
            frames[foot] = asyncio.create_task(self.services.frame(self.sewing, self.solid, foot, ahead))
        try:
            return await asyncio.shield(frames[foot])
        except Exception:
            frames.pop(foot, None)
            raise
