"""Writes every page and schema of docs/ that is made from the program: ``python tools/docs.py [FOLDER]``.

A test of each fails when what stands in docs/ is stale. The pictures of the app are taken by hand.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from functools import partial
from pathlib import Path

import docs_case
from docs_commands import commands_text
from docs_documents import KINDS, nomenclature_text, schema_text
from docs_evidence import evidence_text
from docs_rules import rules_text

PAGES: dict[str, Callable[[], str]] = {
    "case.schema.json": docs_case.schema_text,
    "case-file.md": docs_case.fields_text,
    "commands.md": commands_text,
    "rules.md": rules_text,
    "evidence.md": evidence_text,
    "../NOMENCLATURE.md": nomenclature_text,
    **{f"{name}.schema.json": partial(schema_text, name) for name in KINDS},
}


def write_docs(folder: Path) -> None:
    """Write every page into a folder."""
    for name, text in PAGES.items():
        (folder / name).write_text(text(), encoding="utf-8")


if __name__ == "__main__":
    write_docs(Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parents[1] / "docs")
