"""How an operation is sewn: what the plan says; else the usual posture as far as this ankle goes, and a chosen stretch.

Posture and set stretch together set one length: for every posture there is a stretch that does the same, to within the
2 mm in which stretches are tried (tests/choose/test_sewing.py). So postures are not ranked against each other. What
decides is whether the foot can be put there: a short calf does not let it up, and lengthening does; and what a hand can
hold, since the lower the foot the harder the same length pulls (``choose.tension``).
"""

import math
from collections.abc import Sequence

from sinewright.case import Case, calf_procedure, passive_up
from sinewright.choose.tension import choose_stretch
from sinewright.doubt.stiffness import KNEE_BENT_DEG, LENGTHENING
from sinewright.reference import load
from sinewright.results import Posture
from sinewright.solve.leg import Legs
from sinewright.transfer.catalogue import Operation
from sinewright.transfer.plans import SewnOperation
from sinewright.units import m, rad

ANKLE, KNEE, SHORT_OF_LIMIT = "own-fixing-ankle", "own-fixing-knee", "own-fixing-short-of-limit"
ROWS = (ANKLE, KNEE, SHORT_OF_LIMIT)
LOWEST_DEG = -20.0  # the lowest ankle that a plan may name (``plan.fixing_ankle_deg``)


def as_sewn(case: Case, moved: Operation | None) -> SewnOperation:
    """An operation in the posture of ``fixing_posture``, with the plan's set stretch or none yet."""
    plan, posture = case.plan, fixing_posture(case)
    return SewnOperation(
        moved,
        rad(posture.ankle_deg),
        rad(posture.subtalar_deg),
        knee=rad(posture.knee_deg),
        stretch=m(plan.set_stretch_mm or 0.0),
        overlap=m(plan.junction_overlap_mm) if plan.junction_overlap_mm is not None else None,
        scarred_mass=case.foot.extensor_mass == "scarred together",
    )


def sewn_for(case: Case, legs: Legs, operations: Sequence[Operation]) -> list[SewnOperation]:
    """The operations as they are sewn on these legs, with the plan's set stretch or one chosen for each."""
    plans = [as_sewn(case, moved) for moved in operations]
    return plans if case.plan.set_stretch_mm is not None else choose_stretch(legs, plans, case.plan.tendon != "rigid")


def fixing_posture(case: Case) -> Posture:
    """Posture of sewing [deg]: the plan's; what it leaves open as usual, the ankle no higher than it goes."""
    plan, usual = case.plan, load().fit_value
    knee = plan.fixing_knee_deg if plan.fixing_knee_deg is not None else usual(KNEE)
    ankle = plan.fixing_ankle_deg
    if ankle is None:
        limit = highest_ankle(case, knee)
        ankle = usual(ANKLE) if limit is None else min(usual(ANKLE), math.floor(limit - usual(SHORT_OF_LIMIT)))
        ankle = max(ankle, LOWEST_DEG)
    return Posture(ankle, plan.fixing_subtalar_deg or 0.0, knee)


def highest_ankle(case: Case, knee_deg: float) -> float | None:
    """Passive limit up [deg] with the knee bent so far, after the calf procedure of the plan; None when not examined.

    Between straight and bent the limit runs straight, as in the model; what the procedure does is what
    ``doubt.stiffness.lengthen_calf`` does to the middle leg.
    """
    straight, bent = passive_up(case)
    if straight is None:
        return bent
    found = case.range.affected.knee_bent_deg
    bent_at = found.value if found else KNEE_BENT_DEG
    slope = (bent - straight) / bent_at if bent is not None else 0.0
    procedure, gain = calf_procedure(case), case.plan.calf_gain_deg
    if procedure == "gastrocnemius recession":
        most = slope * KNEE_BENT_DEG
        more = most if gain is None else gain if bent is None else min(gain, max(most, 0.0))
        straight, slope = straight + more, max(slope - more / KNEE_BENT_DEG, 0.0)
    elif procedure == "achilles lengthening":
        straight += gain if gain is not None else load().fit_value(LENGTHENING)
    return straight + slope * min(knee_deg, KNEE_BENT_DEG)
