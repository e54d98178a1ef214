"""Between cases as objects, as flat paths, and as rows. The pseudonym is the key of the rows, not an entry."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from datetime import date
from typing import Any, cast

from sqlalchemy import Connection, select

from sinewright.case import Case, canonical, case_from_tables
from sinewright.case.fields import Section
from sinewright.store.chain import digest_of
from sinewright.store.flat import Flat, canonical_json, flat, is_finding, nested, with_dates
from sinewright.store.schema import CaseRow, ExaminationRow, FindingRow

HEAD = ("schema_version", "side", "invented", "examined_on")
ARCHIVED = "archived"
Row = Mapping[str, Any]


def plain(part: Section) -> dict[str, Any]:
    """Nested plain content of any section without empty entries."""
    return canonical(cast(Case, part))  # it reads every kind of section


def entries_of(case: Case) -> Flat:
    """All entries of a case but its pseudonym, as flat paths."""
    entries = flat(plain(case))
    del entries["pseudonym"]
    return entries


def case_of(name: str, entries: Mapping[str, Any]) -> Case:
    """The case called `name` with these entries. Raises FindingsError when this program refuses them."""
    return case_from_tables(with_dates(nested({"pseudonym": name, **entries})), name)


def examination_row(name: str, entries: Mapping[str, Any]) -> dict[str, Any]:
    """The head row of an examination."""
    head = {field: entries.get(field) for field in HEAD}
    return {"case_name": name, **head, "examined_on": _day(head["examined_on"])}


def finding_row(name: str, path: str, leaf: Any) -> dict[str, Any]:
    """The row of one entry; the value is JSON text."""
    finding = leaf if is_finding(leaf) else {"value": leaf}
    return {
        "case_name": name,
        "path": path,
        "value": canonical_json(finding["value"]),
        "known": finding.get("known"),
        "found_on": _day(finding.get("on")),
        "found_by": finding.get("by"),
    }


def finding_rows(name: str, entries: Mapping[str, Any]) -> list[dict[str, Any]]:
    """The rows of all entries that do not stand in the head."""
    return [finding_row(name, path, leaf) for path, leaf in entries.items() if path not in HEAD]


def leaf_of(value: str, known: str | None, found_on: date | None, found_by: str | None) -> Any:
    """The leaf that a finding's row holds."""
    content = json.loads(value)
    if known is None:
        return content
    extras = {"on": found_on.isoformat() if found_on else None, "by": found_by}
    return {"value": content, "known": known, **{key: each for key, each in extras.items() if each}}


def _day(text: str | None) -> date | None:
    return date.fromisoformat(text) if text else None


_FINDING = (
    FindingRow.path,
    FindingRow.value,
    FindingRow.known,
    FindingRow.found_on,
    FindingRow.found_by,
)
_EXAMINATION = (
    ExaminationRow.schema_version,
    ExaminationRow.side,
    ExaminationRow.invented,
    ExaminationRow.examined_on,
)


def read_entries(connection: Connection, name: str) -> Flat:
    """All entries of a stored case, as flat paths in the order of the file where it matters."""
    head = connection.execute(select(*_EXAMINATION).where(ExaminationRow.case_name == name)).one()
    entries: Flat = {"schema_version": head[0], "side": head[1], "invented": head[2]}
    if head[3]:
        entries["examined_on"] = head[3].isoformat()
    rows = connection.execute(select(*_FINDING).where(FindingRow.case_name == name))
    entries.update((row[0], leaf_of(*row[1:])) for row in rows)
    return entries


def finding_line(path: str, value: str, known: str | None, found_on: object, found_by: str | None) -> str:
    """One row as one line for hashing. `found_on` is a date or its text."""
    by = "" if found_by is None else json.dumps(found_by)
    return f"{path}\x1f{value}\x1f{known or ''}\x1f{found_on or ''}\x1f{by}"


def examination_state(head: tuple[Any, ...], lines: Iterable[str]) -> str:
    """The digest of a case with its examination.

    `head` is (archived, label, schema_version, side, invented, examined_on as text), `lines` those of
    `finding_line` in any order.
    """
    return digest_of(canonical_json(list(head)), "\n".join(sorted(lines)))


def state_of(connection: Connection, name: str) -> str:
    """The digest of a case as it now stands in the tables."""
    case = connection.execute(select(CaseRow.archived, CaseRow.label).where(CaseRow.name == name)).one()
    head = connection.execute(select(*_EXAMINATION).where(ExaminationRow.case_name == name)).one()
    rows = connection.execute(select(*_FINDING).where(FindingRow.case_name == name))
    day = head[3].isoformat() if head[3] else None
    return examination_state((*case, *head[:3], day), (finding_line(*row) for row in rows))
