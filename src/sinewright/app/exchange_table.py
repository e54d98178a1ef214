"""Other postures with the stretch that does the same, as lines of a small table beside the ruler; words only."""

from __future__ import annotations

from sinewright.app.elements import Say, box
from sinewright.results import Ruler
from sinewright.wording.directions import STRETCH, UP_DOWN

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
