"""Lines about stored cases and about the store."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from rich.text import Text

from sinewright.cli.parts import banner, bullets, heading, wrapped
from sinewright.cli.screen import Screen
from sinewright.results import Side
from sinewright.store.flat import is_finding

if TYPE_CHECKING:
    from sinewright.store.errors import ConflictError
    from sinewright.store.history import Event
    from sinewright.store.store import CaseLine
    from sinewright.store.verify import Verification

NAME_WIDTH = 26


def list_lines(cases: Sequence[CaseLine], screen: Screen, archived: bool) -> list[Text]:
    """One line for each case."""
    what = "archived case" if archived else "case"
    if not cases:
        return [Text(f"No {what} is stored.")]
    lines = [Text(f"{len(cases)} {what}{'s' if len(cases) != 1 else ''}", "bold")]
    for each in cases:
        examined = each.examined_on.isoformat() if each.examined_on else "no date   "
        row = f"{each.name:<{NAME_WIDTH}} {each.side:<6} examined {examined}  changed {each.changed_at[:10]}"
        row += f"  version {each.version}{'  invented' if each.invented else ''}"
        lines.append(Text(screen.say(row)))
    return lines


def show_lines(
    line: CaseLine, entries: Mapping[str, Any], counts: Mapping[str, int], history: Sequence[Event], screen: Screen
) -> list[Text]:
    """A stored case: its head, what is kept beside it, every entry, and its history when given."""
    side: Side = "left" if line.side == "left" else "right"
    after = f"version {line.version}{', archived' if line.archived else ''}{', invented' if line.invented else ''}"
    lines = banner(side, line.name, after, screen)
    kept = ", ".join(f"{kind} {count}" for kind, count in counts.items())
    lines += wrapped(f"The file it came from called it {line.label}. Kept beside it: {kept}.", screen)
    lines += heading("Entries")
    lines += bullets((f"{path}: {_told(leaf)}" for path, leaf in sorted(entries.items())), screen)
    if history:
        lines += heading("History")
        lines += bullets((_event(each) for each in history), screen)
    return lines


def _told(leaf: Any) -> str:
    if is_finding(leaf):
        extras = ", ".join(str(leaf[key]) for key in ("known", "on", "by") if leaf.get(key))
        return f"{_told(leaf['value'])} ({extras})"
    if isinstance(leaf, bool):
        return "true" if leaf else "false"
    if isinstance(leaf, list):
        return ", ".join(_told(each) for each in leaf)
    return f"{leaf:g}" if isinstance(leaf, float) else str(leaf)


def _event(event: Event) -> str:
    what = event.kind if not event.number else f"{event.kind} {event.number}"
    told = f"{event.at[:16].replace('T', ' ')} UTC, {event.role}: {event.action} {what}, version {event.version}"
    if event.action != "change":
        return told
    fields = (f"{each.path} {_before(each.before)} to {_before(each.after)}" for each in event.changes)
    return f"{told}: {'; '.join(fields)}"


def _before(leaf: Any) -> str:
    return "empty" if leaf is None else _told(leaf)


def conflict_lines(conflict: ConflictError, screen: Screen) -> list[Text]:
    """Field by field what the other wrote and what this edit wanted."""
    return [*heading("Field by field"), *bullets(conflict.lines(), screen)]


def proof_lines(proof: Verification, shown: str, screen: Screen) -> list[Text]:
    """What a verification found, with the hash to note."""
    told = f"{shown}: cases {proof.cases}, records {proof.records}, audit rows {proof.audit_rows}"
    if proof.broken:
        return wrapped(f"BROKEN. {shown}: {proof.broken}.", screen, "bold")
    lines = wrapped(f"Whole. {told}; every record is what its last audit row says.", screen)
    if proof.noted_seq is not None:
        lines += wrapped(f"The noted hash stands at audit row {proof.noted_seq}.", screen)
    return lines + wrapped(f"End of the chain, to be noted elsewhere: {proof.head}", screen)
