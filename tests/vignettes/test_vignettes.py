"""Invented patients, each with what a careful surgeon would and would not accept, run from the file to the ladder.

``patients/*.toml`` are case files with one more table, ``[vignette]``:

=========== ===========================================================================================================
story       the patient in a sentence
mechanism   what the patient tries; "near miss" where the danger is absent and the rule must stay silent
accept      patterns of what may stand first: ids of operations, or ``no operation`` and ``brace``
never       patterns of what may not stand among the first three rows that lead
warn        codes of rules that must stand on the first row, dangers among the first ``FIRST_SCREEN`` findings
on          rule = operation: the rule must speak on that operation, as a danger or as what costs it its place
silent      codes that may not speak on the first row
blocks      codes that must stop every operation; ``blocks_on`` the same for one operation; ``silent_block`` never
opens       codes of which the weighing must say that the change opens something
calf        the calf procedure that every row is weighed with
suits       other way = verdict; ``not_said`` other way = words its reason may not hold
basis       source, row or ``common-practice``; ``why`` in a sentence
=========== ===========================================================================================================
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from fnmatch import fnmatchcase
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from sinewright.case import Case, case_from_tables
from sinewright.choose.without import BRACE, NO_OPERATION
from sinewright.errors import DoubtError
from sinewright.plan import refused, weighing_of, work
from sinewright.reference import load
from sinewright.results import Fired, Outcome, Weighing

PATIENTS = sorted((Path(__file__).parent / "patients").glob("*.toml"))
LEGS, SEED = 150, 1
FIRST_SCREEN = 10  # findings that stand on the first screen of a row
LEADERS = 3
NOT_OPERATING = {NO_OPERATION: "no operation", BRACE: "brace"}


@dataclass(frozen=True)
class Vignette:
    """One patient and what is asked of the answer."""

    case: Case
    asks: dict[str, Any]
    weighing: Weighing

    @property
    def first(self) -> Outcome | None:
        return next(iter(self.weighing.ladder), None)

    def findings(self) -> tuple[Fired, ...]:
        """What stands on the first row, or on the patient where nothing is left."""
        return self.weighing.findings_on(self.first) if self.first else self.weighing.rules

    def on(self, id: str) -> dict[str, Fired]:
        outcome = next(one for one in self.weighing.outcomes if one.choice.id == id)
        return {fired.code: fired for fired in outcome.rules}


def shown(outcome: Outcome | None) -> str:
    return NOT_OPERATING.get(outcome.choice.id, outcome.choice.id) if outcome else "no operation"


def fits(name: str, patterns: list[str]) -> bool:
    return any(fnmatchcase(name, pattern) for pattern in patterns)


@cache
def tables(path: Path) -> dict[str, Any]:
    return tomllib.loads(path.read_text("utf-8"))


@cache
def vignette(path: Path) -> Vignette:
    found = dict(tables(path))
    asks = found.pop("vignette")
    case = case_from_tables(found)
    return Vignette(case, asks, weighed(case))


def weighed(case: Case) -> Weighing:
    """The weighing without the other calf procedures, which no vignette asks for."""
    try:
        return weighing_of(work(case, LEGS, SEED), trials=False)
    except DoubtError as refusal:
        return refused(case, LEGS, SEED, str(refusal))


@pytest.mark.parametrize("path", PATIENTS, ids=lambda path: path.stem)
def test_a_careful_surgeon_would_accept_what_leads(path: Path) -> None:
    found = vignette(path)
    assert found.case.invented
    wrong = [*_first(found), *_warned(found), *_stopped(found), *_other_ways(found)]
    assert not wrong, f"{found.asks['story']} ({found.asks['why']}): " + "; ".join(wrong)


def _first(found: Vignette) -> list[str]:
    asks, wrong = found.asks, []
    if not fits(shown(found.first), asks["accept"]):
        wrong.append(f"first is {shown(found.first)}")
    leading = [one for one in found.weighing.ladder[:LEADERS] if one.choice.id not in NOT_OPERATING]
    before = [one for one in leading if _leads(found.weighing, one)]
    wrong += [f"{one.choice.id} leads" for one in before if fits(one.choice.id, asks["never"])]
    procedure = asks.get("calf", found.weighing.calf_procedure)
    if found.weighing.calf_procedure != procedure:
        wrong.append(f"weighed with {found.weighing.calf_procedure} instead of {procedure}")
    reserves = [one.standing.reserve for one in found.weighing.outcomes if one.standing]
    wrong += [f"{one} is left as a reserve" for one in set(reserves) if fits(one, asks.get("reserve_never", []))]
    return wrong


def _leads(weighing: Weighing, outcome: Outcome) -> bool:
    """Whether a row stands before not operating."""
    limits = [one.standing.place for one in weighing.without if one.standing]
    return outcome.standing is not None and outcome.standing.place < min(limits)


def _warned(found: Vignette) -> list[str]:
    asks, findings = found.asks, found.findings()
    codes = [fired.code for fired in findings]
    wrong = [f"{code} does not speak" for code in asks.get("warn", []) if code not in codes]
    dangers = [fired.code for fired in findings if fired.severity == "danger"]
    wrong += [
        f"{code} stands behind the first screen"
        for code in asks.get("warn", [])
        if code in dangers and codes.index(code) >= FIRST_SCREEN
    ]
    for code, id in asks.get("on", {}).items():
        fired = found.on(id).get(code)
        if fired is None or (fired.severity != "danger" and fired.costs == "nothing"):
            wrong.append(f"{code} does not stand on {id}")
    wrong += [f"{code} speaks" for code in asks.get("silent", []) if code in codes]
    wrong += [
        f'"{asks["not_warned"]}" is said' for one in found.weighing.warnings if asks.get("not_warned", "\0") in one.text
    ]
    return wrong


def _stopped(found: Vignette) -> list[str]:
    asks, wrong = found.asks, []
    stops = [fired.code for fired in found.weighing.rules if fired.stops]
    wrong += [f"{code} does not stop" for code in asks.get("blocks", []) if code not in stops]
    for code, id in asks.get("blocks_on", {}).items():
        fired = found.on(id).get(code)
        wrong += [] if fired is not None and fired.stops else [f"{code} does not stop {id}"]
    every = [fired for one in found.weighing.outcomes for fired in one.rules]
    wrong += [
        f"{code} stops" for code in asks.get("silent_block", []) if any(f.code == code and f.stops for f in every)
    ]
    opens = [opening.code for opening in found.weighing.openings]
    wrong += [f"nothing says that {code} would open a choice" for code in asks.get("opens", []) if code not in opens]
    return wrong


def _other_ways(found: Vignette) -> list[str]:
    ways = {option.id: option for option in found.weighing.options}
    wrong = [
        f"{id} suits: {ways[id].suits} instead of {verdict} ({ways[id].reason})"
        for id, verdict in found.asks.get("suits", {}).items()
        if ways[id].suits != verdict
    ]
    said = found.asks.get("not_said", {}).items()
    return wrong + [f'of {id} it says "{words}"' for id, words in said if words in ways[id].reason]


@pytest.mark.parametrize("path", PATIENTS, ids=lambda path: path.stem)
def test_every_vignette_names_its_basis(path: Path) -> None:
    basis = tables(path)["vignette"]["basis"]
    reference = load()
    known = basis in {row.id for row in reference.rows()}
    if not known:
        reference.source(basis)


def test_mirror_images_differ_in_side_alone_where_it_matters() -> None:
    asked = {path.stem.split("_", 1)[1]: tables(path) for path in PATIENTS}
    pairs = [(one, asked[one["vignette"]["pair"]]) for one in asked.values() if "pair" in one["vignette"]]
    assert len(pairs) >= 4
    assert all(one["side"] != other["side"] for one, other in pairs)


def test_there_are_enough_of_each_side_sex_and_age() -> None:
    people = [tables(path) for path in PATIENTS]
    assert len(people) >= 40
    for side in ("left", "right"):
        assert sum(one["side"] == side for one in people) >= 15
    assert sum(one["person"]["age_years"] < 16 for one in people) >= 4
    assert sum("near miss" in one["vignette"]["mechanism"] for one in people) >= 10
