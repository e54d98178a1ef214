"""`sinewright case`, `sinewright store` and `sinewright key`: the record on the command line."""

from __future__ import annotations

import re
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from sinewright.options import StoreOption

if TYPE_CHECKING:
    from collections.abc import Callable

    from rich.text import Text

    from sinewright.cli.screen import Screen

case_app = typer.Typer(name="case", help="Stored cases.", rich_markup_mode=None, no_args_is_help=True)
store_app = typer.Typer(name="store", help="The store itself.", rich_markup_mode=None, no_args_is_help=True)
key_app = typer.Typer(
    name="key", help="Who a pseudonym is, in a file apart.", rich_markup_mode=None, no_args_is_help=True
)

RoleOption = Annotated[str, typer.Option("--role", metavar="ROLE", help="Who makes the change, as a role.")]
Name = Annotated[str, typer.Argument(metavar="NAME", help="Pseudonym of a stored case.")]
KeyFile = Annotated[Path, typer.Option("--key-file", metavar="FILE", help="The key file, kept away from the store.")]
_STORED = re.compile(r"# Stored case (\S+), version (\d+)\.\n")


@case_app.command("list", short_help="List the stored cases.")
def list_cases(
    store: StoreOption = None,
    archived: Annotated[bool, typer.Option("--archived", help="Those that were put away instead.")] = False,
) -> None:
    """List the stored cases by pseudonym."""
    from sinewright.cli.store_page import list_lines
    from sinewright.store.opening import open_store

    with open_store(store) as opened:
        _print(lambda screen: list_lines(opened.cases(archived), screen, archived))


@case_app.command(short_help="Show a stored case, entry by entry.")
def show(
    name: Name,
    store: StoreOption = None,
    history: Annotated[bool, typer.Option("--history", help="Also every change, with role and time.")] = False,
) -> None:
    """Show a stored case: every entry with how it is known, what is kept beside it, and its history."""
    from sinewright.cli.store_page import show_lines
    from sinewright.store.opening import open_store

    with open_store(store) as opened:
        line, entries = opened.entries(name.lower())
        events = opened.history(line.name) if history else ()
        counts = opened.counts(line.name)
        _print(lambda screen: show_lines(line, entries, counts, events, screen))


@case_app.command("import", short_help="Store a case file.")
def import_case(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="The case file (TOML).")],
    store: StoreOption = None,
    into: Annotated[
        str | None, typer.Option("--into", metavar="NAME", help="Change this stored case instead of adding one.")
    ] = None,
    based_on: Annotated[
        int | None,
        typer.Option(
            "--based-on", metavar="N", min=1, help="Version the file was made from; an exported file says it."
        ),
    ] = None,
    role: RoleOption = "surgeon",
) -> None:
    """Store a case file under a new random pseudonym, or as the new content of a stored case.

    When somebody else changed the case since, nothing is stored and both sides are shown field by field.
    """
    from sinewright.case import read_case
    from sinewright.store.chain import as_role
    from sinewright.store.opening import open_store

    case, wanted = read_case(file), as_role(role)
    if into is None:
        with open_store(store, create=True) as opened, opened.write(wanted) as unit:
            name = unit.add_case(case)
        sys.stdout.write(f"{name} stored, version 1\n")
        return
    base = based_on or _version_said(file, into.lower())
    from sinewright.store.errors import ConflictError

    with open_store(store) as opened:
        try:
            with opened.write(wanted) as unit:
                version = unit.change_case(into.lower(), base, case)
        except ConflictError as conflict:
            from sinewright.cli.store_page import conflict_lines

            told = conflict
            _print(lambda screen: conflict_lines(told, screen))
            raise
    sys.stdout.write(f"{into.lower()} stored, version {version}\n")


@case_app.command("export", short_help="Write a stored case as a case file.")
def export_case(
    name: Name,
    file: Annotated[Path, typer.Argument(metavar="FILE", help="The new case file (TOML).")],
    store: StoreOption = None,
    label: Annotated[
        bool, typer.Option("--label", help="Call the case what its own file called it, not by its pseudonym.")
    ] = False,
) -> None:
    """Write a stored case as a new case file, without loss. The file says which version it is."""
    from sinewright.case import case_to_toml, changed
    from sinewright.files import check_target, refuse_existing, write_whole
    from sinewright.store.opening import open_store

    target = check_target(file, option="FILE")
    refuse_existing(target, "FILE")
    with open_store(store) as opened:
        stored = opened.case(name.lower())
    case = changed(stored.case, {"pseudonym": stored.line.label}) if label else stored.case
    head = f"# Stored case {stored.name}, version {stored.version}.\n"
    write_whole(target, head + case_to_toml(case), option="FILE")
    sys.stdout.write(f"{stored.name} written to {target.name}, version {stored.version}\n")


@case_app.command(short_help="Put a case away, or take it back.")
def archive(
    name: Name,
    store: StoreOption = None,
    back: Annotated[bool, typer.Option("--back", help="Take it back.")] = False,
    role: RoleOption = "surgeon",
) -> None:
    """Put a case away, or take it back. Nothing is ever deleted."""
    from sinewright.store.chain import as_role
    from sinewright.store.opening import open_store

    with open_store(store) as opened, opened.write(as_role(role)) as unit:
        unit.archive(name.lower(), archived=not back)
    sys.stdout.write(f"{name.lower()} {'taken back' if back else 'archived'}\n")


@store_app.command("verify", short_help="Prove the store whole.")
def verify_store(
    store: StoreOption = None,
    noted: Annotated[
        str | None, typer.Option("--noted", metavar="HASH", help="A hash noted earlier; it must stand in the chain.")
    ] = None,
    thorough: Annotated[bool, typer.Option("--thorough", help="Check the indexes of the file too.")] = False,
) -> None:
    """Prove the file, the audit chain and every record; name the first row that is broken."""
    from sinewright.cli.store_page import proof_lines
    from sinewright.store.opening import open_store

    with open_store(store) as opened:
        proof = opened.verify(noted, thorough)
        _print(lambda screen: proof_lines(proof, opened.place.shown, screen))
    if not proof.whole:
        raise typer.Exit(6)


@store_app.command("backup", short_help="Copy the store while it is in use.")
def backup_store(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="The new backup file.")], store: StoreOption = None
) -> None:
    """Copy one moment of the store to a new file, prove the copy, and print the hash to note.

    The backup of an encrypted store is encrypted with the same passphrase. The backup of a store on a server
    is a plain file of JSON lines: keep it on an encrypted disk.
    """
    from sinewright.cli.store_page import proof_lines
    from sinewright.store.backup import backup
    from sinewright.store.opening import passphrase_for
    from sinewright.store.place import find_place
    from sinewright.store.store import Store

    place = find_place(store)
    passphrase = passphrase_for(place)
    with Store.open(place, passphrase) as opened:
        proof = backup(opened, file.absolute(), passphrase)
    _print(lambda screen: proof_lines(proof, file.name, screen))


@store_app.command("restore", short_help="Replace the store by a backup.")
def restore_store(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="The backup file.")],
    store: StoreOption = None,
    yes: Annotated[bool, typer.Option("--yes", help="Do not ask.")] = False,
) -> None:
    """Replace the store by a backup, once the backup is proved. The store before it is kept."""
    from sinewright.cli.store_page import proof_lines
    from sinewright.store.backup import restore
    from sinewright.store.dump import is_rows_file
    from sinewright.store.files import is_encrypted
    from sinewright.store.opening import ask_passphrase, passphrase_for
    from sinewright.store.place import find_place

    place = find_place(store)
    passphrase = passphrase_for(place)
    if passphrase is None and file.is_file() and is_encrypted(file) and not is_rows_file(file):
        passphrase = ask_passphrase("Passphrase of the backup: ")
    if not yes:
        typer.confirm(f"Replace {place.shown} by {file.name}? The store as it is now is kept.", abort=True, err=True)
    done = restore(place, file.absolute(), passphrase)
    _print(lambda screen: proof_lines(done.proof, place.shown, screen))
    if done.kept_as:
        sys.stdout.write(f"The store before it is kept as {done.kept_as}\n")


@store_app.command("migrate", short_help="Bring the store to this program's schema.")
def migrate_store(store: StoreOption = None) -> None:
    """Bring a store of an earlier Sinewright to the schema of this one. A file is copied first."""
    from sinewright.store.backup import migrate_store as run
    from sinewright.store.opening import passphrase_for
    from sinewright.store.place import find_place
    from sinewright.store.schema import SCHEMA

    place = find_place(store)
    before, kept = run(place, passphrase_for(place))
    told = "nothing to do" if before == SCHEMA else f"from schema {before} to {SCHEMA}"
    sys.stdout.write(f"{place.shown}: {told}{f'; the file before is kept as {kept}' if kept else ''}\n")


@store_app.command("encrypt", short_help="Encrypt the store with a passphrase.")
def encrypt_store(store: StoreOption = None) -> None:
    """Encrypt a plain store, or make a new encrypted one. A forgotten passphrase is lost data."""
    from sinewright.errors import InputError
    from sinewright.store.backup import encrypt
    from sinewright.store.opening import FORGOTTEN, ask_passphrase
    from sinewright.store.place import find_place, passphrase_from

    place = find_place(store)
    sys.stderr.write("A forgotten passphrase is lost data: nobody can open the store without it.\n")
    passphrase = passphrase_from() or ask_passphrase("New passphrase: ")
    if passphrase_from() is None and ask_passphrase("Once more: ") != passphrase:
        raise InputError("passphrase", "two different ones", "the same twice", "nothing was changed; try again")
    kept = encrypt(place, passphrase)
    sys.stdout.write(f"{FORGOTTEN}\n")
    if kept:
        sys.stdout.write(f"The plain store is kept as {kept}: delete it once you have opened the encrypted one.\n")


@key_app.command("write", short_help="Note who a pseudonym is.")
def write_key(name: Name, key_file: KeyFile, store: StoreOption = None) -> None:
    """Note who a pseudonym is in the key file. The text is typed, never given on the command line.

    Typing nothing takes the entry out. The file is for its owner only and may not lie beside the store.
    """
    from sinewright.files import check_target, write_whole
    from sinewright.store.identity import OPTION, key_with, read_key, refuse_beside_store
    from sinewright.store.place import find_place

    target = check_target(key_file, option=OPTION)
    refuse_beside_store(target, find_place(store))
    people = read_key(target)
    who = sys.stdin.readline().strip() if not sys.stdin.isatty() else input(f"{name.lower()} is: ").strip()
    write_whole(target, key_with(people, name.lower(), who), option=OPTION)
    sys.stdout.write("written\n")


@key_app.command("show", short_help="Say who a pseudonym is.")
def show_key(name: Name, key_file: KeyFile) -> None:
    """Say who a pseudonym is, from the key file."""
    from sinewright.errors import InputError
    from sinewright.store.identity import read_key

    who = read_key(key_file).get(name.lower())
    if who is None:
        raise InputError("NAME", name, "a pseudonym in the key file", "sinewright key write notes one")
    sys.stdout.write(f"{who}\n")


def _print(page: Callable[[Screen], list[Text]]) -> None:
    """Shows the page that `page` makes for this screen."""
    from sinewright.cli.screen import screen_for

    screen = screen_for(sys.stdout)
    screen.show(page(screen))
    sys.stdout.flush()


def _version_said(file: Path, name: str) -> int:
    """The version in the first line of an exported file. Raises InputError when it says none of this case."""
    from sinewright.errors import InputError

    with file.open(encoding="utf-8") as stream:
        found = _STORED.fullmatch(stream.readline())
    if found is None or found[1] != name:
        allowed = f"the version of {name} that the file was made from"
        raise InputError("--based-on", "none", allowed, "an exported file says it in its first line")
    return int(found[2])
