"""One thing that is known, with where it comes from: rows of the reference room, or a source that gives no number."""

from dataclasses import dataclass
from typing import cast

from sinewright.reference import load
from sinewright.results import Known, View


@dataclass(frozen=True)
class Fact:
    """One sentence, and either the ids of the ``rows`` that hold its numbers or the ``key`` of a source.

    A sentence with a number rests on rows: the tests look up every number in them. Rows of one fact share their
    source and how they are known.
    """

    text: str
    rows: tuple[str, ...] = ()
    key: str = ""
    known: Known = "read"

    def view(self) -> View:
        """The fact for print, with its citation. Raises SourceDataError for a row or a source that does not exist."""
        reference = load()
        if not self.rows:
            return View(self.text, self.key, _citation(self.key, self.known), self.known)
        first = reference.row(self.rows[0])
        told = f"{', '.join(self.rows)}: {reference.source(first.source).citation}"
        return View(self.text, first.source, told, cast(Known, first.known))


def _citation(key: str, known: Known) -> str:
    """Printable source of a fact without a row; a fact of the trade says so instead of a paper."""
    load().source(key)
    return "common practice" if known == "practice" else load().source(key).citation


def practice(text: str) -> Fact:
    """A fact of the trade without a paper."""
    return Fact(text, key="common-practice", known="practice")


def recalled(text: str) -> Fact:
    """A fact from memory, without a checked source."""
    return Fact(text, key="from-memory", known="recalled")


def judged(text: str) -> Fact:
    """Our own judgement."""
    return Fact(text, key="sinewright-judgement", known="judged")
