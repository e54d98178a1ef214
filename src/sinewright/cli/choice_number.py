"""Short numbers of the ladder on the command line: ``--choice 1b`` means what `weigh` last printed for this case."""

from __future__ import annotations

import json
import os
import sys
from dataclasses import asdict, dataclass
from hashlib import sha256
from pathlib import Path

from pydantic import TypeAdapter

from sinewright import __version__
from sinewright.case import Case, digest
from sinewright.errors import InputError
from sinewright.results import Weighing

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
    from sinewright.cli.progress import progress_bar
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
