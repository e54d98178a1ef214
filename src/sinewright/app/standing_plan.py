"""The frozen plan that stands for a case: what theatre and the weeks after show, and nothing else."""

from __future__ import annotations

from datetime import datetime

from sinewright.app.desk import SEED, Services
from sinewright.app.frame import CaseHead
from sinewright.app.open_case import read_or_refuse
from sinewright.app.plan_doc import chosen_in
from sinewright.case import case_from_tables
from sinewright.service.worker import FrozenPlan
from sinewright.store.flat import with_dates
from sinewright.store.plans import KeptPlan


def frozen_of(plans: tuple[KeptPlan, ...], draws: int) -> tuple[FrozenPlan, datetime] | None:
    """The plan that stands, if it says which operation was chosen."""
    last = plans[-1] if plans else None
    chosen = chosen_in(last) if last else None
    if last is None or chosen is None:
        return None
    case = case_from_tables(with_dates(dict(last.inputs)))
    frozen = FrozenPlan(
        case, chosen["id"], chosen["set_stretch_mm"], draws=last.plan.draws or draws, seed=SEED, number=last.number
    )
    return frozen, datetime.fromisoformat(last.made_at)


async def plan_that_stands(desk: Services, name: str) -> tuple[CaseHead, tuple[FrozenPlan, datetime] | None] | None:
    """Head of the case and the plan that stands, if one does; None when the page already says why nothing is shown."""

    def read() -> tuple[CaseHead, tuple[FrozenPlan, datetime] | None]:
        stored = desk.store.case(name.lower())
        plans = desk.store.plans(stored.name)
        return CaseHead.of(stored, len(plans)), frozen_of(plans, desk.draws)

    return await read_or_refuse(desk, read)
