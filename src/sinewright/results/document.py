"""What every document carries at its head, and how a document becomes JSON and JSON Schema.

A result is a document: the object that a page prints is the one that JSON, the store and a notebook show. It carries
no date, so that the same case, draws and seed give the same bytes. The text under a field is its description in the
schema and in NOMENCLATURE.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated, Any, ClassVar, Literal, TypeVar

from pydantic import Field, TypeAdapter

from sinewright.results.brief import Brief, html_of, text_of

Side = Literal["right", "left"]
CAUTION = (
    "A calculation to think with: not a medical device, not a decision, not validated on patients. Local codes and the "
    "judgement of licensed practice come first. Check the side against the patient."
)
INVENTED = "true: the case says that the person is made up; false: treat it as a patient"
OPERATED = "the leg that is to be operated on"
DECIMALS = 4
DIALECT = "https://json-schema.org/draft/2020-12/schema"


@dataclass(frozen=True, kw_only=True)
class Document:
    """Head of every document."""

    __pydantic_config__: ClassVar[Mapping[str, Any]] = {
        "use_attribute_docstrings": True,
        "json_schema_serialization_defaults_required": True,
        "extra": "forbid",
    }

    document: Annotated[str, Field(description="kind of the document")]
    version: Annotated[str, Field(description="version of the program that made it")]
    invented: Annotated[bool | None, Field(description=f"{INVENTED}; null: about no person")] = False
    caution: Annotated[str, Field(description="what this is not, and what comes first")] = CAUTION
    side: Annotated[Side | None, Field(description=f"{OPERATED}; null: about no person")]

    def brief(self) -> Brief:
        """What a terminal and a notebook show of it."""
        return Brief(self.document, (), ())

    def title(self, *more: str) -> str:
        """Side, label and kind in one line."""
        person = (f"{self.side} foot".upper(), getattr(self, "pseudonym", "")) if self.side else ()
        made_up = ("invented case",) if self.invented else ()
        return "  ".join((*person, *made_up, self.document, *more))

    def __str__(self) -> str:
        return text_of(self.brief(), self.caution)

    def _repr_html_(self) -> str:
        return html_of(self.brief(), self.caution)


@dataclass(frozen=True, kw_only=True)
class CaseDocument(Document):
    """Head of a document about one case."""

    invented: Annotated[bool, Field(description=INVENTED)] = False
    side: Annotated[Side, Field(description=OPERATED)]
    pseudonym: Annotated[str, Field(description="label of the case, which says nothing about the person")]

    def __post_init__(self) -> None:
        if self.side not in ("right", "left"):
            raise ValueError(f"{type(self).__name__}.side is {self.side!r}, allowed: right, left")


@dataclass(frozen=True, kw_only=True)
class Computed(CaseDocument):
    """Head of a document that was computed on virtual legs."""

    seed: Annotated[int, Field(description="seed of the virtual legs; same case, draws and seed: same document")]
    draws: Annotated[int, Field(description="number of virtual legs")]


T = TypeVar("T")


def plain(document: Document) -> dict[str, Any]:
    """A document as plain content, floats to four decimals.

    Parameters
    ----------
    document : Document

    Returns
    -------
    dict
        What its JSON says: words, numbers, lists and tables only.
    """
    content: dict[str, Any] = _rounded(exact(document))
    return content


def exact(part: object) -> Any:
    """A result as plain content, every float to its last digit."""
    return TypeAdapter(type(part)).dump_python(part, mode="json", warnings="error")


def json_text(document: Document) -> str:
    """A document as JSON, ending in a newline."""
    return _dump(plain(document))


def schema_text(kind: type[Document]) -> str:
    """JSON Schema of a kind of document, as it stands in docs/."""
    return _dump({"$schema": DIALECT, **TypeAdapter(kind).json_schema(mode="serialization")})


def read_part(kind: type[T], content: object) -> T:
    """A result type from plain content. Raises ValueError for content of another shape."""
    return TypeAdapter(kind).validate_python(content)


def _rounded(part: Any) -> Any:
    """Floats to four decimals, without a negative zero."""
    if isinstance(part, float):
        return round(part, DECIMALS) + 0.0
    if isinstance(part, dict):
        return {key: _rounded(value) for key, value in part.items()}
    return [_rounded(value) for value in part] if isinstance(part, list) else part


def _dump(content: object) -> str:
    return json.dumps(content, indent=2, ensure_ascii=False, allow_nan=False) + "\n"
