"""From content to a page: Typst templates of the package, fonts of the package, no system fonts, no clock, no network.

Content travels as JSON and is printed as text, never read as markup. Same content, same bytes: the time on the page
and in the file is that of the plan.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from contextlib import ExitStack
from datetime import UTC, datetime
from hashlib import sha256
from importlib.resources import as_file, files
from typing import Any, Literal

from sinewright.errors import InputError
from sinewright.export.print_text import checked
from sinewright.version import __version__

Format = Literal["pdf", "png"]
PAPERS: dict[str, str] = {"a4": "a4", "letter": "us-letter"}


def page_hash(content: Mapping[str, Any]) -> str:
    """Twelve hex digits of SHA-256 over the whole content, in fours: two prints with the same digits say the same."""
    text = json.dumps(content, sort_keys=True, ensure_ascii=True, separators=(",", ":"))
    digits = sha256(text.encode()).hexdigest()
    return "-".join(digits[i : i + 4] for i in (0, 4, 8))


def typeset(
    template: str, content: Mapping[str, Any], made_at: datetime, kind: Format = "pdf", sides: int | None = None
) -> list[bytes]:
    """The page as one PDF, or as one PNG for each side.

    `template` is a name in ``templates``. Raises InputError for text that cannot be printed, and when the content needs
    more than `sides` sides.
    """
    import typst

    ready = checked({**content, "version": __version__})
    ready["hash"] = page_hash(ready)
    inputs = {"data": json.dumps(ready, ensure_ascii=False)}
    with ExitStack() as stack:
        room = stack.enter_context(as_file(files("sinewright.export")))
        options: dict[str, Any] = {
            "root": str(room),
            "font_paths": [str(room / "fonts")],
            "ignore_system_fonts": True,
            "sys_inputs": inputs,
        }
        source = str(room / "templates" / f"{template}.typ")
        if sides is not None:
            found = int(json.loads(typst.query(source, "<sides>", field="value", one=True, **options)))
            if found > sides:
                raise InputError(
                    "page", f"{found} sides", f"{sides} side", "shorten the lines that were typed for this page"
                )
        if kind == "png":
            made = typst.compile(source, format="png", ppi=110.0, **options)
            return [made] if isinstance(made, bytes) else list(made)
        stamp = int(made_at.astimezone(UTC).timestamp())
        return [bytes(typst.compile(source, format="pdf", timestamp=stamp, pdf_standards="ua-1", **options))]


def picture_png(svg: str, ppi: float = 160.0) -> bytes:
    """A vector picture as PNG, with the fonts of the package."""
    import typst

    source = b'#set page(width: auto, height: auto, margin: 0pt)\n#image(bytes(sys.inputs.svg), format: "svg")'
    with as_file(files("sinewright.export")) as room:
        options: dict[str, Any] = {"font_paths": [str(room / "fonts")], "ignore_system_fonts": True}
        made = typst.compile(source, format="png", ppi=ppi, sys_inputs={"svg": svg}, **options)
    return bytes(made if isinstance(made, bytes) else made[0])
