"""The results of `table` and `protect` as JSON documents; their schemas are made from the result types themselves."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any

from pydantic import TypeAdapter

from sinewright.results import Protection, TableAnswer

DECIMALS = 4
DOCUMENTS: dict[str, Any] = {"table": TableAnswer, "protect": Protection}


def table_text(answer: TableAnswer) -> str:
    """The JSON document of one answer on the table, ending in a newline."""
    return _text(answer, TableAnswer)


def protect_text(found: Protection) -> str:
    """The JSON document of the weeks after, ending in a newline."""
    return _text(found, Protection)


def schema_text(name: str) -> str:
    """JSON Schema of a document, as it stands in docs/table.schema.json and docs/protect.schema.json."""
    schema = TypeAdapter(DOCUMENTS[name]).json_schema(mode="serialization")
    return _dump({"$schema": "https://json-schema.org/draft/2020-12/schema", **schema})


def _text(found: object, kind: Any) -> str:
    return _dump(_rounded(TypeAdapter(kind).dump_python(found, mode="json")))


def _rounded(part: Any) -> Any:
    """Floats to four decimals, without a negative zero."""
    if isinstance(part, float):
        return round(part, DECIMALS) + 0.0
    if isinstance(part, dict):
        return {key: _rounded(value) for key, value in part.items()}
    return [_rounded(value) for value in part] if isinstance(part, list) else part


def _dump(content: object) -> str:
    return json.dumps(content, indent=2, ensure_ascii=False, allow_nan=False) + "\n"


if __name__ == "__main__":
    folder = Path(sys.argv[1] if len(sys.argv) > 1 else "docs")
    for document in DOCUMENTS:
        (folder / f"{document}.schema.json").write_text(schema_text(document), encoding="utf-8")
