"""What theatre shows of a frozen plan, kept with the plan: made when it is frozen, only read ever after.

Numbers, sentences and drawing are one document of the case, the printed page another. A plan that was kept without them
(by a command, or by an earlier version) is computed once when its page is first opened.
"""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass
from typing import Any

from sinewright.app.services import Services
from sinewright.app.where_from import cautions_note
from sinewright.errors import SinewrightError
from sinewright.export.planned import Planned
from sinewright.results import Outcome, Spread, Weighing
from sinewright.service.worker import FrozenPlan
from sinewright.store.records import Document
from sinewright.store.store import Store
from sinewright.wording.dangers import OF_OPERATION, OF_PATIENT, dangers_of
from sinewright.wording.operations import short_way

FORM = 2
"""Counts up when the content of a sheet changes; a sheet of another form is made anew."""
SHEET, PAGE = "theatre sheet", "theatre page"
SHOWN = ("title", "subtitle", "svg", "tiles", "steps", "wrong", "expected", "reserve", "cautions")
PLANNED = ("rest_on_table_deg", "lift_deg", "pushdown_deg")


@dataclass(frozen=True)
class Sheet:
    """Content of the page as it was frozen.

    Parameters
    ----------
    shown : dict
        Words, tiles and drawing, see ``export.theatre.theatre_content``.
    planned : dict of Spread
        Resting angle, lift and push-down [deg] as the plan gives them; up positive.
    rows : tuple of str
        Ids of the reference rows behind the numbers.
    watch : str
        Where the cautions come from.
    dangers : tuple of (str, str)
        Each danger of the patient, then of the operation, in a few words, and what to look to.
    """

    shown: dict[str, Any]
    planned: dict[str, Spread]
    rows: tuple[str, ...]
    watch: str
    dangers: tuple[tuple[str, str], ...]


async def lay_sheet(services: Services, name: str, planned: Planned, asked: FrozenPlan) -> Sheet:
    """Makes sheet and printed page of a frozen plan and keeps them with it.

    Parameters
    ----------
    services : Services
    name : str
        Pseudonym of the case.
    planned : Planned
        The plan as frozen, with its number.
    asked : FrozenPlan
        The same plan as what is read on the table is held against it.

    Raises
    ------
    SinewrightError
        When the page cannot be made or kept.
    """
    job = services.compute.once("sheet", planned, asked)
    await services.in_thread(job.ended.wait)
    if job.state != "done":
        raise SinewrightError(f"The page for theatre was not made: {job.problem or 'stopped'}")
    shown, page = job.result
    found, reference = planned.outcome.spread, planned.kept
    assert reference is not None
    choice = planned.outcome.choice
    sheet = Sheet(
        {key: shown[key] for key in SHOWN} | {"subtitle": short_way(choice.route, choice.recipient, choice.subtitle)},
        {key: spread for key in PLANNED if (spread := found(key)) is not None},
        planned.weighing.rows,
        cautions_note((*planned.outcome.rules, *planned.weighing.rules), planned.weighing.warnings),
        dangers_in(planned.weighing, planned.outcome),
    )
    await services.in_thread(lambda: _keep(services, name, reference.number, sheet=sheet, page=page))
    return sheet


def dangers_in(weighing: Weighing, outcome: Outcome) -> tuple[tuple[str, str], ...]:
    """Dangers of the patient, then of the operation: the word and what to look to."""
    found = (*dangers_of(weighing.rules, OF_PATIENT), *dangers_of(outcome.rules, OF_OPERATION))
    return tuple((each.word, each.advice) for each in found)


def _keep(services: Services, name: str, plan: int, sheet: Sheet, page: bytes | None) -> None:
    content = json.dumps({"form": FORM, **asdict(sheet)}, ensure_ascii=False).encode()
    with services.store.write(services.role) as unit:
        unit.add(name, Document(title=SHEET, media_type="application/json", plan=plan), content)
        if page is not None:
            unit.add(name, Document(title=PAGE, media_type="application/pdf", plan=plan), page)


def sheet_of(store: Store, name: str, plan: int) -> Sheet | None:
    """The sheet that was kept with a plan; None where there is none of this form."""
    kept = _last(store, name, SHEET, plan)
    content = json.loads(kept) if kept is not None else {}
    if content.get("form") != FORM:
        return None
    spreads = {key: Spread(**spread) for key, spread in content["planned"].items()}
    dangers = tuple((word, advice) for word, advice in content["dangers"])
    return Sheet(content["shown"], spreads, tuple(content["rows"]), content["watch"], dangers)


def page_of(store: Store, name: str, plan: int) -> bytes | None:
    """The printed page that was kept with a plan, if there is one."""
    return _last(store, name, PAGE, plan)


def _last(store: Store, name: str, title: str, plan: int) -> bytes | None:
    kept = [each for each in store.records(name, Document) if each.record.title == title and each.record.plan == plan]
    return store.document(name, kept[-1].number) if kept else None
