"""How tight each operation is sewn when the plan does not say: a search on some of the virtual legs.

Rule: the tightest stretch at which the donor still gives 95 in 100 of the best lifting moment that any stretch gives
at neutral (middle leg, after settling), and at which the relaxed muscle pulls no more than a hand can hold while it is
sewn. Slacker loses lift; tighter turns a working muscle into a tether: over-stretching is the classic error (Friden and
Lieber 1998). The second half binds where the foot is sewn low: against a short calf, or to the toe extensors. The
interval and its price belong to the surgeon.
"""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from sinewright.arrays import Floats
from sinewright.doubt.sample import middle
from sinewright.reference import load
from sinewright.solve.answer import MOMENT, PULL, answer
from sinewright.solve.leg import Legs
from sinewright.transfer.plans import SewnOperation, build_plans
from sinewright.units import m

STRETCHES_MM = tuple(float(s) for s in range(-14, 33, 2))
LEGS = 128  # of the virtual legs: enough to place a rule that moves in 2 mm steps
KEPT = "own-tension-kept"  # row: share of the best lifting moment
MOST_PULL = "own-sewing-pull"  # row: pull of the relaxed donor in the posture of sewing [N]
ROWS = (KEPT, MOST_PULL)


def choose_stretch(legs: Legs, operations: Sequence[SewnOperation], elastic: bool) -> list[SewnOperation]:
    """The operations with their set stretch chosen by the rule above."""
    if not operations:
        return []
    some = Legs(*(part[:LEGS] for part in legs))
    tried = [replace(o, stretch=m(s)) for o in operations for s in STRETCHES_MM]
    out, _ = answer(some, build_plans(tried), elastic, moment_only=True)
    moment, pull = (middle(out[:, :, i]).reshape(len(operations), -1) for i in (MOMENT, PULL))
    places = (place(*rows) for rows in zip(moment, pull, strict=True))
    return [replace(o, stretch=m(STRETCHES_MM[at])) for o, at in zip(operations, places, strict=True)]


def place(moment: Floats, pull: Floats) -> int:
    """Which of the stretches, slack to tight, the rule picks from the middle moments [N.m] and pulls [N].

    0 mm when none lifts, the slackest when every one pulls too much.
    """
    limit, best = load().fit_value, moment.max()
    kept = int(np.flatnonzero(moment >= limit(KEPT) * best)[-1]) if best > 0.0 else STRETCHES_MM.index(0.0)
    held = np.flatnonzero(pull <= limit(MOST_PULL))
    return min(kept, int(held[-1])) if held.size else 0
