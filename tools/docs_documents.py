"""The JSON Schema of every document, and the list of their fields in NOMENCLATURE.md, made from the result types."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from sinewright import results as r

ROOT = Path(__file__).parents[1]
KINDS: dict[str, type[r.Document]] = {
    "ask": r.Asked,
    "check": r.Checked,
    "evidence": r.EvidenceDocument,
    "plan": r.PlanDocument,
    "protect": r.Protection,
    "ruler": r.RulerDocument,
    "swing": r.SwingPage,
    "table": r.TableAnswer,
    "weigh": r.Weighing,
}
OPENING, CLOSING = "<!-- fields: tools/docs.py -->", "<!-- end of fields -->"
UNITS = {
    "deg": "deg",
    "mm": "mm",
    "Nm": "N.m",
    "N": "N",
    "m_s": "m/s",
    "week": "wk",
    "share": "1",
    "chance": "1",
    "total": "1",
    "error": "1",
}


def schema_text(name: str) -> str:
    """JSON Schema of the document of a command."""
    return r.schema_text(KINDS[name])


def fields_of(schema: dict[str, Any]) -> Iterator[tuple[str, str]]:
    """Name and meaning of every field of a document, and of every name in its tables."""
    for part in (schema, *schema.get("$defs", {}).values()):
        for name, field in part.get("properties", {}).items():
            yield name, field.get("description", "")
            for known in field.get("propertyNames", {}).get("oneOf", ()):
                yield known["const"], known["description"]


def unit_of(name: str) -> str:
    """The unit that ends a name; empty where it has none."""
    ends = [ending for ending in UNITS if name == ending or name.endswith(f"_{ending}")]
    return UNITS[max(ends, key=len)] if ends else ""


def fields_text() -> str:
    """Every field of every document in one table: its unit, where it stands, what it means."""
    meanings: dict[str, dict[str, list[str]]] = {}
    for document in KINDS:
        for name, meaning in fields_of(json.loads(schema_text(document))):
            stands = meanings.setdefault(name, {}).setdefault(meaning, [])
            stands += [] if document in stands else [document]
    lines = ["| field | unit | documents | meaning |", "|---|---|---|---|"]
    for name in sorted(meanings, key=str.lower):
        everywhere = sorted({document for stands in meanings[name].values() for document in stands})
        stands_in = "all" if len(everywhere) == len(KINDS) else ", ".join(everywhere)
        lines.append(f"| `{name}` | {unit_of(name)} | {stands_in} | {' / '.join(meanings[name])} |")
    return "\n".join(lines)


def nomenclature_text() -> str:
    """NOMENCLATURE.md with the table of fields made anew."""
    text = (ROOT / "NOMENCLATURE.md").read_text(encoding="utf-8")
    before, _, rest = text.partition(OPENING)
    return f"{before}{OPENING}\n{fields_text()}\n{CLOSING}{rest.partition(CLOSING)[2]}"
