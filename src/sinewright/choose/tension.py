"""How tight each operation is sewn when the plan does not say: a search on a few of the virtual legs.

Rule: the tightest stretch at which the donor still gives nine tenths of the best lifting moment that any stretch
gives at neutral, as long as the calf can still push the foot down far enough (middle leg). Slacker loses lift; tighter
turns a working muscle into a tether: over-stretching is the classic error (Friden and Lieber 1998). The full interval
and its price belong to the surgeon.
"""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from sinewright.solve.answer import MOMENT, PUSH, answer
from sinewright.solve.leg import Legs
from sinewright.transfer.plans import Sewn, lay_plans
from sinewright.units import m, rad

Floats = NDArray[np.float64]

STRETCHES_MM = tuple(float(s) for s in range(-10, 31, 5))
LEGS = 48  # of the virtual legs: enough to place a rule that moves in 5 mm steps
KEPT = 0.9  # of the best lifting moment; own choice
PUSH_DOWN_KEPT = rad(-20.0)  # middle leg; push-down that walking uses, row pa-gait-need-pf


def choose_stretch(legs: Legs, operations: Sequence[Sewn], elastic: bool) -> list[Sewn]:
    """The operations with their set stretch chosen by the rule above."""
    if not operations:
        return []
    some = Legs(*(part[:LEGS] for part in legs))
    tried = [replace(o, stretch=m(s)) for o in operations for s in STRETCHES_MM]
    out, failed = answer(some, lay_plans(tried), elastic)
    out = np.where((failed > 0)[:, :, None], np.nan, out)
    shape = (len(operations), len(STRETCHES_MM))
    moment = np.nanmedian(out[:, :, MOMENT], axis=0).reshape(shape)
    push = np.nanmedian(out[:, :, PUSH], axis=0).reshape(shape)
    return [replace(o, stretch=m(STRETCHES_MM[place(moment[i], push[i])])) for i, o in enumerate(operations)]


def place(moment: Floats, push: Floats) -> int:
    """Which of the stretches, slack to tight, the rule picks from middle moment [N.m] and push-down [rad]."""
    allowed = push <= PUSH_DOWN_KEPT
    if not allowed.any():
        return 0
    best = moment[allowed].max()
    return int(np.flatnonzero(allowed & (moment >= KEPT * best))[-1])
