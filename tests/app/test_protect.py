"""The page of protection: who may release what, and what is remembered with the operation."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any, cast

import pytest

from sinewright.app.pages.protect import ProtectPage, _note, _read, roles_for
from sinewright.app.services import Services
from sinewright.case import read_case
from sinewright.protect.stages import HOLD_TITLES, STAGES
from sinewright.service.worker import FrozenPlan
from sinewright.store.chain import CLINICIANS
from sinewright.store.store import Store

from .app_browser import EXAMPLES

CHOICE = "tibialis_posterior.membrane_under.lateral_cuneiform_dorsum"
AT = datetime(2026, 3, 1, 8, 0)


@pytest.mark.parametrize("stage", [each for each in STAGES if each.key != "hold"], ids=lambda each: each.key)
def test_only_the_roles_that_a_stage_names_may_release_it(stage: Any) -> None:
    assert all(role in stage.released_by for role in roles_for(stage.title))


def test_a_hold_is_released_by_whom_its_stage_names_and_an_unknown_title_by_any_clinician() -> None:
    named = next(each.released_by for each in STAGES if each.key == "hold")
    for title in HOLD_TITLES.values():
        assert all(role in named for role in roles_for(title))
    assert roles_for("another title") == CLINICIANS


def test_date_junction_hold_and_pace_are_remembered_for_their_plan(store: Store) -> None:
    case = read_case(EXAMPLES / "stiff_calf.toml")
    with store.write("surgeon") as unit:
        name = unit.add_case(case)
    services = Services(store, cast(Any, None))
    frozen = FrozenPlan(case, CHOICE, 4.0, 100, 1, 3)
    context: ProtectPage = _read(services, name, frozen, AT)
    assert context.wish is None
    for pace in ("early", "late"):
        context.given |= {"on": "2026-03-04", "construct": "weave", "hold": "boot", "pace": pace}
        assert context.wish is not None
        _note(context, context.wish)
    again = _read(services, name, frozen, AT)
    assert again.wish == context.wish
    assert again.wish is not None
    assert (again.wish.operated_on, again.wish.pace, again.wish.hold) == (date(2026, 3, 4), "late", "boot")
    assert _read(services, name, FrozenPlan(case, CHOICE, 4.0, 100, 1, 4), AT).wish is None
