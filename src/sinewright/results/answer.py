"""The answer: what a colleague would say about a weighing in a minute, and the ladder with one rung per donor.

Everything here is read off a `Weighing`; nothing is computed anew. Terminal, app and JSON show the same sentences.
"""

from __future__ import annotations

from dataclasses import dataclass

from sinewright.results.spread import Chance, Spread


@dataclass(frozen=True)
class Danger:
    """A danger that stands beside the answer or on a rung, never folded and never cut off.

    Parameters
    ----------
    code : str
        Code of the rule that speaks.
    word : str
        Two or three words, such as ``blood thinner``.
    advice : str
        What to look to, in a few words; not an order.
    """

    code: str
    """code of the rule that speaks"""
    word: str
    """the danger in two or three words"""
    advice: str
    """what to look to, in a few words; not an order"""


@dataclass(frozen=True)
class Figure:
    """One line of the answer: what it is, the typical value and its range in words, and what print found.

    Parameters
    ----------
    key : str
        Name of the quantity or chance, as in NOMENCLATURE.
    label : str
        The quantity in surgery's words.
    value : str
        The typical value with its unit and direction.
    range : str
        Nine in ten of the virtual legs, or the interval of a share, in words.
    published : str
        What comparable series print, with the number of feet or patients; empty where none does.
    rows : tuple of str
        Rows of the reference behind ``published``.
    """

    key: str
    """name of the quantity or chance"""
    label: str
    """the quantity in surgery's words"""
    value: str
    """the typical value with its unit and direction, in words"""
    range: str
    """nine in ten of the virtual legs, or the interval of a share, in words"""
    published: str = ""
    """what comparable series print; empty where none does"""
    rows: tuple[str, ...] = ()
    """ids of the reference rows behind the published numbers"""


@dataclass(frozen=True)
class Way:
    """One operation of a rung: its number (``1``, ``1b``), its id, route and recipient in words, and its numbers."""

    number: str
    """short number of the operation"""
    id: str
    """name of the operation"""
    words: str
    """route and recipient in words"""
    lift_deg: Spread | None
    """ankle angle, donor at full effort, knee straight; dorsiflexion +"""
    clears: Chance | None
    """the sole passes the floor with the margin, no brace"""
    tied: bool
    """true when the numbers do not tell it from the first"""


@dataclass(frozen=True)
class Rung:
    """All operations with one donor (or pair of donors), the best of them in front.

    Parameters
    ----------
    number : str
        Short number of the rung, ``1`` for the first; it is also the number of its first way.
    title : str
        The donor in surgery's words.
    ways : tuple of Way
        Best first; never empty.
    price : str
        What taking the muscle costs, in a few words.
    left : int
        Other rungs that stay possible when this one fails.
    left_clears : Chance or None
        Chance to clear of the best operation that stays possible, None where nothing does.
    tied : bool
        True when the numbers do not tell this rung from the first.
    dangers : tuple of Danger
        Dangers of this donor or of its best way.
    """

    number: str
    """short number of the rung, and of its first way"""
    title: str
    """the donor in surgery's words"""
    ways: tuple[Way, ...]
    """operations with this donor, best first"""
    price: str
    """what taking the muscle costs"""
    left: int
    """other rungs that stay possible when this one fails"""
    left_clears: Chance | None
    """chance to clear of the best operation that stays possible; null where nothing does"""
    tied: bool
    """true when the numbers do not tell it from the first"""
    dangers: tuple[Danger, ...] = ()
    """dangers of this donor or of its best way"""

    @property
    def best(self) -> Way:
        """The way that stands in front."""
        return self.ways[0]


@dataclass(frozen=True)
class RuledOut:
    """A donor of which no operation can be offered, with the reason that stands against most of them."""

    title: str
    """the donor in words"""
    reason: str
    """the reason that stands against most of its operations"""


@dataclass(frozen=True)
class Opening:
    """One change that would put an operation back on the ladder."""

    code: str
    """name of the rule that it silences; "several" where no single change opens anything"""
    change: str
    """the change in words"""
    opens: tuple[str, ...]
    """ids of the operations that it alone would open"""


@dataclass(frozen=True)
class Answer:
    """The first screen of a weighing.

    Parameters
    ----------
    sentences : tuple of str
        One to four sentences: what the numbers lean to and how firmly, the calf, what stays. Never an order.
    dangers : tuple of Danger
        Dangers of this patient, whatever is moved.
    figures : tuple of Figure
        The few lines below the sentences.
    why_differ : str
        Why the published numbers and these differ; empty where nothing is published.
    rungs : tuple of Rung
        One for each donor, best on top; empty when no operation can be offered.
    ruled_out : tuple of RuledOut
        Donors of which nothing can be offered.
    """

    sentences: tuple[str, ...]
    """what the numbers lean to and how firmly; never an order"""
    dangers: tuple[Danger, ...] = ()
    """dangers of this patient, whatever is moved"""
    figures: tuple[Figure, ...] = ()
    """the few numbers below the sentences"""
    why_differ: str = ""
    """why the published numbers and these differ; empty where nothing is published"""
    rungs: tuple[Rung, ...] = ()
    """one for each donor, best on top"""
    ruled_out: tuple[RuledOut, ...] = ()
    """donors of which nothing can be offered"""

    def numbers(self) -> dict[str, str]:
        """Ids of the operations by their short numbers."""
        return {way.number: way.id for rung in self.rungs for way in rung.ways}
