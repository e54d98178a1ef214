"""Opens the store that an option or the environment names, and asks for a passphrase where it needs one."""

from __future__ import annotations

import os
import sys
from getpass import getpass

from sinewright.errors import InputError
from sinewright.store.files import is_encrypted
from sinewright.store.place import PASSPHRASE, Place, find_place, passphrase_from
from sinewright.store.store import Store

FORGOTTEN = (
    "This store is encrypted. A forgotten passphrase is lost data: nobody can open the store or its backups "
    "without it. Keep it where a colleague finds it."
)


def open_store(option: str | None, create: bool = False) -> Store:
    """The store at `option`, the environment's, or the user's own; asks for a passphrase when it needs one."""
    place = find_place(option)
    passphrase = passphrase_for(place)
    new = passphrase is not None and not place.path.exists()
    opened = Store.open(place, passphrase, create=create)
    if new:
        sys.stderr.write(f"sinewright: {FORGOTTEN}\n")
    return opened


def passphrase_for(place: Place) -> str | None:
    """The passphrase of an encrypted file: from the environment, else asked without showing it."""
    if place.kind != "sqlite":
        return None
    known = passphrase_from()
    if known is not None or not is_encrypted(place.path):
        return known
    return ask_passphrase(f"{place.shown} is encrypted; set {PASSPHRASE}, or type the passphrase: ")


def ask_passphrase(question: str) -> str:
    """One line typed without being shown. Raises InputError when nobody can be asked."""
    advice = f"type it at a terminal, or set {PASSPHRASE}; it is never taken from the command line"
    if not sys.stdin.isatty():
        raise InputError("passphrase", "none", "the passphrase of the store", advice)
    typed = getpass(question, stream=sys.stderr) if os.name == "posix" else getpass(question)
    if not typed:
        raise InputError("passphrase", "nothing", "the passphrase of the store", advice)
    return typed
