"""The page that `sinewright swing` prints: one choice from toe-off to heel strike beside other feet."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from rich.text import Text

from sinewright.cli.parts import banner, bullets, heading, run_words, wrapped
from sinewright.cli.screen import Screen
from sinewright.results import Spread
from sinewright.wording.counts import in_hundred, percent
from sinewright.wording.directions import IN_OUT, MORE, UP_DOWN, Direction

if TYPE_CHECKING:
    from sinewright.results import SwingFoot, SwingPage

CLEARANCE = Direction(
    plus="above the floor", minus="below the floor", zero="just touching", unit="mm", brief=("above", "below")
)
GAIN = Direction(plus="", minus="less", unit="mm", decimals=1)
LIFTING = Direction(plus="", minus="down", zero="no lifting moment", unit="Nm", decimals=1)
BRIEFLY = {
    "today": "today",
    "brace": "in a stiff brace",
    "learned": "this choice",
    "untrained": "untrained",
    "trained": "with full effort",
    "healthy": "before the injury",
}
LEGEND = (
    "In brackets after a count in 100: how sure that count is. Elsewhere: from where to where nine in ten virtual "
    "patients lie. A sole below the floor would scrape."
)
COMPARE = "Compare with the foot before the injury, not with 100: healthy legs, too, differ in how low they pass."
CAUTIONS = (
    "Not a medical device: a calculation to think with, not a decision, and not validated on patients.",
    "Watch the patient walk: no source gives a firm ankle angle for safe clearance. Check the side above.",
)


def swing_lines(page: SwingPage, screen: Screen) -> list[Text]:
    """The whole page."""
    lines = banner(page.side, page.pseudonym, run_words(page), screen)
    title = screen.say(f"Swing: {page.choice.title}")
    opening, *rest = wrapped(f"{title}  {page.choice.subtitle}", screen, after="  ")
    opening.stylize("bold", 0, len(title))
    asked = f"Walking at {page.speed_m_s:g} m/s; {page.margin_mm:g} mm asked for under the sole."
    lines += [opening, *rest, *wrapped(asked, screen, "dim"), *wrapped(LEGEND, screen, "dim")]
    lines += [*heading("At a glance"), *bullets(_glance(page), screen), *wrapped(COMPARE, screen, "dim")]
    for foot in page.feet:
        lines += [*heading(screen.say(foot.title)), *_foot(foot, page.margin_mm, screen)]
    lines += [*heading("What one degree more is worth under the sole"), *_worth(page, screen)]
    lines += [*heading("How this was computed"), *bullets(page.notes, screen)]
    return [*lines, *heading("Cautions"), *bullets(CAUTIONS, screen)]


def _glance(page: SwingPage) -> list[str]:
    """Both questions over all feet, so that they can be compared in one place."""
    clears = [f"{BRIEFLY[foot.name]} {in_hundred(foot.clears_swing)}" for foot in page.feet]
    down = [f"{BRIEFLY[foot.name]} {in_hundred(foot.lowers_foot)}" for foot in page.feet if foot.lowers_foot]
    told = [f"clears the floor by {page.margin_mm:g} mm: {', '.join(clears)}"]
    return [*told, f"foot lowered under control after heel strike: {', '.join(down)}"] if down else told


def _foot(foot: SwingFoot, margin_mm: float, screen: Screen) -> list[Text]:
    say = _say(screen.spelled_degree)
    told = [
        f"clears {margin_mm:g} mm: {in_hundred(foot.clears_swing)}; "
        f"lowest point of the sole {say(CLEARANCE, foot.clearance_mm)}",
        f"extra flexion to clear (steppage): {_steppage(foot, say)}",
        f"mid-swing: ankle {say(UP_DOWN, foot.swing_ankle_deg)}, hindfoot {say(IN_OUT, foot.swing_hindfoot_deg)}",
        f"heel strike: ankle {say(UP_DOWN, foot.heel_strike_deg)}, "
        f"hindfoot {say(IN_OUT, foot.heel_strike_hindfoot_deg)}",
    ]
    if foot.available_Nm and foot.demand_Nm and foot.lowers_foot:
        told.append(
            f"lowering the foot after heel strike: the lifters give {say(LIFTING, foot.available_Nm)}, the floor "
            f"asks for {say(LIFTING, foot.demand_Nm)}; enough, so no slap: {in_hundred(foot.lowers_foot)}"
        )
    if foot.failed_share > 0.0:
        told.append(f"no solution in {percent(foot.failed_share):.1f} % of the virtual legs, left out")
    return bullets(told, screen)


Say = Callable[[Direction, Spread], str]


def _steppage(foot: SwingFoot, say: Say) -> str:
    hip, knee = say(MORE, foot.steppage_hip_deg), say(MORE, foot.steppage_knee_deg)
    return hip if hip == knee else f"hip {hip}, knee {knee}"


def _say(degree: str) -> Say:
    """A middle with its nine-tenths; where all of it rounds to the word for zero, that it is so in every leg."""

    def told(words: Direction, spread: Spread) -> str:
        middle, ends = words.one(spread.p50, degree), words.between(spread.p05, spread.p95)
        if words.zero and middle == ends == words.zero:
            return f"{middle} in {'any' if middle.startswith('no') else 'every'} virtual leg"
        return f"{middle} ({ends})"

    return told


def _worth(page: SwingPage, screen: Screen) -> list[Text]:
    say = _say(screen.spelled_degree)
    told = "; ".join(f"{joint} flexion {say(GAIN, spread)}" for joint, spread in page.per_degree_mm.items())
    return wrapped(f"Ankle held as in the brace: {told.replace('ankle flexion', 'ankle up')}", screen)
