"""`sinewright open`: the app in the browser of this machine."""

from __future__ import annotations

from typing import Annotated

import typer

from sinewright.options import Draws, StoreOption


def open_app(
    case: Annotated[
        str | None,
        typer.Argument(metavar="[CASE]", help="Open this case: a stored pseudonym, or a case file, which is stored."),
    ] = None,
    store: StoreOption = None,
    address: Annotated[
        str, typer.Option("--address", metavar="ADDRESS", help="127.0.0.1; every other address is refused.")
    ] = "127.0.0.1",
    port: Annotated[
        int, typer.Option("--port", metavar="N", min=0, max=65535, help="Port; a free one when it is taken.")
    ] = 8470,
    draws: Draws = 1000,
    browser: Annotated[bool, typer.Option("--browser/--no-browser", help="Open the browser as well.")] = True,
) -> None:
    """Open the app: cases, findings, choices and plan as pages in the browser of this machine, and of no other."""
    from sinewright.app.guard import refuse_other_address

    refuse_other_address(address)
    from sinewright.app.serve import ServeOptions, run
    from sinewright.store.opening import open_store

    with open_store(store, create=True) as opened:
        start = "/" if case is None else f"/case/{_stored(case, opened)}/findings"
        run(opened, ServeOptions(start, address, port, draws, browser))


def _stored(given: str, opened: object) -> str:
    """The pseudonym of the case meant by `given`; a case file is stored unless it is there already."""
    from sinewright.app.services import add_once
    from sinewright.case import read_case
    from sinewright.store.names import is_name
    from sinewright.store.store import Store

    assert isinstance(opened, Store)
    if is_name(given.lower()):
        return opened.case(given.lower()).name
    return add_once(opened, read_case(given), "surgeon")
