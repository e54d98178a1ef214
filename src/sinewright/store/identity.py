"""The one file that may say who a pseudonym is. It is never part of the store, of a backup or of a message.

A key file is JSON: ``{"format": "sinewright-identity-key", "version": 1, "people": {pseudonym: text}}``.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path

from sinewright.errors import InputError
from sinewright.store.errors import StoreError
from sinewright.store.names import is_name
from sinewright.store.place import Place

FORMAT, VERSION = "sinewright-identity-key", 1
LONGEST = 400
OPTION = "--key-file"


def read_key(path: Path) -> dict[str, str]:
    """Who is who in the key file at `path`; empty when there is no file yet. Raises StoreError."""
    if not path.exists():
        return {}
    try:
        content = json.loads(path.read_text(encoding="utf-8"))
        people = content["people"]
        good = (content["format"], content["version"]) == (FORMAT, VERSION) and _good(people)
    except (OSError, ValueError, KeyError, TypeError):
        good, people = False, {}
    if not good:
        raise StoreError(path.name, "this is not a key file that can be read", "name another file with --key-file")
    return dict(people)


def _good(people: object) -> bool:
    return isinstance(people, dict) and all(is_name(name) and isinstance(who, str) for name, who in people.items())


def key_with(people: Mapping[str, str], name: str, who: str) -> str:
    """Text of a key file in which `name` is `who`; an empty `who` takes the entry out. Raises InputError."""
    if not is_name(name):
        raise InputError("case", name, "a pseudonym of the store", "sinewright case list shows them")
    if len(who) > LONGEST or not all(sign.isprintable() for sign in who):
        raise InputError("entry", "text that is not shown here", f"one line of at most {LONGEST} signs", "shorten it")
    kept = {**people, name: who}
    people = {each: text for each, text in sorted(kept.items()) if text}
    content = {"format": FORMAT, "version": VERSION, "people": people}
    return json.dumps(content, indent=2, ensure_ascii=False) + "\n"


def refuse_beside_store(path: Path, place: Place) -> None:
    """Raises InputError when the key file would lie in the folder of the store, and so travel with it."""
    if place.kind == "sqlite" and path.absolute().parent.resolve() == place.path.parent.resolve():
        advice = "keep it elsewhere, best on a disk of its own: store and key together say who is who"
        raise InputError(OPTION, path.name, "a file outside the folder of the store", advice)
