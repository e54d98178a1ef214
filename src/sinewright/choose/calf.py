"""What lengthening the calf in the same sitting would do to the leading choices, when the calf is short."""

from sinewright.case import Case, changed
from sinewright.choose.present import outcome_of
from sinewright.choose.rules_body import short_calf
from sinewright.choose.tension import choose_stretch
from sinewright.doubt.virtual import draw
from sinewright.results import CALF_PROCEDURES, CalfTrial
from sinewright.solve import answer as a
from sinewright.transfer.plans import Sewn, lay_plans


def calf_trials(case: Case, leaders: list[Sewn], draws: int, seed: int) -> tuple[CalfTrial, ...]:
    """The leading choices without and with each calf procedure; nothing when the calf is not short.

    The legs are those of ``weigh`` with the same draws and seed, each choice sewn as tight as the legs after that
    procedure ask for. The gain the plan expects holds for the procedure it names; another has its own.
    """
    if not leaders or short_calf(case) is None:
        return ()
    return tuple(_trial(case, procedure, leaders, draws, seed) for procedure in CALF_PROCEDURES)


def _trial(case: Case, procedure: str, leaders: list[Sewn], draws: int, seed: int) -> CalfTrial:
    gain = case.plan.calf_gain_deg if procedure == case.plan.calf_procedure else None
    tried = changed(case, {"plan.calf_procedure": procedure, "plan.calf_gain_deg": gain})
    virtual, elastic, plans = draw(tried, draws, seed), case.plan.tendon != "rigid", leaders
    if case.plan.set_stretch_mm is None:
        plans = choose_stretch(virtual.legs, leaders, elastic)
    answers, failed = a.answer(virtual.legs, lay_plans(plans), elastic)
    found = (outcome_of(virtual, plan, answers[:, i], failed[:, i]) for i, plan in enumerate(plans))
    return CalfTrial(procedure, tuple(found))
