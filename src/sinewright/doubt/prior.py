"""Draws from single rows of the reference room, which rows were used, and what each finding says of a draw."""

import zlib
from dataclasses import dataclass

import numpy as np

from sinewright.arrays import Floats
from sinewright.errors import DoubtError
from sinewright.reference import Row, load


@dataclass(frozen=True)
class LogLikelihood:
    """How well each draw agrees with one finding: ``value`` (N,), and the finding and its prediction in words.

    ``predicted`` (N,), ``found`` and the standard deviation ``error`` of the reading share the unit; the ``value``
    alone gives weight. Without an error it is no finding: it corrects the density of a proposal. ``direct``: read
    off one quantity of the leg, such as a passive limit, which is believed however rare it is.
    """

    finding: str
    value: Floats
    found: float
    predicted: Floats
    unit: str
    error: Floats | float | None = None
    direct: bool = False


class PriorSampler:
    """Gives row values and draws from rows; remembers every row id it handed out, in order of first use.

    Parameters
    ----------
    draws : number of legs
    seed : of every stream
    redrawn : beginnings of the names of streams that are drawn afresh with ``other_seed``, all others staying as they
        were, which is what a sensitivity needs
    block : further legs of the same seed
    without : findings that are set aside, to see what all others lead to
    """

    def __init__(
        self,
        draws: int,
        seed: int,
        redrawn: tuple[str, ...] = (),
        other_seed: int = 0,
        *,
        block: int = 0,
        without: frozenset[str] = frozenset(),
    ) -> None:
        self.draws = draws
        self.without = without
        self._seed = seed
        self._redrawn = redrawn
        self._other_seed = other_seed
        self._block = (block,) if block else ()
        self._used: dict[str, None] = {}
        self.log_likelihoods: list[LogLikelihood] = []
        self.set_aside: list[LogLikelihood] = []

    @property
    def used(self) -> tuple[str, ...]:
        """Ids of all rows used so far."""
        return tuple(self._used)

    def stream(self, name: str) -> np.random.Generator:
        """A random stream that belongs to one name: adding another quantity does not move this one."""
        seed = self._other_seed if name.startswith(self._redrawn) and self._redrawn else self._seed
        return np.random.default_rng([seed, zlib.crc32(name.encode()), *self._block])

    def observe(
        self, finding: str, found: float, predicted: Floats, sd: Floats | float, unit: str, direct: bool = False
    ) -> None:
        """Take down a reading with a normal error ``sd`` around what each draw predicts, all in ``unit``."""
        width = np.broadcast_to(np.asarray(sd, dtype=np.float64), (self.draws,))
        score = -0.5 * ((found - predicted) / width) ** 2 - np.log(width)
        kept = self.set_aside if finding in self.without else self.log_likelihoods
        kept.append(LogLikelihood(finding, score, found, predicted, unit=unit, error=width, direct=direct))

    def note(self, *ids: str) -> None:
        """Remember rows used elsewhere."""
        self._used.update(dict.fromkeys(ids))

    def row(self, id: str) -> Row:
        """The row, which must be one that may set a parameter."""
        load().fit_value(id)
        self.note(id)
        return load().row(id)

    def value(self, id: str) -> float:
        """The value of a row in its own unit."""
        return self.row(id).value

    def normal(self, id: str, sd: float | None = None) -> Floats:
        """Draws (N,) around a row with its own spread (sd, or cv times the value), in its own unit."""
        row = self.row(id)
        spread = sd if sd is not None else _sd(row)
        return row.value + spread * self.stream(id).standard_normal(self.draws)

    def lognormal(self, id: str, cv: float | None = None) -> Floats:
        """Positive draws (N,) with the row as median and its cv, in its own unit."""
        row = self.row(id)
        width = np.sqrt(np.log1p((cv if cv is not None else _sd(row) / row.value) ** 2))
        out: Floats = row.value * np.exp(width * self.stream(id).standard_normal(self.draws))
        return out

    def between(self, id: str) -> Floats:
        """Draws (N,) over the printed range with the value as most likely place (triangular)."""
        row = self.row(id)
        low, high = _range(row)
        return self.stream(id).triangular(low, row.value, high, self.draws)


def _sd(row: Row) -> float:
    if row.sd is not None:
        return row.sd
    raise DoubtError(f"the row {row.id} has no spread to draw from")


def _range(row: Row) -> tuple[float, float]:
    if row.spread_kind != "range":
        raise DoubtError(f"the row {row.id} has no range to draw from")
    return row.spread_ends
