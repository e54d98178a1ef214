"""The building blocks of a case: one finding, one section, and what gives a field its unit and range.

Every field has a description; every number has a unit, a lowest and a highest possible value. They stand
once, in the model, and serve reading, error messages, the JSON Schema and the printed list of fields.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator
from datetime import date
from typing import Annotated, Any, Generic, Literal, TypeVar, get_args

from pydantic import (
    AfterValidator,
    BaseModel,
    ConfigDict,
    Field,
    GetJsonSchemaHandler,
    ValidationInfo,
    field_validator,
)
from pydantic.fields import FieldInfo
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema, PydanticCustomError

V = TypeVar("V")
Known = Literal["measured", "estimated", "assumed"]
_TURNS_TEXT_AROUND = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069\u200e\u200f")


def _printable(text: str) -> str:
    """`text` unchanged, or refused for signs that cannot be printed or that turn the text around."""
    for sign in text:
        if sign in _TURNS_TEXT_AROUND or (unicodedata.category(sign) in {"Cc", "Cs"} and sign not in "\n\t"):
            raise PydanticCustomError("unprintable", "U+{code}", {"code": f"{ord(sign):04X}"})
    return text


Text = Annotated[str, AfterValidator(_printable)]


def measured(unit: str, low: float, high: float, description: str) -> Any:
    """A number found on the patient: a plain number (measured) or a table, in `unit`."""
    return Field(default=None, description=description, json_schema_extra=_bounds(unit, low, high))


def graded(description: str) -> Any:
    """A muscle grade found on the patient: text, or a table with `value`."""
    return Field(default=None, description=description)


def wish(unit: str, low: float, high: float, description: str) -> Any:
    """A number somebody decides (a plan, a weight), so a plain number only."""
    return Field(default=None, description=description, json_schema_extra=_bounds(unit, low, high))


def word(description: str) -> Any:
    """An optional entry whose type says what is allowed: one of some words, true or false, a date."""
    return Field(default=None, description=description)


def text(description: str, longest: int = 400) -> Any:
    """Optional free text of at most `longest` signs."""
    return Field(default=None, description=description, min_length=1, max_length=longest)


def words(description: str) -> Any:
    """An optional list, empty by default."""
    return Field(default=(), description=description, max_length=40)


def section(model: type[BaseModel], description: str) -> Any:
    """A part of the case with its own heading; empty when the file leaves it out."""
    return Field(default_factory=model, description=description)


def _bounds(unit: str, low: float, high: float) -> dict[str, Any]:
    table = {"value": {"minimum": low, "maximum": high}}
    return {"unit": unit, "minimum": low, "maximum": high, "properties": table}


def unit_of(field: FieldInfo) -> str:
    """The unit of a numeric field as written in the file, or an empty text."""
    return str(_extra(field).get("unit", ""))


def bounds_of(field: FieldInfo) -> tuple[float, float] | None:
    """Lowest and highest possible value of a numeric field in its own unit, or None for other fields."""
    extra = _extra(field)
    return (float(extra["minimum"]), float(extra["maximum"])) if "minimum" in extra else None


def _extra(field: FieldInfo) -> dict[str, Any]:
    return field.json_schema_extra if isinstance(field.json_schema_extra, dict) else {}


def _bare(part: object) -> str:
    return f"{type(part).__name__}()"


class Section(BaseModel):
    """Base of every part of a case: frozen, nothing unknown, no silent conversion, ranges enforced."""

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True, allow_inf_nan=False)

    def __repr_args__(self) -> Iterator[tuple[str | None, Any]]:
        """Only what is filled, so that a case can be read in a debugger."""
        return ((name, part) for name, part in self if part not in (None, ()) and repr(part) != _bare(part))

    @field_validator("*", mode="before")
    @classmethod
    def _as_written(cls, given: object, info: ValidationInfo) -> object:
        return _shaped(cls.model_fields[str(info.field_name)], given)


class Finding(Section, Generic[V]):
    """One finding: its value in the unit of the field's name, and how it is known."""

    value: V = Field(description="the value, in the unit that ends the name of the field")
    known: Known = Field(default="measured", description="how the value is known; a plain number means measured")
    on: date | None = word("date of the finding, when it differs from examined_on")
    by: Text | None = text("instrument or method, for instance goniometer", 120)

    @classmethod
    def __get_pydantic_json_schema__(cls, core: CoreSchema, handler: GetJsonSchemaHandler) -> JsonSchemaValue:
        """A finding is the plain value, or a table that also says how it is known."""
        table = handler.resolve_ref_schema(handler(core))
        plain = {key: part for key, part in table["properties"]["value"].items() if key != "description"}
        described = table.copy()
        table.clear()
        table.update({"title": described["title"], "anyOf": [plain, described]})
        return table

    def echo(self, unit: str = "") -> str:
        """The finding as one line for print: value, `unit`, how known, date, instrument."""
        value = f"{self.value:g}" if isinstance(self.value, float) else str(self.value)
        extras = [self.known, *([self.on.isoformat()] if self.on else []), *([self.by] if self.by else [])]
        return f"{value}{f' {unit}' if unit else ''} ({', '.join(extras)})"


class Number(Finding[float]):
    """A number found on the patient, in the unit that ends the name of its field."""


def number(finding: Number | None) -> float | None:
    """The value of a finding in the unit of its field's name, or None when nothing was found."""
    return None if finding is None else finding.value


def _is_finding(field: FieldInfo) -> bool:
    kinds = (field.annotation, *get_args(field.annotation))
    return any(isinstance(kind, type) and issubclass(kind, Finding) for kind in kinds)


def _shaped(field: FieldInfo, given: object) -> object:
    """What the file says, as the model wants it: lists as tuples, findings as tables, ranges checked."""
    if isinstance(given, list):
        return tuple(given)
    wanted = _is_finding(field)
    if wanted and given is not None and not isinstance(given, (dict, Finding)):
        given = {"value": given}
    bounds = bounds_of(field)
    if bounds is not None:
        _refuse_outside(_plain(given), bounds)
    return given


def _plain(given: object) -> object:
    if isinstance(given, Finding):
        return given.value
    return given.get("value") if isinstance(given, dict) else given


def _refuse_outside(value: object, bounds: tuple[float, float]) -> None:
    """Refuse a number that is not between `bounds`; NaN is never between. Other types are refused later."""
    is_number = isinstance(value, (int, float)) and not isinstance(value, bool)
    if is_number and not bounds[0] <= value <= bounds[1]:  # type: ignore[operator]
        raise PydanticCustomError("outside", "outside the possible range")
