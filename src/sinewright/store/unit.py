"""The one way to write: a unit of work. Every change writes its audit row in the same transaction."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from sqlalchemy import Connection, delete, func, insert, select, update

from sinewright.case import Case, changed
from sinewright.case.fields import Section
from sinewright.errors import InputError
from sinewright.store.chain import CLINICIANS, Link, Role, as_role, digest_of, hash_of, now_text
from sinewright.store.content import (
    ARCHIVED,
    case_of,
    entries_of,
    examination_row,
    finding_rows,
    plain,
    read_entries,
    state_of,
)
from sinewright.store.errors import Change, ConflictError, StoreError
from sinewright.store.flat import Flat, canonical_json, changes_between, changes_text, flat, nested, undone
from sinewright.store.history import changes_since
from sinewright.store.names import is_name, new_name
from sinewright.store.plans import plan_row, plan_state
from sinewright.store.records import KINDS, Document, Plan, R, Release, Stage, record_from
from sinewright.store.schema import (
    CONTENT_TABLES,
    AuditRow,
    CaseRow,
    DocumentRow,
    ExaminationRow,
    FindingRow,
    HeadRow,
    PlanRow,
)

EXAMINATION, PLAN = "examination", "plan"
LARGEST_DOCUMENT = 32 * 1024 * 1024
_LIST = "sinewright case list shows them"


class Unit:
    """Changes of one transaction, made by one role. Use it through ``Store.write``; leaving it by an error
    keeps nothing of it."""

    def __init__(self, connection: Connection, shown: str, role: Role) -> None:
        self._connection, self._shown, self._role = connection, shown, as_role(role)
        head = connection.execute(select(HeadRow.seq, HeadRow.hash).with_for_update()).one()
        self._read = (head[0], head[1])
        self._seq, self._hash = self._read

    def finish(self) -> None:
        """Moves the end of the chain; refuses when the store was exchanged under this unit."""
        if (self._seq, self._hash) == self._read:
            return
        where = (HeadRow.seq == self._read[0], HeadRow.hash == self._read[1])
        moved = self._connection.execute(update(HeadRow).where(*where).values(seq=self._seq, hash=self._hash))
        if moved.rowcount != 1:
            problem = "the store was replaced by a restore at this moment"
            raise StoreError(self._shown, problem, "nothing was stored; do it again on the restored store")

    # -- cases ----------------------------------------------------------------------------------------------

    def add_case(self, case: Case) -> str:
        """Stores a new case and returns its pseudonym.

        The pseudonym is drawn at random; what the file called the case is kept as its label. A pseudonym that
        a store drew earlier (an exported case) is kept if it is free here; if it is not, InputError.
        """
        if is_name(case.pseudonym):
            if self._exists(case.pseudonym):
                advice = "to change the stored case import into it; to keep both give the file another label"
                raise InputError("pseudonym", case.pseudonym, "one that is not yet stored", advice)
            name = case.pseudonym
        else:
            name = new_name(self._exists)
        at = now_text()
        row = {"name": name, "version": 1, "archived": False, "label": case.pseudonym}
        self._connection.execute(insert(CaseRow).values(**row, made_at=at, changed_at=at))
        entries = entries_of(case)
        self._put_examination(name, entries)
        self._audit(
            "add",
            EXAMINATION,
            name,
            number=0,
            version=1,
            changes=changes_between({}, entries),
            state=state_of(self._connection, name),
        )
        return name

    def change_case(self, name: str, version: int, case: Case) -> int:
        """Replaces the content of a stored case that was read at `version`; returns the new version.

        Raises ConflictError, with both sides field by field, when it was changed since.
        """
        wanted = entries_of(case)
        row = self._case_row(name)
        current = read_entries(self._connection, name)
        base = self._base(name, version, row.version, {**current, ARCHIVED: row.archived})
        theirs = changes_between(base, {**current, ARCHIVED: row.archived})
        base.pop(ARCHIVED, None)
        if theirs:
            mine = changes_between(base, wanted)
            raise ConflictError(self._shown, (EXAMINATION, name, 0), row.version, theirs, mine)
        changes = changes_between(current, wanted)
        if not changes:
            return int(row.version)
        self._delete_findings(name, changes)
        self._put_changed(name, wanted, changes)
        return self._case_changed(name, row.version + 1, "change", changes)

    def edit_case(self, name: str, version: int, edits: Mapping[str, Any]) -> int:
        """Changes single entries by dotted path (None empties one); else as `change_case`."""
        if "pseudonym" in edits:
            raise InputError("pseudonym", "a new one", "none: it is drawn once", "leave this entry out")
        row = self._case_row(name)
        current = read_entries(self._connection, name)
        base = self._base(name, version, row.version, {**current, ARCHIVED: row.archived})
        base.pop(ARCHIVED, None)
        return self.change_case(name, version, changed(case_of(name, base), edits))

    def archive(self, name: str, archived: bool = True) -> int:
        """Puts a case away, or takes it back; nothing is ever deleted. Returns the version."""
        row = self._case_row(name)
        if bool(row.archived) == archived:
            return int(row.version)
        self._connection.execute(update(CaseRow).where(CaseRow.name == name).values(archived=archived))
        change = (Change(ARCHIVED, row.archived, archived),)
        return self._case_changed(name, row.version + 1, "archive" if archived else "take back", change)

    def _case_changed(self, name: str, version: int, action: str, changes: tuple[Change, ...]) -> int:
        values = {"version": version, "changed_at": now_text()}
        self._connection.execute(update(CaseRow).where(CaseRow.name == name).values(**values))
        self._audit(
            action,
            EXAMINATION,
            name,
            number=0,
            version=version,
            changes=changes,
            state=state_of(self._connection, name),
        )
        return version

    def _put_examination(self, name: str, entries: Flat) -> None:
        self._connection.execute(insert(ExaminationRow).values(**examination_row(name, entries)))
        rows = finding_rows(name, entries)
        if rows:
            self._connection.execute(insert(FindingRow), rows)

    def _delete_findings(self, name: str, changes: tuple[Change, ...]) -> None:
        paths = [each.path for each in changes]
        where = (FindingRow.case_name == name, FindingRow.path.in_(paths))
        self._connection.execute(delete(FindingRow).where(*where))

    def _put_changed(self, name: str, wanted: Flat, changes: tuple[Change, ...]) -> None:
        head = examination_row(name, wanted)
        self._connection.execute(update(ExaminationRow).where(ExaminationRow.case_name == name).values(**head))
        new = {each.path: wanted[each.path] for each in changes if each.path in wanted}
        rows = finding_rows(name, new)
        if rows:
            self._connection.execute(insert(FindingRow), rows)

    # -- records beside the examination ---------------------------------------------------------------------

    def add(self, name: str, record: R, data: bytes | None = None) -> int:
        """Stores a visit, table entry, operation note, stage or document; returns its number in the case.

        `data` are the bytes of a document, and of nothing else.
        """
        self._case_row(name)
        kind, extra = KINDS[type(record)], self._data(record, data)
        table = CONTENT_TABLES[kind]
        number = self._next_number(table, name)
        content = canonical_json(plain(record))
        values = {"case_name": name, "number": number, "version": 1, "content": content}
        self._connection.execute(insert(table).values(**values, **extra))
        changes = changes_between({}, flat(plain(record)))
        self._audit(
            "add", kind, name, number=number, version=1, changes=changes, state=digest_of(content, *extra.values())
        )
        return number

    def change(self, name: str, number: int, version: int, record: R) -> int:
        """Replaces the content of a record that was read at `version`; returns the new version.

        Raises ConflictError as `change_case` does. The bytes of a document stay.
        """
        kind = KINDS[type(record)]
        table = CONTENT_TABLES[kind]
        where = (table.case_name == name, table.number == number)
        row = self._connection.execute(select(table.version, table.content).where(*where)).one_or_none()
        if row is None:
            raise InputError(kind, number, f"the number of a {kind} of {name}", "look at the case first")
        current, wanted = flat(plain_content(row.content)), flat(plain(record))
        base = self._base(name, version, row.version, current=current, kind=kind, number=number)
        theirs = changes_between(base, current)
        if theirs:
            mine = changes_between(base, wanted)
            raise ConflictError(self._shown, (kind, name, number), row.version, theirs, mine)
        changes = changes_between(current, wanted)
        if not changes:
            return int(row.version)
        content = canonical_json(plain(record))
        self._connection.execute(update(table).where(*where).values(version=row.version + 1, content=content))
        extra = self._stored_data(kind, name, number)
        self._audit(
            "change",
            kind,
            name,
            number=number,
            version=row.version + 1,
            changes=changes,
            state=digest_of(content, *extra),
        )
        return int(row.version) + 1

    def release(self, name: str, number: int, version: int, release: Release) -> int:
        """A clinician opens a stage of protection. A stage is released once. Returns the new version."""
        if release.role not in CLINICIANS:
            raise InputError("released.role", release.role, ", ".join(CLINICIANS), "a clinician releases a stage")
        table = CONTENT_TABLES["stage"]
        where = (table.case_name == name, table.number == number)
        content = self._connection.execute(select(table.content).where(*where)).scalar()
        if content is None:
            raise InputError("stage", number, f"the number of a stage of {name}", "look at the case first")
        stage = record_from(Stage, plain_content(content))
        if stage.released is not None:
            raise InputError("stage", number, "a stage that is still open", "it was released before")
        return self.change(name, number, version, stage.model_copy(update={"released": release}))

    def _data(self, record: Section, data: bytes | None) -> dict[str, bytes]:
        if isinstance(record, Document) != (data is not None):
            raise InputError("data", "bytes" if data else "none", "the bytes of a document", "give both or none")
        if data is not None and len(data) > LARGEST_DOCUMENT:
            raise InputError("document", f"{len(data)} bytes", "at most 32 MiB", "store a smaller file")
        return {} if data is None else {"data": data}

    def _stored_data(self, kind: str, name: str, number: int) -> tuple[bytes, ...]:
        if kind != KINDS[Document]:
            return ()
        where = (DocumentRow.case_name == name, DocumentRow.number == number)
        return (bytes(self._connection.execute(select(DocumentRow.data).where(*where)).scalar_one()),)

    # -- plans ----------------------------------------------------------------------------------------------

    def keep_plan(self, name: str, case_version: int, plan: Plan) -> int:
        """Freezes a plan made from the case at `case_version`; returns its number in the case.

        The inputs are taken from the store. The plan before it is marked as superseded, and kept.
        """
        row = self._case_row(name)
        current = read_entries(self._connection, name)
        entries = self._base(name, case_version, row.version, {**current, ARCHIVED: row.archived})
        entries.pop(ARCHIVED, None)
        number = self._next_number(PlanRow, name)
        inputs = canonical_json(nested({"pseudonym": name, **entries}))
        kept = plan_row(name, number, case_version, inputs, plan)
        self._connection.execute(insert(PlanRow).values(**kept))
        changes = changes_between({}, {"hash": kept["hash"], "case_version": case_version})
        self._audit("add", PLAN, name, number=number, version=1, changes=changes, state=plan_state(kept))
        self._supersede(name, number)
        return number

    def _supersede(self, name: str, by: int) -> None:
        where = (PlanRow.case_name == name, PlanRow.number < by, PlanRow.superseded_by.is_(None))
        rows = self._connection.execute(select(PlanRow.__table__).where(*where)).mappings().all()
        for row in rows:
            mine = (PlanRow.case_name == name, PlanRow.number == row["number"])
            self._connection.execute(update(PlanRow).where(*mine).values(superseded_by=by))
            change = (Change("superseded_by", None, by),)
            state = plan_state({**row, "superseded_by": by})
            self._audit("supersede", PLAN, name, number=row["number"], version=2, changes=change, state=state)

    # -- shared ---------------------------------------------------------------------------------------------

    def note(self, action: str, content: Mapping[str, Any]) -> None:
        """An audit row about the store itself, for instance that it was restored."""
        changes = tuple(Change(path, None, value) for path, value in content.items())
        self._audit(action, "store", None, number=0, version=0, changes=changes, state=digest_of(action))

    def _exists(self, name: str) -> bool:
        return self._connection.execute(select(CaseRow.name).where(CaseRow.name == name)).first() is not None

    def _case_row(self, name: str) -> Any:
        row = self._connection.execute(
            select(CaseRow.version, CaseRow.archived).where(CaseRow.name == name)
        ).one_or_none()
        if row is None:
            raise InputError("case", name, "the pseudonym of a stored case", _LIST)
        return row

    def _base(self, name: str, version: int, now: int, current: Flat, kind: str = EXAMINATION, number: int = 0) -> Flat:
        """The content at `version`, walked back from the current one along the audit."""
        if not 1 <= version <= now:
            raise InputError("version", version, f"1 to {now}", "give the version that you read")
        base = dict(current)
        for changes in changes_since(self._connection, kind, name, number, version):
            base = undone(base, changes)
        return base

    def _next_number(self, table: Any, name: str) -> int:
        last = self._connection.execute(select(func.max(table.number)).where(table.case_name == name)).scalar()
        return int(last or 0) + 1

    def _audit(
        self, action: str, kind: str, name: str | None, number: int, version: int,
        changes: tuple[Change, ...], state: str,
    ) -> None:  # fmt: skip
        link = Link(
            self._seq + 1,
            now_text(),
            self._role,
            action=action,
            kind=kind,
            case_name=name,
            number=number,
            version=version,
            changes=changes_text(changes),
            state=state,
        )
        previous, self._hash = self._hash, hash_of(self._hash, link)
        self._seq = link.seq
        self._connection.execute(insert(AuditRow).values(**vars(link), previous=previous, hash=self._hash))


def plain_content(text: str) -> dict[str, Any]:
    """The nested content in a row's JSON text."""
    import json

    content: dict[str, Any] = json.loads(text)
    return content
