"""The store as the rest of the program sees it."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from types import TracebackType
from typing import Any, Generic

from sqlalchemy import Connection, Engine, func, select, text

from sinewright.case import Case
from sinewright.errors import InputError
from sinewright.files import beside, publish
from sinewright.store.chain import Role
from sinewright.store.content import case_of, read_entries
from sinewright.store.engine import BUSY_S, changing, make_engine, reading, spoken
from sinewright.store.errors import StoreError
from sinewright.store.files import refuse_bad_head
from sinewright.store.history import Event, events
from sinewright.store.migrating import begin_chain, migrate, refuse_other_schema, schema_of
from sinewright.store.place import Place
from sinewright.store.plans import KeptPlan
from sinewright.store.records import KINDS, Plan, R, record_from
from sinewright.store.schema import CONTENT_TABLES, SCHEMA, CaseRow, DocumentRow, ExaminationRow, PlanRow
from sinewright.store.unit import Unit, plain_content
from sinewright.store.verify import Verification, verify


@dataclass(frozen=True)
class CaseLine:
    """One case in a list. `at` and `changed_at` are UTC."""

    name: str
    version: int
    archived: bool
    label: str
    side: str
    invented: bool
    examined_on: date | None
    made_at: str
    changed_at: str


@dataclass(frozen=True)
class StoredCase:
    """A case as it was read, with the version to give back when changing it."""

    line: CaseLine
    case: Case

    @property
    def name(self) -> str:
        """The pseudonym."""
        return self.line.name

    @property
    def version(self) -> int:
        """The version that was read."""
        return self.line.version


@dataclass(frozen=True)
class KeptRecord(Generic[R]):
    """A visit, table entry, note, stage or document with its number in the case and its version."""

    number: int
    version: int
    record: R


_LINE = (
    CaseRow.name, CaseRow.version, CaseRow.archived, CaseRow.label, ExaminationRow.side,
    ExaminationRow.invented, ExaminationRow.examined_on, CaseRow.made_at, CaseRow.changed_at,
)  # fmt: skip


class Store:
    """An open store. Reading needs no care; writing goes through `write`, and only through it."""

    def __init__(self, place: Place, engine: Engine) -> None:
        self.place, self._engine = place, engine

    @classmethod
    def open(cls, place: Place, passphrase: str | None = None, create: bool = False, busy_s: float = BUSY_S) -> Store:
        """Open the store at a place. A store of another schema is refused untouched.

        Parameters
        ----------
        place : a file or a server; see `find_place`
        passphrase : of an encrypted file
        create : make the store when there is none
        busy_s : how long a writer waits for another [s]

        Raises
        ------
        StoreError : and its kinds: not there, busy, older, newer, damaged, wrong passphrase
        """
        if place.kind == "sqlite":
            with spoken(place):
                _find_file(place, passphrase, create)
        engine = make_engine(place, passphrase, busy_s)
        store = cls(place, engine)
        try:
            if place.kind == "postgresql" and create:
                _create_schema(place, engine)
            with reading(engine, place) as connection:
                number = schema_of(connection)
            if number == 0 and place.kind == "postgresql":
                raise _no_store(place)
            refuse_other_schema(number, place.shown)
        except BaseException:
            store.close()
            raise
        return store

    def close(self) -> None:
        """Lets go of the store."""
        self._engine.dispose()

    def __enter__(self) -> Store:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, problem: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    @contextmanager
    def write(self, role: Role) -> Iterator[Unit]:
        """Open one transaction, whose changes are kept with their audit rows.

        When the block ends without an error, all of it is on the disk; otherwise nothing of it is.

        Parameters
        ----------
        role : who changes something, as it stands in the audit; never a name

        Raises
        ------
        StoreBusyError : another program kept the store locked for longer than ``busy_s``
        """
        with changing(self._engine, self.place) as connection:
            unit = Unit(connection, self.place.shown, role)
            yield unit
            unit.finish()

    @contextmanager
    def snapshot(self) -> Iterator[Connection]:
        """A connection that sees one moment, for verifying and backing up."""
        with reading(self._engine, self.place) as connection:
            yield connection

    def cases(self, archived: bool = False) -> tuple[CaseLine, ...]:
        """All cases by pseudonym; with `archived` those that were put away instead."""
        statement = select(*_LINE).join_from(CaseRow, ExaminationRow).where(CaseRow.archived.is_(archived))
        with self.snapshot() as connection:
            lines = [CaseLine(*row) for row in connection.execute(statement)]
        return tuple(sorted(lines, key=lambda each: each.name))

    def case(self, name: str) -> StoredCase:
        """The case called `name`, archived or not. Raises InputError for an unknown name."""
        with self.snapshot() as connection:
            line = _line(connection, name)
            entries = read_entries(connection, name)
        return StoredCase(line, case_of(name, entries))

    def version(self, name: str) -> int:
        """The number of the last version of a case, without reading its entries. Raises InputError."""
        with self.snapshot() as connection:
            return _line(connection, name).version

    def entries(self, name: str) -> tuple[CaseLine, Mapping[str, Any]]:
        """The entries of a case as flat paths, even when this program would refuse some of them today."""
        with self.snapshot() as connection:
            return _line(connection, name), read_entries(connection, name)

    def records(self, name: str, kind: type[R]) -> tuple[KeptRecord[R], ...]:
        """Read all records of one kind, oldest first.

        Parameters
        ----------
        name : pseudonym
        kind : Visit, TableEntry, Note, ReleasedStage or another class of `store.records`

        Raises
        ------
        InputError : no case has this name
        """
        table = CONTENT_TABLES[KINDS[kind]]
        statement = (
            select(table.number, table.version, table.content).where(table.case_name == name).order_by(table.number)
        )
        with self.snapshot() as connection:
            _line(connection, name)
            rows = connection.execute(statement).all()
        return tuple(KeptRecord(row[0], row[1], record_from(kind, plain_content(row[2]))) for row in rows)

    def counts(self, name: str) -> dict[str, int]:
        """How many plans, visits and other records a case has."""
        tables: dict[str, Any] = {"plan": PlanRow, **CONTENT_TABLES}
        with self.snapshot() as connection:
            _line(connection, name)
            return {
                kind: connection.execute(select(func.count()).where(table.case_name == name)).scalar_one()
                for kind, table in tables.items()
            }

    def document(self, name: str, number: int) -> bytes:
        """The bytes of a document."""
        where = (DocumentRow.case_name == name, DocumentRow.number == number)
        with self.snapshot() as connection:
            data = connection.execute(select(DocumentRow.data).where(*where)).scalar()
        if data is None:
            raise InputError("document", number, f"the number of a document of {name}", "look at the case first")
        return bytes(data)

    def plans(self, name: str) -> tuple[KeptPlan, ...]:
        """Every plan of a case, oldest first; the one without `superseded_by` stands."""
        statement = select(PlanRow.__table__).where(PlanRow.case_name == name).order_by(PlanRow.number)
        with self.snapshot() as connection:
            _line(connection, name)
            rows = connection.execute(statement).mappings().all()
        return tuple(_kept_plan(dict(row)) for row in rows)

    def history(self, name: str | None = None) -> tuple[Event, ...]:
        """Every change of a case with each field before and after; without a name those of the store."""
        with self.snapshot() as connection:
            return events(connection, name)

    def verify(self, noted: str | None = None, thorough: bool = False) -> Verification:
        """Proves file, audit chain and records; see `verify.verify`."""
        with self.snapshot() as connection:
            return verify(connection, noted, thorough)


def _line(connection: Connection, name: str) -> CaseLine:
    statement = select(*_LINE).join_from(CaseRow, ExaminationRow).where(CaseRow.name == name)
    row = connection.execute(statement).one_or_none()
    if row is None:
        raise InputError("case", name, "the pseudonym of a stored case", "sinewright case list shows them")
    return CaseLine(*row)


def _kept_plan(row: Mapping[str, Any]) -> KeptPlan:
    names = ("program_version", "seed", "draws", "data_digest")
    content = {**{each: row[each] for each in names}, "result": plain_content(row["result"])}
    head = (row["number"], row["made_at"], row["case_version"], row["hash"], row["superseded_by"])
    return KeptPlan(*head, plain_content(row["inputs"]), Plan.model_validate(content))


def _no_store(place: Place) -> StoreError:
    return StoreError(place.shown, "there is no store yet", "sinewright case import makes one")


def _find_file(place: Place, passphrase: str | None, create: bool) -> None:
    if not place.path.exists():
        if not create:
            raise _no_store(place)
        place.path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        create_file(place, passphrase)
    if not place.path.is_file():
        raise StoreError(place.shown, "this is not an ordinary file", "name the file of a store")
    refuse_bad_head(place.path, encrypted=passphrase is not None)


def create_file(place: Place, passphrase: str | None) -> None:
    """Makes a whole new store file; when another program is faster, its store stands."""
    with beside(place.path) as temporary:
        new = Place("sqlite", place.shown, path=temporary)
        fill(new, make_engine(new, passphrase))
        with contextlib.suppress(FileExistsError):
            publish(temporary, place.path)


def fill(place: Place, engine: Engine, schema: int = SCHEMA, with_chain: bool = True) -> None:
    """Builds the tables of `schema` in an empty place and closes `engine`."""
    try:
        with changing(engine, place) as connection:
            migrate(connection, schema)
            if with_chain:
                begin_chain(connection)
    finally:
        engine.dispose()


def _create_schema(place: Place, engine: Engine) -> None:
    """Makes schema and tables on a server; programs that do it at once queue up."""
    with changing(engine, place) as connection:
        connection.execute(text("SELECT pg_advisory_xact_lock(1398230577)"))
        connection.execute(text(f"CREATE SCHEMA IF NOT EXISTS {place.schema}"))
        if schema_of(connection) == 0:
            migrate(connection)
            begin_chain(connection)
