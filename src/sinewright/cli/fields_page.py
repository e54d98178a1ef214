"""The page that `sinewright case-help` prints: what a case file may hold, from the models that read it."""

from __future__ import annotations

from collections.abc import Iterator

from pydantic.fields import FieldInfo
from rich.text import Text

from sinewright.case.labels import label
from sinewright.case.muscles import MUSCLES
from sinewright.case.paths import all_fields, inner_section
from sinewright.case.wording import allowed
from sinewright.cli.parts import heading, wrapped
from sinewright.cli.screen import Screen

HEAD = (
    "A case file is TOML text about one leg of one patient. Only schema_version, pseudonym and side must "
    "be there. Dorsiflexion is positive from neutral, so a dropped foot is negative; names with _down_ or "
    "_out_ count positive in that direction. A plain value means measured; otherwise write "
    '{ value = 12, known = "estimated" }.'
)


def fields_lines(word: str, screen: Screen) -> list[Text]:
    """Every entry whose path or meaning holds `word` (all when it is empty), under its heading."""
    lines = wrapped(HEAD, screen, "dim")
    found = list(_matching(word.lower()))
    if not found:
        return [*lines, *heading(screen.say(f'No entry has "{word}" in its name or meaning.'))]
    section = None
    for path, field in found:
        place, _, name = path.rpartition(".")
        if place != section:
            lines += heading(f"[{place}]" if place else "top of the file")
            section = place
        must = "; must be there" if field.is_required() else ""
        takes = allowed(field, tuple(path.split(".")))
        lines += wrapped(
            f"{name}: {label(path)}; {field.description}. Takes {takes}{must}.", screen, first="  ", after="      "
        )
    return lines


def _matching(word: str) -> Iterator[tuple[str, FieldInfo]]:
    """Entries (not headings) that hold `word`; the muscles take the same entries, so one stands for all."""
    first = MUSCLES[0]
    for path, field in all_fields():
        if inner_section(field) is not None:
            continue
        if path.startswith("muscles."):
            if path.split(".")[1] != first:
                continue
            path = path.replace(first, "<muscle>")
        if any(word in text.lower() for text in (path, label(path), str(field.description))):
            yield path, field
