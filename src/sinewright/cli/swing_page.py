"""The page that `sinewright swing` prints: one choice from toe-off to heel strike beside other feet."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from rich.text import Text

from sinewright.cli.parts import banner, bullets, heading, wrapped
from sinewright.cli.screen import Screen
from sinewright.cli.words import IN_OUT, MOMENT, MORE, UP_DOWN, Direction, in_hundred, percent
from sinewright.results import Side, Spread

if TYPE_CHECKING:
    from sinewright.choose.swinging import Foot, SwingPage

CLEARANCE = Direction(plus="above", minus="below", zero="touching", unit="mm")
GAIN = Direction(plus="", minus="less", unit="mm", decimals=1)
CAUTIONS = (
    "Not a medical device: a calculation to think with, not a decision, and not validated on patients.",
    "Watch the patient walk: no source gives a firm ankle angle for safe clearance. Check the side above.",
)


def swing_lines(page: SwingPage, side: Side, pseudonym: str, run: str, screen: Screen) -> list[Text]:
    """The whole page."""
    lines = banner(side, pseudonym, run, screen)
    title = screen.say(f"Swing: {page.choice.title}")
    opening, *rest = wrapped(f"{title}  {page.choice.subtitle}", screen, after="  ")
    opening.stylize("bold", 0, len(title))
    asked = f"Walking at {page.speed_m_s:g} m/s; {page.margin_mm:g} mm asked for under the sole."
    lines += [opening, *rest, *wrapped(asked, screen, "dim")]
    for foot in page.feet:
        lines += [*heading(screen.say(foot.title)), *_foot(foot, page.margin_mm, screen)]
    lines += [*heading("What one degree more is worth under the sole"), *_worth(page, screen)]
    lines += [*heading("How this was computed"), *bullets(page.notes, screen)]
    return [*lines, *heading("Cautions"), *bullets(CAUTIONS, screen)]


def _foot(foot: Foot, margin_mm: float, screen: Screen) -> list[Text]:
    degree = screen.spelled_degree
    say = _say(degree)
    told = [
        f"clears {margin_mm:g} mm: {in_hundred(foot.clears)}; least clearance {say(CLEARANCE, foot.clearance_mm)}",
        f"steppage that would clear: hip {say(MORE, foot.steppage_hip_deg)}, knee {say(MORE, foot.steppage_knee_deg)}",
        f"mid-swing: ankle {say(UP_DOWN, foot.mid_deg)}, hindfoot {say(IN_OUT, foot.mid_hindfoot_deg)}",
        f"heel strike: ankle {say(UP_DOWN, foot.strike_deg)}, hindfoot {say(IN_OUT, foot.strike_hindfoot_deg)}",
    ]
    if foot.available_Nm and foot.demand_Nm and foot.lets_down:
        told.append(
            f"letting the foot down: {say(MOMENT, foot.available_Nm)} of {say(MOMENT, foot.demand_Nm)} asked for; "
            f"enough, so no slap: {in_hundred(foot.lets_down)}"
        )
    if foot.failed_share > 0.0:
        told.append(f"no solution in {percent(foot.failed_share):.1f} % of the virtual patients, left out")
    return bullets(told, screen)


def _say(degree: str) -> Callable[[Direction, Spread], str]:
    return lambda words, spread: f"{words.one(spread.p50, degree)} ({words.between(spread.p05, spread.p95)})"


def _worth(page: SwingPage, screen: Screen) -> list[Text]:
    say = _say(screen.spelled_degree)
    told = "; ".join(f"{joint} flexion {say(GAIN, spread)}" for joint, spread in page.per_degree_mm.items())
    return wrapped(told.replace("ankle flexion", "ankle up"), screen)
