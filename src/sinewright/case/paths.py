"""Finds fields of the case by their path, and lists them all in the order of the file."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from typing import Any, get_args, get_origin

from pydantic.fields import FieldInfo

from sinewright.case.fields import Finding, Section


def inner_section(field: FieldInfo) -> type[Section] | None:
    """The section that `field` (or each of its list entries) holds; None for plain entries and findings."""
    return next((kind for kind in _kinds(field.annotation) if not issubclass(kind, Finding)), None)


def finding_type(field: FieldInfo) -> type[Finding[Any]] | None:
    """The finding type of `field`, or None when it is no finding."""
    return next((kind for kind in _kinds(field.annotation) if issubclass(kind, Finding)), None)


def is_list(field: FieldInfo) -> bool:
    """True when the field takes a list."""
    return get_origin(field.annotation) is tuple


def _kinds(kind: Any) -> Iterator[type[Section]]:
    if isinstance(kind, type) and issubclass(kind, Section):
        yield kind
    else:
        for part in get_args(kind):
            yield from _kinds(part)


def fields_inside(model: type[Section]) -> list[str]:
    """Names of the entries of a section, in order."""
    return list(model.model_fields)


def field_at(loc: tuple[int | str, ...]) -> FieldInfo | None:
    """The field at a location. The value of a finding is described by the field that holds it."""
    from sinewright.case.model import Case

    model: type[Section] | None = Case
    field: FieldInfo | None = None
    for step in loc:
        if isinstance(step, int):
            continue
        if field is not None and finding_type(field) and step == "value":
            continue
        field = model.model_fields.get(step) if model else None
        if field is None:
            return None
        model = inner_section(field) or finding_type(field)
    return field


def section_at(loc: tuple[int | str, ...]) -> type[Section] | None:
    """The section (or finding) whose entries stand at a location."""
    from sinewright.case.model import Case

    if not loc:
        return Case
    field = field_at(loc)
    return None if field is None else inner_section(field) or finding_type(field)


@lru_cache(maxsize=1)
def all_fields() -> tuple[tuple[str, FieldInfo], ...]:
    """Dotted path and field of every entry of a case, in the order of the file, sections first."""
    from sinewright.case.model import Case

    return tuple(_below("", Case))


def _below(path: str, model: type[Section]) -> Iterator[tuple[str, FieldInfo]]:
    for name, field in model.model_fields.items():
        here = f"{path}.{name}" if path else name
        yield here, field
        inner = inner_section(field)
        if inner is not None:
            yield from _below(here, inner)
