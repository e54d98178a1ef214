"""Which calf procedure an operation is weighed with: the plan's, else what the equinus test asks for."""

from __future__ import annotations

from typing import Literal

from sinewright.case.contradictions import GONE
from sinewright.case.fields import number
from sinewright.case.model import Case
from sinewright.case.muscles import MuscleName, grade_position, state_of

Procedure = Literal["none", "gastrocnemius recession", "achilles lengthening"]
Short = Literal["gastrocnemius", "both", "untold"]

CALF: tuple[MuscleName, ...] = ("soleus", "gastrocnemius_medial", "gastrocnemius_lateral")
GASTROCNEMIUS, SOLEUS = "pa-equinus-gastrocnemius-criterion", "pa-equinus-soleus-criterion"
NEEDED, WORTH_GAINING = "pa-precondition-passive-df", "me-real-change-df"
LEAST_GRADE = 4.0


def passive_up(case: Case) -> tuple[float | None, float | None]:
    """Passive dorsiflexion [deg] with the knee straight and bent; up from neutral is positive."""
    motion = case.range.affected
    return number(motion.dorsiflexion_knee_straight_deg), number(motion.dorsiflexion_knee_bent_deg)


def short_calf(case: Case) -> Short | None:
    """Which part of the calf is short by the equinus test, None when neither or when the range is not given."""
    straight, bent = passive_up(case)
    if straight is None or straight > _limit(SOLEUS):
        return None
    if bent is None:
        return "untold" if straight <= _limit(GASTROCNEMIUS) else None
    if bent <= _limit(SOLEUS):
        return "both"
    return "gastrocnemius" if straight <= _limit(GASTROCNEMIUS) else None


def weak_calf(case: Case) -> bool:
    """True when soleus or two calf muscles are below grade 4; 4- is below."""
    weak = [name for name in CALF if _below_four(case, name)]
    return "soleus" in weak or len(weak) > 1


def calf_procedure(case: Case) -> Procedure:
    """The calf procedure that comes first: as planned; where the plan is silent, as the calf asks for.

    A recession raises the straight knee's limit up to the bent knee's, an Achilles lengthening raises both. Where the
    plan is silent nothing is lengthened in a calf weaker than grade 4.
    """
    if case.plan.calf_procedure is not None:
        return case.plan.calf_procedure
    straight, bent = passive_up(case)
    if straight is None or bent is None or straight > _limit(GASTROCNEMIUS) or weak_calf(case):
        return "none"
    if bent >= _limit(GASTROCNEMIUS):
        return "gastrocnemius recession" if bent - straight >= _limit(WORTH_GAINING) else "none"
    return "achilles lengthening" if straight < _limit(NEEDED) else "none"


def _below_four(case: Case, name: MuscleName) -> bool:
    muscle = case.muscles[name]
    if state_of(muscle) in GONE:
        return True
    return muscle.grade is not None and grade_position(muscle.grade.value) < LEAST_GRADE


def _limit(row: str) -> float:
    from sinewright.reference import load

    return load().row(row).value
