"""Which case a command is about: a case file, or a stored case by its pseudonym."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from sinewright.errors import InputError
from sinewright.store.names import is_name

if TYPE_CHECKING:
    from sinewright.case import Case
    from sinewright.results import Weighing


def case_from(given: str, store: str | None = None) -> Case:
    """The case meant by `given`: a file, or the pseudonym of a case in the store at `store`."""
    return case_and_version(given, store)[0]


def case_and_version(given: str, store: str | None = None) -> tuple[Case, int | None]:
    """The case meant by `given`, and its version when it is a stored one.

    Raises InputError when a file here bears the name of a pseudonym: a mix-up would be another patient.
    """
    from sinewright.case import read_case

    name = given.lower()
    if not is_name(name):
        return read_case(given), None
    if Path(given).exists():
        advice = f"for the file write ./{given}; for the stored case change to another folder"
        raise InputError("CASE", given, "a file or a stored case, not both", advice)
    from sinewright.store.opening import open_store

    with open_store(store) as opened:
        stored = opened.case(name)
    return stored.case, stored.version


def refuse_keeping(given: str, version: int | None) -> None:
    """Raises InputError when a plan cannot be kept because the case is a file."""
    if version is None:
        advice = "store the file first with sinewright case import, then weigh the pseudonym"
        raise InputError("--keep", given, "the pseudonym of a stored case", advice)


def keep_plan(case: Case, version: int, weighing: Weighing, document: str, store: str | None) -> int:
    """Freezes a weighing as the next plan of the stored case it was made from; returns the plan's number.

    `document` is the weighing as JSON text.
    """
    import json

    from sinewright.store.opening import open_store
    from sinewright.store.plans import data_digest
    from sinewright.store.records import Plan

    plan = Plan(
        program_version=weighing.version,
        seed=weighing.seed,
        draws=weighing.draws,
        data_digest=data_digest(),
        result=json.loads(document),
    )
    with open_store(store) as opened, opened.write("surgeon") as unit:
        return unit.keep_plan(case.pseudonym, version, plan)
