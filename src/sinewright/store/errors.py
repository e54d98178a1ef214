"""What can go wrong with the store, as sentences. No message carries what was entered about a patient.

::

    SinewrightError
    +-- StoreError                  the store cannot be used as asked; nothing was half done (exit code 6)
        +-- StoreBusyError          another program holds the store
        +-- StoreDamagedError       the file or its audit chain is broken
        +-- NewerStoreError         written by a later Sinewright; left untouched
        +-- OlderStoreError         needs `sinewright store migrate` first
        +-- ConflictError           somebody else changed the same record; what was entered comes back
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, ClassVar

from sinewright.errors import SinewrightError


class StoreError(SinewrightError):
    """The store cannot do what was asked. Arguments: `store` as shown, `problem`, `advice` what to do."""

    exit_code: ClassVar[int] = 6

    def __init__(self, store: str, problem: str, advice: str) -> None:
        super().__init__(store, problem, advice)
        self.store, self.problem, self.advice = store, problem, advice

    def __str__(self) -> str:
        return f"{self.store}: {self.problem}; {self.advice.rstrip('.')}."


class StoreBusyError(StoreError):
    """Another program holds the store for longer than the time waited."""


class StoreDamagedError(StoreError):
    """The file is broken, or the audit chain does not hold."""


class NewerStoreError(StoreError):
    """The store has a schema that this program does not know. Nothing was touched."""


class OlderStoreError(StoreError):
    """The store has an earlier schema. Nothing was touched."""


@dataclass(frozen=True)
class Change:
    """One field before and after, as plain content (None where the field was empty)."""

    path: str
    before: Any
    after: Any


class ConflictError(StoreError):
    """The record was changed by somebody else since it was read. Nothing was stored, nothing is lost.

    `kind`, `name` and `number` say which record, `version` is the one now in the store. `theirs` lists what
    others changed since the version that was read, `mine` what this edit wanted to change; `clashing` the
    paths that both touch. Applying `mine` to the new version stores it after all.
    """

    def __init__(
        self,
        store: str,
        record: tuple[str, str, int],
        version: int,
        theirs: tuple[Change, ...],
        mine: tuple[Change, ...],
    ) -> None:
        self.kind, self.name, self.number = record
        self.version, self.theirs, self.mine = version, theirs, mine
        what = self.name if self.kind == "examination" else f"{self.kind} {self.number} of {self.name}"
        problem = f"{what} was changed by somebody else and is now at version {version}: {self._told()}"
        advice = "nothing of yours was stored or lost: look at both, then store yours on the new version"
        super().__init__(store, problem, advice)

    @property
    def clashing(self) -> tuple[str, ...]:
        """Paths that both sides changed to different content."""
        wanted = {each.path: each.after for each in self.mine}
        return tuple(each.path for each in self.theirs if each.path in wanted and wanted[each.path] != each.after)

    def rebased(self) -> Mapping[str, Any]:
        """What this edit wanted, path by path, ready to be stored on the new version."""
        return {each.path: each.after for each in self.mine}

    def _told(self) -> str:
        fields = [each.path for each in self.theirs]
        return ", ".join(fields[:8]) + (f" and {len(fields) - 8} more" if len(fields) > 8 else "")

    def lines(self) -> tuple[str, ...]:
        """Field by field: what it was, what the other wrote, what this edit wanted. For screens, not logs."""
        wanted = {each.path: each for each in self.mine}
        told = [
            f"{each.path}: was {_shown(each.before)}, now {_shown(each.after)}"
            + (f", yours {_shown(wanted[each.path].after)}" if each.path in wanted else "")
            for each in self.theirs
        ]
        other = {each.path for each in self.theirs}
        only_mine = [
            f"{path}: only yours, {_shown(each.before)} to {_shown(each.after)}"
            for path, each in wanted.items()
            if path not in other
        ]
        return (*told, *only_mine)


def _shown(content: Any) -> str:
    if content is None:
        return "empty"
    if isinstance(content, dict) and "value" in content:
        return f"{content['value']} ({content.get('known', 'measured')})"
    return str(content)
