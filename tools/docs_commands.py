"""docs/commands.md, made from the commands."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import typer

from sinewright.cli.app import app

_HEAD = """\
# Commands

*This page is generated from the program; a test fails when it is stale.*

`check`, `weigh`, `ruler`, `swing`, `ask`, `evidence` and `case-help` print to the terminal and write nothing,
except to the file you name with `--json`. `case`, `store` and `key` keep the record; [store.md](store.md) says how. A
file that is written is whole or not there at all, is readable by its owner only, and never replaces the case. The JSON
documents are defined by [check.schema.json](check.schema.json), [weigh.schema.json](weigh.schema.json),
[ruler.schema.json](ruler.schema.json), [swing.schema.json](swing.schema.json), [ask.schema.json](ask.schema.json) and
[evidence.schema.json](evidence.schema.json); each says at its head what it is, for which leg, whether the case is
invented, and what it is not. They carry no date, so the same case, draws and seed give the same bytes;
[python.md](python.md) gives the same documents as objects. A kept plan is a document too
([plan.schema.json](plan.schema.json)). `table` ([table.md](table.md), [table.schema.json](table.schema.json)) also
writes the file named with `--entries`, and its document holds the time of each entry; `protect`
([protect.md](protect.md), [protect.schema.json](protect.schema.json)) also writes the calendar named with `--calendar`.

**Print.** On a UTF-8 terminal the pages are drawn with marks and colour. In a pipe, with `NO_COLOR` or in
another encoding they are plain ASCII without escape codes. `COLUMNS` sets the width (60 to 200; 100 in a
pipe). The columns stand in the order lift, at rest, push-down kept, moment, share of the normal moment,
hindfoot, reach, ankle in mid-swing, at heel strike, what the hip must add; those that do not fit are told in
words under each choice, in the same order.

**Words for signs.** Up and down are dorsiflexion and plantarflexion from neutral (sole square to the
shank); inward and outward are inversion and eversion; spare and short say whether the tendon reaches.

**Exit codes.** 0 done; 1 unexpected error (`sinewright --debug ...` shows where); 2 input that cannot be
used; 3 unusable source data; 4 no equilibrium found; 5 too few virtual legs agree with the examination;
6 the store cannot be used as asked, or is broken;
130 stopped with Ctrl-C. Messages go to stderr and begin with `sinewright:`.
"""


def commands_text() -> str:
    """The page in Markdown."""
    root: Any = typer.main.get_command(app)
    parts = [_HEAD, *_options(root, "Before the command")]
    for name in sorted(root.commands):
        parts += _command(root.commands[name], name)
    return "\n".join(parts).rstrip() + "\n"


def _command(command: Any, name: str) -> Iterator[str]:
    for inner in sorted(getattr(command, "commands", {})):
        yield from _command(command.commands[inner], f"{name} {inner}")
    if hasattr(command, "commands"):
        return
    arguments = [each for each in command.params if each.param_type_name == "argument"]
    shown = " ".join(["sinewright", name, *(_metavar(each) for each in arguments), "[OPTIONS]"])
    yield from (f"## {name}", "", _plain(command.help), "", f"    {shown}", "")
    for each in arguments:
        yield from (f"- `{_metavar(each)}`: {_plain(each.help)}",)
    if arguments:
        yield ""
    yield from _options(command, "")


def _options(command: Any, title: str) -> Iterator[str]:
    options = [each for each in command.params if each.param_type_name == "option" and each.name != "help"]
    if not options:
        return
    if title:
        yield from (f"## {title}", "")
    yield from ("| option | meaning | default |", "|---|---|---|")
    for each in options:
        flag = " ".join([", ".join(each.opts), *([] if each.is_flag else [_metavar(each)])])
        default = "" if each.is_flag or each.default is None else str(each.default)
        yield f"| `{flag}` | {_plain(each.help)} | {default} |"
    yield ""


def _metavar(parameter: Any) -> str:
    return str(parameter.metavar or parameter.human_readable_name.upper())


def _plain(text: str | None) -> str:
    """Help text in one line."""
    return " ".join((text or "").split())
