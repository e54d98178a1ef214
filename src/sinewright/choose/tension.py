"""How tight each operation is sewn when the plan does not say: a search on some of the virtual legs.

Rule: the tightest stretch at which the donor still gives 95 in 100 of the best lifting moment that any stretch gives
at neutral (middle leg, after settling). Slacker loses lift; tighter turns a working muscle into a tether:
over-stretching is the classic error (Friden and Lieber 1998). The interval and its price belong to the surgeon.
"""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from sinewright.reference import load
from sinewright.solve.answer import MOMENT, answer
from sinewright.solve.leg import Legs
from sinewright.transfer.plans import Sewn, lay_plans
from sinewright.units import m

Floats = NDArray[np.float64]

STRETCHES_MM = tuple(float(s) for s in range(-14, 33, 2))
LEGS = 128  # of the virtual legs: enough to place a rule that moves in 2 mm steps
KEPT = "own-tension-kept"  # row: share of the best lifting moment


def choose_stretch(legs: Legs, operations: Sequence[Sewn], elastic: bool) -> list[Sewn]:
    """The operations with their set stretch chosen by the rule above."""
    if not operations:
        return []
    some = Legs(*(part[:LEGS] for part in legs))
    tried = [replace(o, stretch=m(s)) for o in operations for s in STRETCHES_MM]
    out, _ = answer(some, lay_plans(tried), elastic, moment_only=True)
    moment = np.median(out[:, :, MOMENT], axis=0).reshape(len(operations), len(STRETCHES_MM))
    return [replace(o, stretch=m(STRETCHES_MM[place(row)])) for o, row in zip(operations, moment, strict=True)]


def place(moment: Floats) -> int:
    """Which of the stretches, slack to tight, the rule picks from the middle moments [N.m]; 0 mm when none lifts."""
    best = moment.max()
    if not best > 0.0:
        return STRETCHES_MM.index(0.0)
    return int(np.flatnonzero(moment >= load().fit_value(KEPT) * best)[-1])
