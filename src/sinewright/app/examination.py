"""Editing one stored case: every accepted entry is stored at once, a refused one stays in the tab with its sentence."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from threading import Lock
from typing import Any

from sinewright.app.form import leaf_for_page
from sinewright.case import Case, Finding, FindingsError, changed, entry
from sinewright.case.dates import date_problem, impossible_dates
from sinewright.case.fields import Section, bounds_of
from sinewright.case.labels import path_in_words
from sinewright.case.paths import field_at
from sinewright.case.said import direction_of
from sinewright.case.typed import number_typed
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
    mistyped: dict[str, str] = field(default_factory=dict)
    clash: ConflictError | None = None
    taken: list[Mapping[str, Any]] = field(default_factory=list)
    turn: Lock = field(default_factory=Lock, repr=False, compare=False)

    @property
    def case(self) -> Case:
        """The case as stored."""
        return self.stored.case

    def edit(self, path: str, value: Any, known: str | None, way: str = "") -> bool:
        """Stores one entry (None empties it); True when it is stored. What is refused is in `problems`.

        A number may come as it was typed, with the word for its direction as `way`.
        """
        with self.turn:
            return self._edit(path, value, known, way)

    def edit_together(self, values: Mapping[str, Any]) -> bool:
        """Stores several decisions as one version, so that undo takes them back together; what was refused is in
        `problems` and not kept."""
        with self.turn:
            self.problems.clear()
            return self._stored({path: self._leaf(path, value, None) for path, value in values.items()})

    def _edit(self, path: str, value: Any, known: str | None, way: str) -> bool:
        self._forget(path)
        leaf = self._leaf(path, self._as_meant(path, value, way), known)
        self.refused.pop(path, None)
        if self._stored({**self.refused, path: leaf}):
            self.refused.clear()
            self.problems.clear()
            self.mistyped.clear()
            return True
        if self.refused and self._stored({path: leaf}):
            self._look_again()
            return True
        self.refused[path] = leaf
        self._look_again()
        return False

    def _forget(self, path: str) -> None:
        for each in [each for each in self.mistyped if each == path or each.startswith(f"{path}.")]:
            del self.mistyped[each]

    def _as_meant(self, path: str, value: Any, way: str) -> Any:
        """What was typed into fields that take a number, as numbers; what is none stays text and is noted."""
        if isinstance(value, list):
            return [self._row(f"{path}.{place}", each) for place, each in enumerate(value)]
        try:
            return _number(path, value, way)
        except InputError as problem:
            self.mistyped[path] = said_beside(problem)
            return value

    def _row(self, path: str, row: Any) -> Any:
        if not isinstance(row, dict):
            return row
        out = {}
        for name, leaf in row.items():
            is_finding = isinstance(leaf, dict)
            meant = self._as_meant(f"{path}.{name}", leaf.get("value") if is_finding else leaf, "")
            out[name] = {**leaf, "value": meant} if is_finding else meant
        return out

    def drop(self, path: str) -> None:
        """Forgets an entry that was refused; the field shows again what is stored."""
        self.refused.pop(path, None)
        self._forget(path)
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
            if not self._fits(edits):
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

    def _fits(self, edits: Mapping[str, Any]) -> bool:
        """True when the case takes the edits; else their sentences are in `problems`."""
        today = date.today()
        typed = [date_problem(path, leaf, today) for path, leaf in edits.items() if isinstance(leaf, date)]
        wrong = [problem for found in typed for problem in found]
        try:
            dates = impossible_dates(changed(self.case, edits), today)
            wrong += [each for each in dates if any(_path(each.field).startswith(path) for path in edits)]
        except FindingsError as found:
            wrong += [each for each in found.problems if not any(typed) or _path(each.field) in edits]
        self._note(tuple(wrong), edits)
        return not wrong

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
            path = _path(problem.field)
            said = self.mistyped.get(path) or _outside(path, edits.get(path)) or said_beside(problem)
            self.problems[path] = said
            for caused in edits:
                if caused != path and not path.startswith(f"{caused}.") and path not in edits:
                    self.problems.setdefault(caused, f"Does not fit {path_in_words(path)}: {said}")

    def _look_again(self) -> None:
        """Every sentence about what is still refused, and no other."""
        clashes = {path: self.problems[path] for path in self.refused if self.clash and path in self.problems}
        self.problems.clear()
        if self.refused:
            self._fits(self.refused)
            for path, leaf in self.refused.items():
                if path not in self.problems:
                    self._fits({path: leaf})
            self.problems.update(clashes)


def _path(said: str) -> str:
    """``history.nerve_studies (entry 2).on`` as the form calls it: ``history.nerve_studies.1.on``.

    The value of a finding stands in the field that holds it.
    """
    steps: list[str] = []
    for step in said.removesuffix(".value").split("."):
        name, _, rest = step.partition(" (entry ")
        steps += [name, str(int(rest.rstrip(")")) - 1)] if rest else [name]
    return ".".join(steps)


def said_beside(problem: InputError) -> str:
    """A refusal as it stands beside its own field."""
    return f"Given {problem.given}; allowed is {problem.allowed}. {_sentence(problem.advice)}"


def _number(path: str, value: Any, way: str) -> Any:
    """What was typed into a field that takes a number, as a number. Raises InputError."""
    info = field_at(_steps(path))
    if not isinstance(value, str) or info is None or bounds_of(info) is None:
        return value
    return number_typed(path, value, way) if value.strip() else None


def _outside(path: str, leaf: Any) -> str:
    """A number outside its range in the words of its direction; empty where it has none or lies inside."""
    info, direction = field_at(_steps(path)), direction_of(path)
    value = leaf.get("value") if isinstance(leaf, dict) else leaf
    bounds = bounds_of(info) if info else None
    if direction is None or bounds is None or not isinstance(value, int | float) or bounds[0] <= value <= bounds[1]:
        return ""
    low, high = (direction.exact(end, "°") for end in bounds)
    return f"Given {direction.exact(value, '°')}; allowed is {low} to {high}. Check the number and the word beside it."


def _steps(path: str) -> tuple[str, ...]:
    """The path of a field without the places of entries in lists."""
    return tuple(step for step in path.split(".") if not step.isdigit())


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
