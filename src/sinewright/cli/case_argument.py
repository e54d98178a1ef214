"""Which case a command is about: a case file, or a stored case by its pseudonym."""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from difflib import get_close_matches
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING

from pydantic import TypeAdapter

from sinewright.case import Case, digest
from sinewright.errors import InputError
from sinewright.results import Weighing
from sinewright.store.names import is_name
from sinewright.version import __version__

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


def keep_plan(case: Case, version: int, weighing: Weighing, store: str | None) -> int:
    """Freezes a weighing as the next plan of the stored case it was made from; returns the plan's number."""
    from sinewright.store.opening import open_store
    from sinewright.store.plans import plan_to_keep

    with open_store(store) as opened, opened.write("surgeon") as unit:
        return unit.keep_plan(case.pseudonym, version, plan_to_keep(weighing))


OPTION = "--weight"
ALLOWED = "NAME=0 to NAME=10"


def reweighed(case: Case, given: Sequence[str]) -> Case:
    """The case with its goals weighed as `given`. Raises InputError for an unknown goal or an unreadable weight."""
    if not given:
        return case
    from sinewright.case import changed

    changes: dict[str, float] = {}
    for text in given:
        name, weight = _parted(text)
        if name in changes:
            raise InputError(OPTION, f"{name} twice", "each goal once", "leave one of them out")
        changes[name] = weight
    return changed(case, {f"goals.{name}": weight for name, weight in changes.items()})


def refuse_keeping_other_weights(given: Sequence[str]) -> None:
    """Raises InputError: a kept plan must follow from the stored case alone."""
    if given:
        advice = "write the weights into the case under [goals], import it, then keep"
        raise InputError("--keep", f"together with {OPTION}", "the weights of the stored case", advice)


def _parted(text: str) -> tuple[str, float]:
    from sinewright.choose.goals import GOALS

    name, mark, number = (part.strip() for part in text.partition("="))
    name = name.lower().replace("-", "_")
    if name not in GOALS:
        near = get_close_matches(name, GOALS, 1)
        advice = f"did you mean {near[0]}" if near else "weigh prints the goals with their names"
        raise InputError(OPTION, f'"{text}"', f"{ALLOWED} with NAME one of {', '.join(GOALS)}", advice)
    try:
        weight = float(number)
    except ValueError:
        weight = -1.0
    if not mark or not 0.0 <= weight <= 10.0:
        raise InputError(OPTION, f'"{text}"', ALLOWED, "0 does not matter, 10 matters most")
    return name, weight


DRAWS, SEED = 1000, 1


@dataclass(frozen=True)
class Numbers:
    """Ids of the operations by their numbers, and the legs and seed of the ladder that gave them."""

    draws: int
    seed: int
    numbers: dict[str, str]

    @staticmethod
    def of(weighing: Weighing) -> Numbers:
        """The numbers of a weighing; none where it has no answer."""
        return Numbers(weighing.draws, weighing.seed, weighing.answer.numbers() if weighing.answer else {})


def remember(case: Case, weighing: Weighing) -> None:
    """Keep the numbers of the ladder just printed in the user's cache folder; ids only, nothing of the patient."""
    kept = asdict(Numbers.of(weighing))
    path = _file(case)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(json.dumps(kept), encoding="utf-8")
    except OSError:  # a cache that cannot be written costs time later, nothing else
        return


def operation_meant(case: Case, given: str) -> str:
    """The whole id behind a short number of the ladder, or behind whole words of an id.

    The ladder that was printed last for this very case is meant; where none is remembered it is worked out with the
    usual 1000 legs and seed 1. What the number stands for is said on the error stream.

    Raises
    ------
    InputError
        When the ladder has no such number, the words fit no single operation, or it is ruled out for this patient.
    """
    from sinewright.choose.find import is_number
    from sinewright.plan import find_choice

    if not is_number(given):
        return find_choice(case, given).id
    kept = _remembered(case) or _worked_out(case)
    numbers = kept.numbers
    id = numbers.get(given.strip().lower())
    if id is None:
        allowed = ", ".join(numbers) if numbers else "no number: every operation is ruled out"
        raise InputError("choice", given, allowed, "`sinewright weigh CASE --all` prints every number")
    sys.stderr.write(f"sinewright: {given.strip()} is {id} (ladder of {kept.draws} legs, seed {kept.seed})\n")
    return id


def _worked_out(case: Case) -> Numbers:
    from sinewright.cli.screen import progress_bar
    from sinewright.plan import weigh

    with progress_bar("working out the ladder") as progress:
        weighing = weigh(case, DRAWS, SEED, progress)
    remember(case, weighing)
    return Numbers.of(weighing)


def _remembered(case: Case) -> Numbers | None:
    try:
        return TypeAdapter(Numbers).validate_json(_file(case).read_bytes())
    except (OSError, ValueError):
        return None


def _file(case: Case) -> Path:
    """Named after the case and the program's own text: a changed case or program never meets old numbers."""
    home = os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache"
    name = sha256(f"{digest(case)} {__version__} {_program()}".encode()).hexdigest()[:24]
    return Path(home) / "sinewright" / "ladders" / f"{name}.json"


def _program() -> str:
    found = sha256()
    for path in sorted(Path(__file__).parents[1].rglob("*.*")):
        if path.suffix in (".py", ".csv", ".toml"):
            found.update(path.read_bytes())
    return found.hexdigest()
