"""Sinewright: a calculating notebook for tendon transfer in drop foot. Not a medical device.

Only what `__all__` names is stable; every other module may change from one version to the next.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

from sinewright.version import __version__ as __version__

if TYPE_CHECKING:
    from sinewright.case import Case
    from sinewright.errors import InputError, SinewrightError
    from sinewright.face import Picture, ask, check, claims, draw, protection, read_case, ruler, swing, table, weigh
    from sinewright.learn.entries import TableReading
    from sinewright.results import (
        Asked,
        Chance,
        Checked,
        EvidenceDocument,
        Protection,
        RulerDocument,
        Spread,
        SwingPage,
        TableAnswer,
        Weighing,
        json_text,
    )

__all__ = [
    "Asked", "Case", "Chance", "Checked", "EvidenceDocument", "InputError", "Picture", "Protection",
    "RulerDocument", "SinewrightError", "Spread", "SwingPage", "TableAnswer", "TableReading", "Weighing", "ask",
    "check", "claims", "draw", "json_text", "protection", "read_case", "ruler", "swing", "table", "weigh",
]  # fmt: skip
_ROOMS = {
    "Case": "case",
    "TableReading": "learn.entries",
    "InputError": "errors",
    "SinewrightError": "errors",
    **dict.fromkeys(
        ("Picture", "ask", "check", "claims", "draw", "protection", "read_case", "ruler", "swing", "table", "weigh"),
        "face",
    ),
}


def __getattr__(name: str) -> Any:
    """Loads what is asked for, and nothing before: a bare import is quick."""
    if name not in __all__:
        raise AttributeError(f"module 'sinewright' has no attribute {name!r}; it offers {', '.join(__all__)}")
    return getattr(import_module(f"sinewright.{_ROOMS.get(name, 'results')}"), name)


def __dir__() -> list[str]:
    return [*__all__, "__version__"]
