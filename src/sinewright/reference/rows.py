"""One published number as a row, one source as a citation. Both are frozen; nothing here reads a file."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import NoReturn

from sinewright.errors import SourceDataError
from sinewright.reference.spreads import parse_bounds

COLUMNS = (
    "id", "quantity", "structure", "condition", "value", "unit", "spread", "spread_kind",
    "n", "population", "method", "source", "where", "known", "use", "note",
)  # fmt: skip

KNOWN = {
    "read": "number read in the source named",
    "quoted": "read in another text that quotes it",
    "recalled": "textbook value, no source checked",
    "derived": "own arithmetic on published rows",
    "judged": "assumption, not data",
    "practice": "common practice",
}
USE = {
    "fit": "may set model parameters",
    "check": "must stay a comparison: never tuned to",
    "context": "background, not for calculation",
}
OWN = ("derived", "judged")  # ways of knowing that rest on us, not on a source
NOT_KEPT = re.compile(r"\((citation not kept|practice page, address not kept)\)")
SPREAD_KINDS = ("", "sd", "se", "range", "iqr", "ci95", "cv")


@dataclass(frozen=True, slots=True)
class Source:
    """Where a number was published. Empty fields were not noted; `verified` = something was read in it."""

    key: str
    authors: str = ""
    year: int | None = None
    title: str = ""
    journal: str = ""
    volume_pages: str = ""
    doi: str = ""
    page: str = ""
    note: str = ""
    verified: bool = False

    @property
    def findable(self) -> bool:
        """True if a reader can look the source up: an address, a journal, or authors with a year or a title."""
        if NOT_KEPT.search(self.title):
            return False
        named = bool(self.authors and (self.year or self.title)) or bool(self.title and self.verified)
        return bool(self.doi or self.page or self.journal) or named

    @property
    def citation(self) -> str:
        """One printable line: authors, year, title, journal, pages, doi or address; the key where all are missing."""
        year = None if self.year is None else str(self.year)
        where = " ".join(part for part in (self.journal, self.volume_pages) if part)
        address = f"doi {self.doi}" if self.doi else self.page
        parts = [part for part in (self.authors, year, self.title, where, address) if part]
        return ". ".join(parts) if parts else self.key


@dataclass(frozen=True, slots=True)
class Row:
    """One number of one source, in the unit printed in `unit` (not SI: convert at the place that uses it).

    `bounds` holds the two ends of a range, twice the same number for a single value, None where no number is
    known. `spread` is the text as printed; `sd` is the standard deviation between people where it can
    honestly be derived (see `spreads.standard_deviation`), else None. `file` and `line` say where the row
    stands.
    """

    id: str
    quantity: str
    structure: str
    condition: str
    bounds: tuple[float, float] | None
    unit: str
    spread: str
    spread_kind: str
    sd: float | None
    n: int | None
    population: str
    method: str
    source: str
    where: str
    known: str
    use: str
    note: str
    file: str
    line: int

    @property
    def has_number(self) -> bool:
        """False for a direction, a written formula or a known gap."""
        return self.bounds is not None

    @property
    def low(self) -> float:
        """Lower end [unit]. Raises SourceDataError where the row holds no number."""
        return self._ends()[0]

    @property
    def high(self) -> float:
        """Upper end [unit]; equal to `low` for a single number. Raises SourceDataError without a number."""
        return self._ends()[1]

    @property
    def value(self) -> float:
        """The number, or the midpoint of a range [unit]. Raises SourceDataError without a number."""
        low, high = self._ends()
        return low if low == high else 0.5 * (low + high)

    @property
    def spread_ends(self) -> tuple[float, float]:
        """Both ends of a spread printed as ``low..high`` [unit]. Raises SourceDataError for any other spread."""
        ends = parse_bounds(self.spread) if ".." in self.spread else None
        return ends if ends is not None else self._refuse(f"{self.id} has no spread from low to high")

    @property
    def conditions(self) -> dict[str, str]:
        """The ``key=value`` parts of `condition`, as text; free words are left out."""
        pairs = (part.partition("=") for part in self.condition.split(";") if "=" in part)
        return {key.strip(): value.strip() for key, _, value in pairs}

    def condition_number(self, key: str) -> float:
        """One condition as a number, such as ``ankle_deg``. Raises SourceDataError unless it is a number."""
        text = self.conditions.get(key)
        try:
            return float(text) if text is not None else self._refuse(f"{self.id} has no condition {key}")
        except ValueError:
            return self._refuse(f"condition {key} of {self.id} is {text!r}, not one number")

    def _ends(self) -> tuple[float, float]:
        return self.bounds if self.bounds is not None else self._refuse(f"{self.id} holds no number")

    def _refuse(self, problem: str) -> NoReturn:
        raise SourceDataError(self.file, self.line, problem)
