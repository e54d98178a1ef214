"""A frozen plan: its hash covers inputs, result and all that is needed to compute it again."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from typing import Any

from sinewright.results import Chosen, PlanDocument, Ruler, Weighing, chosen_in
from sinewright.store.chain import digest_of, now_text
from sinewright.store.flat import canonical_json
from sinewright.store.records import Plan

_DATA = ("data", "geometry")


@dataclass(frozen=True)
class KeptPlan:
    """A plan as it stands in the store. `inputs` is the case as plain content; `superseded_by` a number."""

    number: int
    made_at: str
    case_version: int
    hash: str
    superseded_by: int | None
    inputs: Mapping[str, Any]
    plan: Plan

    @property
    def chosen(self) -> Chosen | None:
        """What the surgeon chose; None for a plan that only weighed."""
        return chosen_in(self.plan.result)


def plan_to_keep(weighing: Weighing, ruler: Ruler | None = None) -> Plan:
    """The plan to be frozen: what is needed to compute it again, and what was chosen by hand, if anything."""
    document = PlanDocument.of(weighing, Chosen.of(ruler) if ruler else None)
    return Plan(
        program_version=document.version,
        seed=document.seed,
        draws=document.draws,
        data_digest=data_digest(),
        result=document.content(),
    )


def plan_row(name: str, number: int, case_version: int, inputs: str, plan: Plan) -> dict[str, Any]:
    """The row of a new plan, hash included."""
    row: dict[str, Any] = {
        "case_name": name,
        "number": number,
        "made_at": now_text(),
        "program_version": plan.program_version,
        "seed": plan.seed,
        "draws": plan.draws,
        "data_digest": plan.data_digest,
        "case_version": case_version,
        "inputs": inputs,
        "result": canonical_json(plan.result),
    }
    return {**row, "hash": plan_hash(row), "superseded_by": None}


def plan_hash(row: Mapping[str, Any]) -> str:
    """SHA-256 (64 hex digits) over everything in a plan that is frozen."""
    names = ("case_name", "number", "made_at", "program_version", "seed", "draws", "data_digest", "case_version")
    return digest_of(canonical_json([row[each] for each in names]), row["inputs"], row["result"])


def plan_state(row: Mapping[str, Any]) -> str:
    """The digest of a plan as the audit keeps it: what is frozen, and whether it was superseded."""
    return digest_of(plan_hash(row), row["hash"], str(row["superseded_by"]))


@lru_cache(maxsize=1)
def data_digest() -> str:
    """SHA-256 (64 hex digits) of the reference data that this program computes with."""
    parts: list[str | bytes] = []
    for folder in _DATA:
        entries = files("sinewright.reference").joinpath(folder).iterdir()
        for entry in sorted(entries, key=lambda each: each.name):
            if entry.name.endswith((".csv", ".toml")):
                parts += [entry.name, entry.read_bytes()]
    return digest_of(*parts)
