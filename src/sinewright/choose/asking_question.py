"""One finding that could be measured, and what stands ready to make it: the legs as examined, and readings with error.

Every question has a random stream of its own title, so that adding one leaves the others where they were.
"""

import zlib
from dataclasses import dataclass

import numpy as np

from sinewright.arrays import Floats
from sinewright.case import Case
from sinewright.doubt.virtual import Virtual
from sinewright.solve.leg import Legs


@dataclass(frozen=True)
class Question:
    """One finding that could be measured: its true value in every leg (N,), what an instrument would read (N,).

    ``field``: where the answer goes in the case, empty when the case has no place for it; ``rows``: ids of the rows
    that give the error of the instrument; ``again``: measured already, asked again only when that would tell something.
    """

    title: str
    how: str
    truth: Floats
    reading: Floats
    can_be_measured: bool = True
    field: str = ""
    rows: tuple[str, ...] = ()
    again: bool = False


@dataclass(frozen=True)
class Examined:
    """The virtual legs of a case as they were when it was examined, before any procedure."""

    case: Case
    virtual: Virtual
    seed: int

    @property
    def legs(self) -> Legs:
        """The legs as they are now."""
        return self.virtual.now

    def noise(self, title: str) -> Floats:
        """Standard normal error of one instrument, (N,)."""
        stream = np.random.default_rng([self.seed, 11, zlib.crc32(title.encode())])
        return stream.standard_normal(len(self.legs.points))

    def off_by(self, title: str, truth: Floats, sd: float) -> Floats:
        """Readings (N,) with a normal error ``sd`` in the unit of ``truth``."""
        return truth + sd * self.noise(title)

    def off_by_share(self, title: str, truth: Floats, cv: float) -> Floats:
        """Readings (N,) of a positive quantity with a log-normal error of this coefficient of variation."""
        out: Floats = truth * np.exp(np.sqrt(np.log1p(cv**2)) * self.noise(title))
        return out
