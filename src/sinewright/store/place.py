"""Where the store is: a file in the user's data folder unless an option or the environment says otherwise."""

from __future__ import annotations

import os
import re
import sys
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Literal
from urllib.parse import parse_qsl, urlencode, urlsplit, urlunsplit

from sinewright.errors import InputError

OPTION = "--store"
VARIABLE = "SINEWRIGHT_STORE"
PASSPHRASE = "SINEWRIGHT_PASSPHRASE"
FILE_NAME = "store.db"
DEFAULT_SCHEMA = "sinewright"
_SCHEMA_NAME = re.compile(r"[a-z][a-z0-9_]{0,40}")
_ALLOWED = "the path of a file, or postgresql://user@host/database"
_SERVER = ("postgresql", "postgres")


@dataclass(frozen=True)
class Place:
    """A store that may or may not exist yet: a file, or a schema of a PostgreSQL database.

    `shown` is how messages name it: the file's name alone, or the server without user and password.
    """

    kind: Literal["sqlite", "postgresql"]
    shown: str
    path: Path = Path()
    url: str = field(default="", repr=False)
    schema: str = DEFAULT_SCHEMA


def data_folder(environ: Mapping[str, str], system: str) -> Path:
    """The folder of this program's data by the custom of the platform; `system` as ``sys.platform``."""
    home = Path(environ.get("HOME") or environ.get("USERPROFILE") or Path.home())
    if system == "darwin":
        return home / "Library" / "Application Support" / "Sinewright"
    if system == "win32":
        return Path(environ.get("LOCALAPPDATA") or home / "AppData" / "Local") / "Sinewright"
    given = environ.get("XDG_DATA_HOME", "")
    # The rule of the freedesktop specification: a relative path there is to be ignored.
    base = Path(given) if given.startswith("/") else home / ".local" / "share"
    return base / "sinewright"


def find_place(option: str | None = None, environ: Mapping[str, str] | None = None) -> Place:
    """The store meant by `option`, else by the environment, else the file in the user's data folder.

    Raises InputError when the text is neither a file nor a PostgreSQL address.
    """
    env = os.environ if environ is None else environ
    given = option or env.get(VARIABLE) or ""
    if not given:
        return _file(data_folder(env, sys.platform) / FILE_NAME)
    if "://" not in given:
        return _file(Path(given).expanduser())
    scheme = given.split("://", 1)[0].split("+", 1)[0].lower()
    if scheme not in _SERVER:
        said = OPTION if option else VARIABLE
        raise InputError(said, f"an address of kind {scheme}", _ALLOWED, "correct the address")
    return _server(given, OPTION if option else VARIABLE)


def _file(path: Path) -> Place:
    return Place("sqlite", path.name, path=path.absolute())


def _server(given: str, said: str) -> Place:
    """A PostgreSQL place; ``?schema=name`` chooses the schema in the database."""
    parts = urlsplit(given)
    query = dict(parse_qsl(parts.query))
    schema = query.pop("schema", DEFAULT_SCHEMA)
    if not _SCHEMA_NAME.fullmatch(schema):
        allowed = "a lower-case name of letters, digits and _"
        raise InputError(f"{said} schema", "another name", allowed, "choose such a name")
    try:
        host, port = parts.hostname or "local server", parts.port
    except ValueError:
        raise InputError(said, "an address with a wrong port", _ALLOWED, "correct the port") from None
    url = urlunsplit(("postgresql+psycopg", parts.netloc, parts.path, urlencode(query), ""))
    database = parts.path.lstrip("/")
    where = f"{host}:{port}" if port else host
    return Place("postgresql", f"postgresql {where}/{database}, schema {schema}", url=url, schema=schema)


def passphrase_from(environ: Mapping[str, str] | None = None) -> str | None:
    """The passphrase in the environment, or None. It is never taken from the command line."""
    env = os.environ if environ is None else environ
    return env.get(PASSPHRASE) or None
