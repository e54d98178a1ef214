"""Options that several commands share, each with one help text. Read by `typer`; importing it costs nothing more."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

CaseText = Annotated[
    str, typer.Argument(metavar="CASE", help="A case file (TOML; case-help lists its entries) or a stored pseudonym.")
]
ChoiceText = Annotated[
    str,
    typer.Option(
        "--choice", metavar="OPERATION", help="A number of the ladder (1, 2b), an id, or whole dotted words of one."
    ),
]
Draws = Annotated[
    int,
    typer.Option(
        "--draws",
        metavar="N",
        min=100,
        help="Virtual legs; at least 100, so that the ends of nine-tenths mean something.",
    ),
]
Seed = Annotated[int, typer.Option("--seed", metavar="S", min=0, help="Same case, draws and seed: same result.")]
JsonFile = Annotated[
    Path | None,
    typer.Option(
        "--json", metavar="FILE", help="Also write the result as JSON, whole or not at all, for its owner only."
    ),
]
StoreOption = Annotated[
    str | None,
    typer.Option("--store", metavar="STORE", help="File or postgresql:// address; else SINEWRIGHT_STORE, else yours."),
]
