"""Published numbers with their sources, and the one rule that picks between disagreeing papers."""

from sinewright.reference.choice import Selection, choose, decision
from sinewright.reference.loading import Reference, load
from sinewright.reference.rows import Row, Source

__all__ = ["Reference", "Row", "Selection", "Source", "choose", "decision", "load"]
