"""The `sinewright` command. Heavy imports stand inside the functions, so that --help answers at once."""

from __future__ import annotations

import sys
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from sinewright.app.open_command import open_app
from sinewright.cli.later_commands import protect, table
from sinewright.cli.page_commands import draw_app, page_app
from sinewright.cli.screen import progress_bar
from sinewright.cli.store_commands import case_app, key_app, store_app
from sinewright.errors import SinewrightError
from sinewright.options import CaseText, ChoiceText, Draws, JsonFile, Seed, StoreOption
from sinewright.version import __version__

if TYPE_CHECKING:
    from rich.text import Text

    from sinewright.cli.screen import Screen
    from sinewright.results import Document

UNEXPECTED = 1

app = typer.Typer(
    name="sinewright",
    help="A calculating notebook for tendon transfer in drop foot. Not a medical device: it computes, you decide.",
    # Plain help answers in a third of the time that drawn panels take, and is ASCII in every terminal.
    rich_markup_mode=None,
    add_completion=False,
    no_args_is_help=True,
    pretty_exceptions_enable=False,
)

for _part in (case_app, store_app, key_app, page_app, draw_app):
    app.add_typer(_part)
app.command(short_help="Weigh what was measured on the table.")(table)
app.command(short_help="What the junction stands in the weeks after.")(protect)
app.command("open", short_help="Open the app in the browser of this machine.")(open_app)


@dataclass
class Run:
    """What the top of the command line says about this run."""

    debug: bool = False


def _print_version(wanted: bool) -> None:
    if wanted:
        sys.stdout.write(f"sinewright {__version__}\n")
        raise typer.Exit


@app.callback()
def top(
    context: typer.Context,
    debug: Annotated[bool, typer.Option("--debug", help="Show the traceback of an unexpected error.")] = False,
    version: Annotated[
        bool, typer.Option("--version", help="Print the version.", callback=_print_version, is_eager=True)
    ] = False,
) -> None:
    """A calculating notebook for tendon transfer in drop foot."""
    if isinstance(context.obj, Run):
        context.obj.debug = debug


@app.command(short_help="Say what a case holds, what is odd, what to measure.")
def check(
    case: CaseText,
    json_file: JsonFile = None,
    store: StoreOption = None,
    everything: Annotated[
        bool, typer.Option("--all", help="Print every entry, every rule with its sources, all that is worth measuring.")
    ] = False,
) -> None:
    """Read a case and say what it holds, what is odd, and what is worth measuring. Keeps nothing."""
    from sinewright import face
    from sinewright.cli.answer_page import about_line
    from sinewright.cli.case_argument import case_from
    from sinewright.cli.check_page import check_lines
    from sinewright.cli.parts import wrapped

    read = case_from(case, store)
    target = _target(json_file, case)
    found = face.check(read)
    _write(target, found)
    screen = _screen()
    kept = [] if target else wrapped("Nothing was written.", screen, "dim")
    _show([*check_lines(found, about_line(read), screen, everything), *kept], screen)


@app.command(short_help="Weigh every choice for one case.")
def weigh(
    case: CaseText,
    draws: Draws = 1000,
    seed: Seed = 1,
    json_file: JsonFile = None,
    store: StoreOption = None,
    keep: Annotated[bool, typer.Option("--keep", help="Freeze the result as a plan of the stored case.")] = False,
    weight: Annotated[
        list[str] | None,
        typer.Option(
            "--weight", metavar="NAME=0..10", help="Try another weight of a goal than the case's; repeatable."
        ),
    ] = None,
    more: Annotated[bool, typer.Option("--more", help="Print what stands behind the answer too.")] = False,
    top_rows: Annotated[int, typer.Option("--top", min=1, metavar="K", help="With --more: rows of each group.")] = 8,
    all_rows: Annotated[bool, typer.Option("--all", help="Print every way of every operation too.")] = False,
    sources: Annotated[bool, typer.Option("--sources", help="Print every assumption and source.")] = False,
) -> None:
    """Weigh every operation for one case and say in one screen what the numbers lean to; --more says why."""
    from sinewright import face
    from sinewright.cli.answer_page import about_line, answer_lines, basis_line
    from sinewright.cli.case_argument import (
        case_and_version,
        keep_plan,
        refuse_keeping,
        refuse_keeping_other_weights,
        remember,
        reweighed,
    )
    from sinewright.cli.weigh_page import PrintedRows, weigh_lines

    read, stored = case_and_version(case, store)
    if keep:
        refuse_keeping(case, stored)
        refuse_keeping_other_weights(weight or ())
    read = reweighed(read, weight or ())
    target = _target(json_file, case)
    with progress_bar("weighing the choices") as progress:
        weighing = face.weigh(read, draws=draws, seed=seed, progress=progress)
    _write(target, weighing)
    if keep and stored is not None:
        number = keep_plan(read, stored, weighing, store)
        sys.stderr.write(f"sinewright: kept as plan {number} of {read.pseudonym}\n")
    remember(read, weighing)
    screen = _screen()
    lines = answer_lines(weighing, about_line(read), basis_line(weighing), screen)
    if more or sources or all_rows:
        lines += weigh_lines(weighing, screen, PrintedRows(None if all_rows else top_rows, sources))
    _show(lines, screen)


@app.command(short_help="Lay out the tension of one choice, millimetre by millimetre.")
def ruler(
    case: CaseText,
    choice: ChoiceText,
    draws: Draws = 1000,
    seed: Seed = 1,
    json_file: JsonFile = None,
    store: StoreOption = None,
) -> None:
    """Lay out one choice along its set stretch: lift, rest, push-down, moment, pull, and where to mark and sew."""
    from sinewright import face
    from sinewright.cli.case_argument import case_from, operation_meant
    from sinewright.cli.ruler_page import ruler_lines

    read = case_from(case, store)
    target = _target(json_file, case)
    choice = operation_meant(read, choice)
    with progress_bar("laying the ruler"):
        found = face.ruler(read, choice, draws=draws, seed=seed)
    _write(target, found)
    screen = _screen()
    _show(ruler_lines(found, screen), screen)


@app.command(short_help="Walk one choice from toe-off to heel strike.")
def swing(
    case: CaseText,
    choice: ChoiceText,
    speed: Annotated[
        float | None, typer.Option("--speed", metavar="M/S", help="Walking speed; else row own-swing-speed.")
    ] = None,
    margin_mm: Annotated[
        float | None,
        typer.Option("--margin-mm", metavar="MM", help="Clearance wanted under the sole; else row own-swing-margin."),
    ] = None,
    draws: Draws = 1000,
    seed: Seed = 1,
    json_file: JsonFile = None,
    store: StoreOption = None,
) -> None:
    """Walk one choice from toe-off to heel strike beside other feet: clearance, steppage, letting the heel down."""
    from sinewright import face
    from sinewright.cli.case_argument import case_from, operation_meant
    from sinewright.cli.swing_page import swing_lines

    read = case_from(case, store)
    target = _target(json_file, case)
    choice = operation_meant(read, choice)
    with progress_bar("walking"):
        page = face.swing(read, choice, speed_m_s=speed, margin_mm=margin_mm, draws=draws, seed=seed)
    _write(target, page)
    screen = _screen()
    _show(swing_lines(page, screen), screen)


@app.command(short_help="Say what to measure next, and what the leading choices hang on.")
def ask(
    case: CaseText,
    draws: Draws = 1000,
    seed: Seed = 1,
    json_file: JsonFile = None,
    store: StoreOption = None,
) -> None:
    """Say which measurement would change the first choice most often, and what the lift of the leaders hangs on."""
    from sinewright import face
    from sinewright.cli.ask_page import ask_lines
    from sinewright.cli.case_argument import case_from

    read = case_from(case, store)
    target = _target(json_file, case)
    with progress_bar("asking what to measure") as progress:
        asked = face.ask(read, draws=draws, seed=seed, progress=progress)
    _write(target, asked)
    screen = _screen()
    _show(ask_lines(asked, screen), screen)


@app.command(short_help="Hold published claims against the program.")
def evidence(json_file: JsonFile = None) -> None:
    """Hold published claims against the program and print every outcome, the misses first."""
    from sinewright import face
    from sinewright.cli.evidence_page import evidence_lines

    target = _target(json_file)
    with progress_bar("holding published claims against the program"):
        found = face.claims()
    _write(target, found)
    screen = _screen()
    _show(evidence_lines(found.checks, screen), screen)


@app.command("case-help", short_help="List what a case file may hold.")
def case_help(
    word: Annotated[str, typer.Argument(metavar="[WORD]", help="Only entries with this in name or meaning.")] = "",
) -> None:
    """List the entries of a case file: name, meaning, unit and what is allowed."""
    from sinewright.cli.fields_page import fields_lines

    screen = _screen()
    _show(fields_lines(word, screen), screen)


def _target(json_file: Path | None, case: str | None = None) -> Path | None:
    """Where the document goes, before anything is computed; never over the case."""
    from sinewright.files import check_target

    return check_target(json_file, keep=Path(case) if case else None) if json_file else None


def _write(target: Path | None, document: Document) -> None:
    from sinewright.files import write_whole
    from sinewright.results import json_text

    if target:
        write_whole(target, json_text(document))


def _screen() -> Screen:
    from sinewright.cli.screen import screen_for

    return screen_for(sys.stdout)


def _show(lines: list[Text], screen: Screen) -> None:
    screen.show(lines)
    sys.stdout.flush()


def _complain(message: str) -> None:
    """One message on stderr; control characters in a name or value never reach the terminal."""
    from sinewright.cli.screen import screen_for

    screen = screen_for(sys.stderr)
    told = "\n".join(screen.say(line) for line in message.splitlines())
    sys.stderr.write(f"sinewright: {told}\n")


def main() -> None:
    """Runs the command. Exit: 0 done, 1 unexpected, 2 bad input, 3 to 6 see `errors`, 130 stopped."""
    run = Run()
    try:
        app(obj=run)
    except SinewrightError as problem:
        _complain(str(problem))
        sys.exit(problem.exit_code)
    except KeyboardInterrupt:
        sys.exit(130)
    except Exception as problem:
        if run.debug:
            raise
        _complain(f"stopped by an error of its own, {type(problem).__name__}; 'sinewright --debug ...' shows where.")
        sys.exit(UNEXPECTED)
