"""A store as text: one JSON line for each row, with counts and a digest in the last line.

It is the backup of a store on a server, and the way from any store to any other.
"""

from __future__ import annotations

import base64
import json
from collections.abc import Generator, Iterable, Mapping
from contextlib import closing
from datetime import date
from hashlib import sha256
from pathlib import Path
from typing import Any, TextIO

from sqlalchemy import Connection, select, text
from sqlalchemy import inspect as look

from sinewright.store.errors import NewerStoreError, StoreDamagedError
from sinewright.store.flat import canonical_json
from sinewright.store.migrating import schema_of
from sinewright.store.schema import SCHEMA, Base

FORMAT = "sinewright-store-rows"
TABLES = (
    "case_record", "examination", "finding", "plan", "visit", "table_entry", "operation_note",
    "protection_stage", "document", "audit", "chain_head",
)  # fmt: skip
Rows = Generator[tuple[str, dict[str, Any]], None, None]
_BROKEN = "keep the file and take an earlier backup"


def rows_of(connection: Connection) -> Rows:
    """Every row of a store of the present schema, parents before children."""
    for name in TABLES:
        table = Base.metadata.tables[name]
        order = list(table.primary_key.columns)
        statement = select(table).order_by(*order).execution_options(yield_per=500)
        with connection.execute(statement) as result:
            for row in result.mappings():
                yield name, dict(row)


def load_rows(connection: Connection, rows: Rows) -> None:
    """Puts `rows` into empty tables. Works for every schema that has these columns."""
    batch: list[dict[str, Any]] = []
    current = ""
    booleans = _boolean_columns(connection)
    for name, row in rows:
        if batch and (name != current or row.keys() != batch[0].keys() or len(batch) >= 500):
            _insert(connection, current, batch)
            batch = []
        current = name
        batch.append({key: bool(v) if (name, key) in booleans else _plain(v) for key, v in row.items()})
    if batch:
        _insert(connection, current, batch)


def _boolean_columns(connection: Connection) -> set[tuple[str, str]]:
    found = look(connection)
    return {
        (name, column["name"])
        for name in TABLES
        for column in found.get_columns(name)
        if column["type"].python_type is bool
    }


def _plain(value: Any) -> Any:
    return value.isoformat() if isinstance(value, date) else value


def _insert(connection: Connection, name: str, batch: list[dict[str, Any]]) -> None:
    columns = list(batch[0])
    types = {each["name"]: str(each["type"]) for each in look(connection).get_columns(name)}
    values = [f"CAST(:{each} AS DATE)" if _is_server_date(connection, types[each]) else f":{each}" for each in columns]
    connection.execute(text(f"INSERT INTO {name} ({', '.join(columns)}) VALUES ({', '.join(values)})"), batch)


def _is_server_date(connection: Connection, kind: str) -> bool:
    return kind == "DATE" and connection.dialect.name == "postgresql"


def write_rows(stream: TextIO, connection: Connection) -> dict[str, int]:
    """Writes the whole store as lines; returns how many rows of each table."""
    whole = sha256()

    def line(content: Mapping[str, Any]) -> None:
        written = canonical_json(content) + "\n"
        whole.update(written.encode("ascii"))
        stream.write(written)

    line({"format": FORMAT, "schema": schema_of(connection)})
    counts = dict.fromkeys(TABLES, 0)
    with closing(rows_of(connection)) as rows:
        for name, row in rows:
            counts[name] += 1
            line({"table": name, "row": {key: _as_json(value) for key, value in row.items()}})
    stream.write(canonical_json({"counts": counts, "sha256": whole.hexdigest()}) + "\n")
    return counts


def _as_json(value: Any) -> Any:
    if isinstance(value, (bytes, memoryview)):
        return {"base64": base64.b64encode(bytes(value)).decode("ascii")}
    return _plain(value)


def _from_json(value: Any) -> Any:
    return base64.b64decode(value["base64"]) if isinstance(value, dict) else value


def is_rows_file(path: Path) -> bool:
    """True when the file begins like one of ours."""
    with path.open("rb") as stream:
        return stream.read(200).startswith(f'{{"format":"{FORMAT}"'.encode("ascii"))


def check_rows_file(path: Path) -> int:
    """Proves counts and digest of a file and returns its schema.

    Raises StoreDamagedError for a cut or altered file, NewerStoreError for one of a later program.
    """
    whole, counts = sha256(), dict.fromkeys(TABLES, 0)
    schema, end = 0, None
    for number, line in enumerate(_lines(path), 1):
        content = _parsed(path, number, line)
        if number == 1:
            schema = int(content.get("schema", 0))
        if schema > SCHEMA:
            problem = f"written by a later Sinewright (schema {schema}, this program knows up to {SCHEMA})"
            raise NewerStoreError(path.name, problem, "nothing was touched; install the later version")
        if end is not None:
            raise StoreDamagedError(path.name, f"line {number} stands after the end", _BROKEN)
        if "sha256" in content:
            end = content
            continue
        whole.update(line)
        if "table" in content:
            counts[content["table"]] = counts.get(content["table"], 0) + 1
    if end is None:
        raise StoreDamagedError(path.name, "the file is cut short: its last line is missing", _BROKEN)
    if end["counts"] != counts or end["sha256"] != whole.hexdigest():
        raise StoreDamagedError(path.name, "the file is not what was written: its digest differs", _BROKEN)
    return schema


def rows_in(path: Path) -> Rows:
    """The rows of a file that was checked."""
    for line in _lines(path):
        content = json.loads(line)
        if "table" in content:
            yield content["table"], {key: _from_json(value) for key, value in content["row"].items()}


def _lines(path: Path) -> Iterable[bytes]:
    with path.open("rb") as stream:
        yield from stream


def _parsed(path: Path, number: int, line: bytes) -> dict[str, Any]:
    try:
        content = json.loads(line)
    except ValueError:
        content = None
    if not isinstance(content, dict):
        raise StoreDamagedError(path.name, f"line {number} cannot be read", _BROKEN)
    return content
