"""Editing one stored case: every accepted entry is stored at once, a refused one stays in the tab with its sentence."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from threading import Lock
from typing import Any

from sinewright.app.form import leaf_for_page
from sinewright.case import Case, Finding, FindingsError, changed, entry
from sinewright.case.fields import Section
from sinewright.errors import InputError
from sinewright.store.chain import Role
from sinewright.store.errors import ConflictError
from sinewright.store.flat import with_dates
from sinewright.store.store import Store, StoredCase

TRIES = 5
UNDOABLE = 200


@dataclass
class Examination:
    """One tab's view of a case: what was read, what was refused here, and how to take the last entries back."""

    store: Store
    role: Role
    stored: StoredCase
    refused: dict[str, Any] = field(default_factory=dict)
    problems: dict[str, str] = field(default_factory=dict)
    clash: ConflictError | None = None
    taken: list[Mapping[str, Any]] = field(default_factory=list)
    turn: Lock = field(default_factory=Lock, repr=False, compare=False)

    @property
    def case(self) -> Case:
        """The case as stored."""
        return self.stored.case

    def edit(self, path: str, value: Any, known: str | None) -> bool:
        """Stores one entry (None empties it); True when it is stored. What is refused is in `problems`."""
        with self.turn:
            return self._edit(path, value, known)

    def edit_together(self, values: Mapping[str, Any]) -> bool:
        """Stores several decisions as one version, so that undo takes them back together; what was refused is in
        `problems` and not kept."""
        with self.turn:
            self.problems.clear()
            return self._stored({path: self._leaf(path, value, None) for path, value in values.items()})

    def _edit(self, path: str, value: Any, known: str | None) -> bool:
        leaf = self._leaf(path, value, known)
        self.refused.pop(path, None)
        if self._stored({**self.refused, path: leaf}):
            self.refused.clear()
            self.problems.clear()
            return True
        if self.refused and self._stored({path: leaf}):
            self._look_again()
            return True
        self.refused[path] = leaf
        self._look_again()
        return False

    def drop(self, path: str) -> None:
        """Forgets an entry that was refused; the field shows again what is stored."""
        self.refused.pop(path, None)
        self.clash = None
        self._look_again()

    def undo(self) -> str:
        """Takes the last stored entry of this tab back, as a new version; says which, or nothing."""
        with self.turn:
            return self._undo()

    def _undo(self) -> str:
        if not self.taken:
            return ""
        before = self.taken.pop()
        kept = len(self.taken)
        if not self._stored(dict(before)):
            return ""
        del self.taken[kept:]
        return ", ".join(before)

    def reread(self) -> bool:
        """Reads the case again; True when somebody changed it. While this tab stores something nothing is read."""
        if not self.turn.acquire(blocking=False):
            return False
        try:
            return self._reread()
        finally:
            self.turn.release()

    def _reread(self) -> bool:
        if self.store.version(self.stored.name) == self.stored.version:
            return False
        self.stored = self.store.case(self.stored.name)
        if self.refused:
            self._look_again()
        return True

    def shown(self, values: dict[str, Any]) -> dict[str, Any]:
        """The values of the form with those that were refused in their place."""
        out = dict(values)
        for path, leaf in self.refused.items():
            if path in out:
                plain = leaf if isinstance(leaf, dict) and "value" in leaf else {"value": leaf, "known": ""}
                out[path] = {"value": _shown(plain["value"]), "known": plain.get("known", "")}
        return out

    def _leaf(self, path: str, value: Any, known: str | None) -> Any:
        """An entry as a case file has it; date and method of a finding stay when its value changes."""
        if value is None or value == []:
            return () if value == [] else None
        before = entry(self.case, path)
        if known is not None:
            kept = {name: part for name, part in before if part is not None} if isinstance(before, Finding) else {}
            return {**kept, "value": value, "known": known}
        plain: Any = with_dates({path.rpartition(".")[2]: value})
        return next(iter(plain.values()))

    def _stored(self, edits: Mapping[str, Any]) -> bool:
        """True when the case takes the edits and the store has them; False leaves the sentences in `problems`."""
        for _ in range(TRIES):
            try:
                changed(self.case, edits)
            except FindingsError as found:
                self._note(found.problems, edits)
                return False
            before = {path: _whole(entry(self.case, path)) for path in edits}
            try:
                with self.store.write(self.role) as unit:
                    unit.edit_case(self.stored.name, self.stored.version, edits)
            except ConflictError as conflict:
                if self._clashes(conflict, edits):
                    return False
                self.stored = self.store.case(self.stored.name)
                continue
            self.stored = self.store.case(self.stored.name)
            self.taken = [*self.taken, before][-UNDOABLE:]
            self.clash = None
            return True
        return False

    def _clashes(self, conflict: ConflictError, edits: Mapping[str, Any]) -> bool:
        """True when somebody wrote the same entry meanwhile; then both are shown and nothing is stored."""
        theirs = {each.path: each.after for each in conflict.theirs}
        paths = [path for path in edits if any(each == path or each.startswith(f"{path}.") for each in theirs)]
        mine = {path for path in paths if path in conflict.clashing or path not in theirs}
        self.stored = self.store.case(self.stored.name)
        if not mine:
            return False
        self.clash = conflict
        for path in mine:
            now = leaf_for_page(entry(self.case, path))["value"]
            told = "empty" if now in (None, []) else now
            self.problems[path] = f"Meanwhile somebody else changed this to {told}. Yours is not stored: type it again."
        return True

    def _note(self, found: tuple[InputError, ...], edits: Mapping[str, Any]) -> None:
        """Sentences beside their fields; one about a field elsewhere stands beside the entry that caused it."""
        for problem in found:
            said = f"Given {problem.given}; allowed is {problem.allowed}. {_sentence(problem.advice)}"
            path = _path(problem.field)
            self.problems[path] = said
            for caused in edits:
                if not (path == caused or path.startswith(f"{caused}.")):
                    self.problems.setdefault(caused, f"Does not fit {problem.field}: {said}")

    def _look_again(self) -> None:
        """Every sentence about what is still refused, and no other."""
        clashes = {path: self.problems[path] for path in self.refused if self.clash and path in self.problems}
        self.problems.clear()
        if self.refused:
            try:
                changed(self.case, self.refused)
            except FindingsError as found:
                self._note(found.problems, self.refused)
            self.problems.update(clashes)


def _path(said: str) -> str:
    """``history.nerve_studies (entry 2).on`` as the form calls it: ``history.nerve_studies.1.on``."""
    steps = []
    for step in said.split("."):
        name, _, rest = step.partition(" (entry ")
        steps += [name, str(int(rest.rstrip(")")) - 1)] if rest else [name]
    return ".".join(steps)


def _sentence(text: str) -> str:
    return f"{text[:1].upper()}{text[1:].rstrip('.')}."


def _shown(value: Any) -> Any:
    if isinstance(value, date):
        return value.isoformat()
    return int(value) if isinstance(value, float) and value.is_integer() else value


def _whole(found: Any) -> Any:
    """An entry as it can be stored again."""
    if isinstance(found, Section):
        return {name: _whole(part) for name, part in found if part is not None}
    return [_whole(each) for each in found] if isinstance(found, tuple) else found
