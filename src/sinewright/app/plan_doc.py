"""A plan to be frozen: the weighing as plain content, and which operation the surgeon chose in which posture."""

from __future__ import annotations

import json
from dataclasses import asdict
from typing import Any

from sinewright.cli.document import weigh_text
from sinewright.results import Ruler, Weighing
from sinewright.store.plans import KeptPlan, data_digest
from sinewright.store.records import Plan
from sinewright.wording.standing import in_order

CHOSEN = "chosen"


def plan_to_keep(weighing: Weighing, ruler: Ruler) -> Plan:
    """The plan of one operation: everything that is needed to compute it again, and what was chosen."""
    result = json.loads(weigh_text(weighing, in_order(weighing.outcomes)))
    choice = ruler.choice
    result[CHOSEN] = {
        "id": choice.id,
        "title": choice.title,
        "subtitle": choice.subtitle,
        "set_stretch_mm": ruler.chosen.set_stretch_mm,
        "fixing": asdict(choice.fixing),
        "by_hand": True,
    }
    return Plan(
        program_version=weighing.version, seed=weighing.seed, draws=weighing.draws, data_digest=data_digest(),
        result=result,
    )  # fmt: skip


def chosen_in(kept: KeptPlan) -> dict[str, Any] | None:
    """What the surgeon chose in a kept plan, or None for one that only weighed."""
    found = kept.plan.result.get(CHOSEN)
    return found if isinstance(found, dict) else None
