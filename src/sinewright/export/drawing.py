"""The pictures on their own: the leg with one operation, the ladder of choices, the tension ruler."""

from __future__ import annotations

from datetime import UTC, datetime

from sinewright.case import Case
from sinewright.export.gauge import ExpectedRest
from sinewright.export.ladder import draw_ladder
from sinewright.export.ladder_picture import ladder_of
from sinewright.export.planned import Planned, plan_page
from sinewright.export.profile import ProfileView, draw_profile
from sinewright.export.ruler_picture import draw_ruler
from sinewright.export.stamp import picture_caution
from sinewright.plan import weigh
from sinewright.units import deg

TOP = 8  # rows of each group of a ladder


def drawing(case: Case, picture: str, choice: str | None, draws: int, seed: int) -> str:
    """A profile, ladder or ruler as SVG; without a choice that of the first operation under the weights."""
    if picture == "ladder":
        return draw_ladder(ladder_of(weigh(case, draws, seed), TOP))
    planned = plan_page(case, choice, datetime.now(UTC), draws, seed)
    return profile_of(planned) if picture == "profile" else ruler_of(planned)


def profile_of(planned: Planned, ankle_deg: float | None = None, subtalar_deg: float = 0.0) -> str:
    """The leg to scale with the ankle as sewn, or at another angle; dorsiflexion and inversion positive."""
    rest = planned.outcome.spread("rest_on_table_deg")
    angle = float(deg(planned.leg.sewn.ankle)) if ankle_deg is None else ankle_deg
    expected = ExpectedRest(rest) if rest else None
    shown = ProfileView(angle, subtalar_deg, expected=expected, caution=picture_caution(planned))
    return draw_profile(planned.leg, shown)


def ruler_of(planned: Planned, measured_mm: float | None = None) -> str:
    """The tension ruler, with a second mark for a set stretch found on the table; tighter positive."""
    return draw_ruler(
        planned.ruler, planned.case.side, measured_mm, tension=planned.leg.tension, caution=picture_caution(planned)
    )
