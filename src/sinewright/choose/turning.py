"""A finding that only the numbers give: the foot that turns in when it is lifted."""

import numpy as np

from sinewright.arrays import Floats
from sinewright.case import Case
from sinewright.choose import facts_moving as f
from sinewright.doubt.sample import middle
from sinewright.reference import load
from sinewright.results import Fired, Outcome

CODE, MOST = "turns_inward", "own-turn-in-lift"
ABOUT = "the middle leg turns in when it is lifted, as worked out"


def turns_inward(turn_deg: Floats) -> bool:
    """Whether the middle of some legs (N,) [deg, inversion +] turns in more than may lead."""
    good = turn_deg[np.isfinite(turn_deg)]
    return bool(good.size and middle(good) > load().fit_value(MOST))


def turning(case: Case, outcome: Outcome) -> tuple[Fired, ...]:
    """The finding about one operation, none where it does not turn in."""
    turn = outcome.spread("hindfoot_in_lift_deg")
    if turn is None or turn.p50 <= load().fit_value(MOST):
        return ()
    text = f"Lifted, the foot turns in by {turn.p50:.0f} degrees in the middle leg."
    views = (f.INSERTION_TURNS.view(), f.THINK_OF_BALANCE.view())
    reason = getattr(case.plan.overrides, CODE) or ""
    return (
        Fired(
            CODE, "warn", text, views, reason, severity="danger", costs="first place", opens="an insertion further out"
        ),
    )
