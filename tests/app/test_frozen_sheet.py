"""A frozen plan stands in theatre as it was frozen: donor, marks, numbers; nothing computed, after a restart too."""

from __future__ import annotations

import re
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from sinewright.app.frozen_sheet import FORM, SHEET, Sheet, lay_sheet, page_of, sheet_of
from sinewright.app.services import Services
from sinewright.case import changed
from sinewright.export.planned import Planned, PlanReference, plan_page
from sinewright.service.worker import CALCULATIONS, FrozenPlan
from sinewright.service.worker_queue import Job
from sinewright.store.place import Place
from sinewright.store.plans import plan_to_keep
from sinewright.store.records import Document
from sinewright.store.store import Store

from ..virtual_people import example
from .app_user import with_user

CHOICE = "tibialis_posterior.membrane_under.lateral_cuneiform_dorsum"
FEW = {"plan.only_donors": ["tibialis_posterior"], "plan.set_stretch_mm": 8.0}


class Here:
    """Computes at once, in this process."""

    def once(self, name: str, *arguments: Any) -> Job:
        job = Job(name, arguments, ())
        job.finish("done", CALCULATIONS[name](None, *arguments))
        return job


class Broken:
    """Every calculation fails."""

    def __init__(self) -> None:
        self.asked: list[tuple[str, bool]] = []

    def ask(self, name: str, *arguments: Any, key: object, urgent: bool = False, base: object = None) -> Job:
        self.asked.append((name, urgent))
        job = Job(name, arguments, ())
        job.finish("failed", problem="the worker is broken")
        return job


@pytest.fixture(scope="module")
def planned() -> Planned:
    """One operation on a few legs."""
    case = changed(example("deep_branch_strong_peroneals"), FEW)
    return plan_page(case, CHOICE, datetime(2026, 3, 4, tzinfo=UTC), 60, kept=PlanReference(1))


def asked(planned: Planned) -> FrozenPlan:
    """The plan as the table asks for it."""
    return FrozenPlan(planned.case, CHOICE, 8.0, 60, seed=1, number=1)


def frozen(store: Store, planned: Planned) -> str:
    """The plan is kept, with its sheet, as the plan page does it."""
    with store.write("surgeon") as unit:
        name = unit.add_case(planned.case)
        assert unit.keep_plan(name, 1, plan_to_keep(planned.weighing, planned.ruler)) == 1
    return name


def open_again(store: Store, act: Any, compute: Any) -> None:
    """Another server on the same file."""
    place = store.place.path
    assert isinstance(place, Path)
    with Store.open(Place("sqlite", "store.db", path=place)) as again:
        with_user(Services(again, compute), act)


def test_theatre_shows_the_frozen_plan_though_nothing_can_be_computed(store: Store, planned: Planned) -> None:
    import asyncio

    name, broken = frozen(store, planned), Broken()
    sheet = asyncio.run(lay_sheet(Services(store, Here()), name, planned, asked(planned)))  # type: ignore[arg-type]
    kept = sheet_of(store, name, 1)
    assert kept is not None
    assert (kept.shown["title"], kept.planned) == (sheet.shown["title"], sheet.planned)
    expected = planned.outcome.spread("rest_on_table_deg")
    assert kept.planned["rest_on_table_deg"] == expected

    async def looks(user: Any) -> None:
        await user.open(f"/case/{name}/theatre")
        await user.should_see("Plan 1: Tibialis posterior")
        for tile in sheet.shown["tiles"]:
            await user.should_see(tile["big"])
        await user.should_see(content="<svg")
        await user.should_see(sheet.shown["steps"][-1])
        await user.should_see("Nothing measured yet.")
        printed = await user.http_client.get(f"/case/{name}/theatre.pdf")
        assert printed.content == page_of(store, name, 1)
        assert printed.content.startswith(b"%PDF")

    open_again(store, looks, broken)
    assert broken.asked == [("table", False)], "only the legs for what is measured are prepared"


def test_a_plan_kept_without_its_sheet_is_computed_when_theatre_opens(store: Store, planned: Planned) -> None:
    name, broken = frozen(store, planned), Broken()
    assert sheet_of(store, name, 1) is None
    assert page_of(store, name, 1) is None

    async def looks(user: Any) -> None:
        await user.open(f"/case/{name}/theatre")
        await user.should_see("the worker is broken")

    with_user(Services(store, broken), looks)  # type: ignore[arg-type]
    assert ("planned", True) in broken.asked, "before everything else that waits"


def test_a_sheet_of_another_form_or_plan_is_not_shown(store: Store, planned: Planned) -> None:
    name = frozen(store, planned)
    with store.write("surgeon") as unit:
        unit.add(name, Document(title=SHEET, media_type="application/json", plan=1), b'{"form": %d}' % (FORM + 1))
    assert sheet_of(store, name, 1) is None
    assert sheet_of(store, name, 2) is None


def test_what_is_kept_holds_no_name_and_no_sign(store: Store, planned: Planned) -> None:
    import asyncio

    name = frozen(store, planned)
    sheet: Sheet = asyncio.run(lay_sheet(Services(store, Here()), name, planned, asked(planned)))  # type: ignore[arg-type]
    said = " ".join(tile["big"] + tile["small"] for tile in sheet.shown["tiles"])
    assert not re.search(r"[-\u2212]\d", said)
    assert " deg" not in said
