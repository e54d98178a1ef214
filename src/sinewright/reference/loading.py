"""Reads the data folder and refuses what cannot be trusted, naming file and line."""

from __future__ import annotations

import csv
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import fields as dataclass_fields
from functools import cache
from pathlib import Path
from typing import Any

from sinewright.errors import SourceDataError
from sinewright.reference.rows import COLUMNS, KNOWN, OWN, SPREAD_KINDS, USE, Row, Source
from sinewright.reference.spreads import Bounds, parse_bounds, standard_deviation

DATA = Path(__file__).with_name("data")
SOURCE_FILES = ("sources.toml", "own_sources.toml")
NOT_ROWS = frozenset({"choices.csv"})


class Reference:
    """All rows and sources of one folder. Read-only; `load()` gives the package's own, read once."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._sources = _read_sources(folder)
        self._rows: dict[str, Row] = {}
        for path in sorted(folder.glob("*.csv")):
            if path.name not in NOT_ROWS:
                self._add(_read_rows(path, self._sources))

    def _add(self, rows: Iterator[Row]) -> None:
        for row in rows:
            if row.id in self._rows:
                first = self._rows[row.id]
                raise SourceDataError(
                    row.file, row.line, f"id {row.id} stands already in {first.file}, line {first.line}"
                )
            self._rows[row.id] = row

    def __len__(self) -> int:
        return len(self._rows)

    def row(self, id: str) -> Row:
        """The row with this id. Raises SourceDataError if there is none."""
        try:
            return self._rows[id]
        except KeyError:
            raise SourceDataError(str(self.folder.name), 0, f"no row has the id {id}") from None

    def fit_value(self, id: str) -> float:
        """Take the number of a row that may set a model parameter.

        Parameters
        ----------
        id : as in the column of that name

        Returns
        -------
        The number [unit of the row], the middle of a range.

        Raises
        ------
        SourceDataError : no such row, no number in it, or marked ``check`` or ``context``: a comparison never sets
            a parameter
        """
        row = self.row(id)
        if row.use != "fit":
            problem = f"{id} is marked {row.use} ({USE[row.use]}); it may not set a parameter"
            raise SourceDataError(row.file, row.line, problem)
        return row.value

    def rows(
        self,
        file: str | None = None,
        quantity: str | None = None,
        structure: str | None = None,
        use: str | None = None,
    ) -> tuple[Row, ...]:
        """Find the rows that match every argument given, in file order.

        Parameters
        ----------
        file : name of the file, with or without ``.csv``
        quantity, structure : as in the columns of that name
        use : fit, check or context

        Examples
        --------
        >>> {row.unit for row in load().rows(file="gait", quantity="knee-flexion-angle")}
        {'deg'}
        """
        name = None if file is None else file.removesuffix(".csv") + ".csv"
        return tuple(
            row
            for row in self._rows.values()
            if (name is None or row.file == name)
            and (quantity is None or row.quantity == quantity)
            and (structure is None or row.structure == structure)
            and (use is None or row.use == use)
        )

    def source(self, key: str) -> Source:
        """The source with this key. Raises SourceDataError if there is none."""
        try:
            return self._sources[key]
        except KeyError:
            raise SourceDataError(SOURCE_FILES[0], 0, f"no source has the key {key}") from None


@cache
def load() -> Reference:
    """The package's own numbers, read and checked once per process."""
    return Reference(DATA)


def _read_sources(folder: Path) -> dict[str, Source]:
    sources: dict[str, Source] = {}
    for name in SOURCE_FILES:
        path = folder / name
        for key, fields in tomllib.loads(path.read_text(encoding="utf-8")).items() if path.exists() else ():
            if key in sources:
                raise SourceDataError(name, 0, f"the source {key} stands already in an earlier file")
            sources[key] = _source(name, key, fields)
    return sources


def _source(file: str, key: str, fields: dict[str, Any]) -> Source:
    try:
        return Source(key=key, **fields)
    except TypeError:
        allowed = ", ".join(field.name for field in dataclass_fields(Source)[1:])
        raise SourceDataError(file, 0, f"the source {key} has a field other than {allowed}") from None


def _read_rows(path: Path, sources: Mapping[str, Source]) -> Iterator[Row]:
    with path.open(encoding="utf-8", newline="") as stream:
        reader = csv.reader(stream)
        if tuple(next(reader, ())) != COLUMNS:
            raise SourceDataError(path.name, 1, f"the columns must be {','.join(COLUMNS)}")
        for cells in reader:
            yield _row(cells, path.name, reader.line_num, sources)


def _row(cells: list[str], file: str, line: int, sources: Mapping[str, Source]) -> Row:
    if len(cells) != len(COLUMNS):
        raise SourceDataError(file, line, f"{len(cells)} cells where {len(COLUMNS)} are needed")
    (id, quantity, structure, condition, value, unit, spread, kind,
     n, population, method, source, where, known, use, note) = cells  # fmt: skip
    bounds = _bounds(value, "value", file, line)
    spread_bounds = _bounds(spread, "spread", file, line)
    count = _count(n, file, line)
    for problem in _problems(id, value, unit, kind=kind, source=source, known=known, use=use, sources=sources):
        raise SourceDataError(file, line, problem)
    sd = standard_deviation(bounds, unit, spread_bounds, kind, count)
    return Row(
        id,
        quantity,
        structure,
        condition=condition,
        bounds=bounds,
        unit=unit,
        spread=spread,
        spread_kind=kind,
        sd=sd,
        n=count,
        population=population,
        method=method,
        source=source,
        where=where,
        known=known,
        use=use,
        note=note,
        file=file,
        line=line,
    )


def _problems(
    id: str, value: str, unit: str, kind: str, source: str, known: str, use: str, sources: Mapping[str, Source]
) -> Iterator[str]:
    if not id:
        yield "a row without an id"
    if value and not unit:
        yield f"{id} holds the number {value} without a unit"
    if not source:
        yield f"{id} has no source"
    elif source not in sources:
        yield f"{id} names the source {source}, which is in none of {', '.join(SOURCE_FILES)}"
    elif not sources[source].findable and known not in OWN:
        if known == "read":
            yield f"{id} is called read, but nobody can look up its source {source}"
        if use == "fit":
            yield f"{id} may set a parameter, but nobody can look up its source {source}"
    if known not in KNOWN:
        yield f"{id} has known={known!r}; allowed: {', '.join(KNOWN)}"
    if use not in USE:
        yield f"{id} has use={use!r}; allowed: {', '.join(USE)}"
    if kind not in SPREAD_KINDS:
        yield f"{id} has spread_kind={kind!r}; allowed: {', '.join(SPREAD_KINDS[1:])} or empty"


def _bounds(text: str, name: str, file: str, line: int) -> Bounds | None:
    try:
        return parse_bounds(text)
    except ValueError:
        raise SourceDataError(file, line, f"the {name} {text!r} is not a number or a range a..b") from None


def _count(text: str, file: str, line: int) -> int | None:
    try:
        return int(text) if text else None
    except ValueError:
        raise SourceDataError(file, line, f"n is {text!r}, not a whole number") from None
