"""What lengthening the calf in the same sitting would do to the leading choices, when the calf is short."""

from sinewright.case import Case, changed
from sinewright.choose.present import outcome_of
from sinewright.choose.rules_body import short_calf
from sinewright.choose.tension import choose_stretch
from sinewright.doubt.virtual import Virtual, with_calf
from sinewright.results import CALF_PROCEDURES, CalfTrial
from sinewright.solve import answer as a
from sinewright.transfer.plans import Sewn, lay_plans


def calf_trials(case: Case, virtual: Virtual, leaders: list[Sewn]) -> tuple[tuple[CalfTrial, ...], tuple[str, ...]]:
    """The leading choices without and with each calf procedure, and the ids of all rows used; nothing when the calf is
    not short.

    The legs are those of the weighing, each choice sewn as tight as the legs after that procedure ask for. The gain
    the plan expects holds for the procedure it names; another has its own.
    """
    if not leaders or short_calf(case) is None:
        return (), ()
    tried = [_trial(case, procedure, virtual, leaders) for procedure in CALF_PROCEDURES]
    return tuple(trial for trial, _ in tried), tuple(dict.fromkeys(row for _, rows in tried for row in rows))


def _trial(case: Case, procedure: str, before: Virtual, leaders: list[Sewn]) -> tuple[CalfTrial, tuple[str, ...]]:
    gain = case.plan.calf_gain_deg if procedure == case.plan.calf_procedure else None
    tried = changed(case, {"plan.calf_procedure": procedure, "plan.calf_gain_deg": gain})
    virtual, elastic, plans = with_calf(before, tried), case.plan.tendon != "rigid", leaders
    if case.plan.set_stretch_mm is None:
        plans = choose_stretch(virtual.legs, leaders, elastic)
    answers, failed = a.answer(virtual.legs, lay_plans(plans), elastic)
    found = (outcome_of(virtual, plan, answers[:, i], failed[:, i]) for i, plan in enumerate(plans))
    return CalfTrial(procedure, tuple(found)), virtual.rows
