"""From a file or a text to a checked case. Nothing is guessed; whatever is wrong is said in one message."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from datetime import date
from os import PathLike
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from sinewright.case.dates import impossible_dates
from sinewright.case.model import Case
from sinewright.case.wording import FindingsError, problems, shortened
from sinewright.errors import CaseFileError

LARGEST_BYTES = 1024 * 1024
_PLACE = re.compile(r" \(at line (\d+), column (\d+)\)$")
_MARK = "\ufeff"


def read_case(path: str | PathLike[str]) -> Case:
    """Read the case in a TOML file.

    Parameters
    ----------
    path : file of at most 1 MiB, UTF-8; docs/case-file.md lists its entries

    Raises
    ------
    CaseFileError : the file cannot be read as TOML; names the line
    FindingsError : its content is not a case; an InputError that lists every problem with its field, unit and range

    Examples
    --------
    >>> read_case("examples/stiff_calf.toml").side
    'right'
    """
    file = Path(path)
    name = shortened(file.name or str(file), 120)
    return parse_case(_decoded(_bytes(file, name), name), name)


def parse_case(text: str, name: str = "case text") -> Case:
    r"""Read the case in a TOML text. Raises as `read_case`, for a date in the future or before 1900 too.

    Parameters
    ----------
    text : TOML, as it would stand in a case file
    name : stands for the text in messages

    Examples
    --------
    >>> parse_case('schema_version = 1\npseudonym = "AB-1"\nside = "left"\ninvented = true').side
    'left'
    """
    case = case_from_tables(_tables(text, name), name)
    wrong = impossible_dates(case, date.today())
    if wrong:
        raise FindingsError(wrong, name)
    return case


def case_from_tables(tables: Mapping[str, Any], name: str = "case") -> Case:
    """Check nested tables, as a TOML reader returns them, and make a case of them.

    Parameters
    ----------
    tables : entries by section
    name : stands for the tables in messages

    Raises
    ------
    FindingsError : every problem with its field, what was given and what is allowed
    """
    try:
        return Case.model_validate(dict(tables))
    except ValidationError as refused:
        found = problems(refused.errors(include_url=False), tables)
    raise FindingsError(found, name)


def changed(case: Case, changes: Mapping[str, Any]) -> Case:
    r"""Make a checked copy of a case with other values.

    Parameters
    ----------
    case : stays as it is
    changes : values by dotted path, in the unit that ends the path; None removes a value

    Raises
    ------
    FindingsError : the changed case is none

    Examples
    --------
    >>> case = parse_case('schema_version = 1\npseudonym = "AB-1"\nside = "left"\ninvented = true')
    >>> changed(case, {"person.height_cm": 171}).person.height_cm.value
    171.0
    """
    tables = case.model_dump()
    for path, value in changes.items():
        *sections, name = path.split(".")
        place = tables
        for each in sections:
            inner = place.setdefault(each, {})
            if not isinstance(inner, dict):
                place[each] = inner = {}
            place = inner
        place[name] = value
    return case_from_tables(tables)


def _bytes(file: Path, shown: str) -> bytes:
    """Content of a case file of at most one mebibyte. Raises CaseFileError."""
    try:
        if file.is_dir():
            raise CaseFileError(shown, "this is a folder", "name the case file inside it")
        if not file.exists():
            what = "this link leads nowhere" if file.is_symlink() else "there is no such file"
            raise CaseFileError(shown, what, "check the spelling of the path")
        if not file.is_file():
            raise CaseFileError(shown, "this is not an ordinary file", "give the path of a .toml case file")
        with file.open("rb") as stream:
            content = stream.read(LARGEST_BYTES + 1)
    except PermissionError:
        raise CaseFileError(shown, "you may not read this file", "ask its owner for permission to read it") from None
    except (OSError, ValueError) as failure:
        reason = getattr(failure, "strerror", None) or str(failure)
        raise CaseFileError(shown, f"the file cannot be read ({reason})", "check the path and the disk") from None
    if len(content) > LARGEST_BYTES:
        raise CaseFileError(shown, "larger than 1 MiB, the limit for a case file", "check that this is a case file")
    return content


def _decoded(content: bytes, name: str) -> str:
    try:
        return content.decode("utf-8")
    except UnicodeDecodeError as failure:
        line = content.count(b"\n", 0, failure.start) + 1
        raise CaseFileError(name, "not UTF-8 text", "save the file as UTF-8 in your editor", line) from None


def _tables(text: str, name: str) -> dict[str, Any]:
    """Nested tables of a TOML text. Raises CaseFileError with the line where the text is not TOML."""
    if len(text.encode("utf-8", "surrogatepass")) > LARGEST_BYTES:
        raise CaseFileError(name, "larger than 1 MiB, the limit for a case file", "check that this is a case file")
    try:
        return tomllib.loads(text.removeprefix(_MARK))
    except tomllib.TOMLDecodeError as failure:
        raise _toml_error(str(failure), text, name) from None
    except (ValueError, RecursionError):
        advice = "shorten the number with too many digits, or the tables inside tables"
        raise CaseFileError(name, "a number or a nested table is too long to read", advice) from None


def _toml_error(message: str, text: str, name: str) -> CaseFileError:
    place = _PLACE.search(message)
    lines = text.split("\n")
    line = int(place[1]) if place else len(text.rstrip().split("\n"))
    written = lines[line - 1] if line <= len(lines) else ""
    what = _PLACE.sub("", message).replace(" (at end of document)", ", at the end of the file")
    problem = f"not valid TOML ({what[:1].lower()}{what[1:200]})"
    return CaseFileError(name, problem, _toml_advice(written, what), line)


def _toml_advice(written: str, what: str) -> str:
    """What to do about a line that TOML refuses."""
    if re.search(r"=\s*[-+]?\d+,\d", written):
        return "write decimals with a point, not a comma"
    if "overwrite" in what or "twice" in what:
        return "the same entry or heading stands twice; keep one"
    if re.search(r"=\s*[A-Za-z]", written):
        return 'put words in straight quotes, for instance side = "right"'
    return "each line is name = value, or a [heading]; words stand in straight quotes"
