"""Brings legs to an examination step by step, where hardly any proposal agrees with all of it.

Every leg is a deterministic map of standard normals. Legs start as proposals; the weight of a proposal is switched on
by degrees, at each of which half of what is left may be lost: legs are drawn anew by weight and then moved. A move
shrinks the normals of a leg towards zero and adds fresh ones, which keeps their distribution (preconditioned
Crank-Nicolson), and is accepted by the weight of the leg it leads to. So copies part again.
"""

from __future__ import annotations

import zlib
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import cast

import numpy as np
from scipy.special import betaincinv, ndtr

from sinewright.arrays import Bools, Floats, Indices
from sinewright.doubt.block import Block
from sinewright.doubt.prior import PriorSampler
from sinewright.doubt.sample import kish
from sinewright.doubt.weights import normalised, systematic
from sinewright.solve.passive_torque import INWARD, LOWER, OFFSET, OUTWARD, UPPER

KEPT = 0.5  # effective share at each step
MOVES, LAST_MOVES, MOST_LAST_MOVES = 3, 6, 24
MOST_STEPS = 40
FEWEST_LINEAGES = 10  # under which their number itself is all that the legs are worth
STEP, SMALLEST_STEP = 0.9, 0.1  # share of fresh normals in a move
SELDOM = 0.2  # moves accepted, below which the step is halved
STREAM = 23
Normals = dict[str, list[Floats]]


class _Stored:
    """A stream that hands out stored normals, in the order in which they are asked for; other draws by quantile."""

    def __init__(self, stored: list[Floats], fresh: np.random.Generator) -> None:
        self._stored, self._fresh, self._next = stored, fresh, 0

    def standard_normal(self, size: int | tuple[int, ...]) -> Floats:
        if self._next == len(self._stored):
            self._stored.append(self._fresh.standard_normal(size))
        out = self._stored[self._next]
        self._next += 1
        return out

    def random(self, size: int | tuple[int, ...]) -> Floats:
        return np.asarray(ndtr(self.standard_normal(size)))

    def uniform(self, low: float, high: float, size: int) -> Floats:
        return low + (high - low) * self.random(size)

    def triangular(self, left: float, mode: float, right: float, size: int) -> Floats:
        chance, part = self.random(size), (mode - left) / (right - left)
        rising = left + np.sqrt(chance * (right - left) * (mode - left))
        return np.where(chance < part, rising, right - np.sqrt((1.0 - chance) * (right - left) * (right - mode)))

    def beta(self, a: float, b: float, size: int) -> Floats:
        return np.asarray(betaincinv(a, b, self.random(size)))


class StoredSampler(PriorSampler):
    """Draws that are a map of standard normals, by the name of their stream."""

    def __init__(self, draws: int, seed: int, normals: Normals, without: frozenset[str]) -> None:
        super().__init__(draws, seed, without=without)
        self._seed, self.normals = seed, normals

    def stream(self, name: str) -> np.random.Generator:
        """The stored normals of one name."""
        fresh = np.random.default_rng([self._seed, STREAM, zlib.crc32(name.encode())])
        return cast(np.random.Generator, _Stored(self.normals.setdefault(name, []), fresh))


Make = Callable[[PriorSampler], tuple[Block, Floats]]


@dataclass
class _State:
    """Legs on the way: normals, log weights (N,), the first leg each came from and the move it stands at (N,)."""

    normals: Normals
    log_weight: Floats
    lineage: Indices
    version: Indices
    power: float = 0.0
    step: float = STEP
    proposed: int = 0
    temperatures: int = field(default=0)


@dataclass(frozen=True)
class Tempered:
    """Legs that agree, each with its lineage (N,); what they are worth, and what it took."""

    block: Block
    lineage: Indices
    effective_sample_size: float
    largest: float
    temperatures: int
    proposed: int


def tempered(make: Make, legs: int, fewest: float, seed: int, without: frozenset[str]) -> Tempered:
    """Bring proposals to the examination.

    Parameters
    ----------
    make : gives a block and its log weights for a sampler
    legs : number of proposals
    fewest : share of them that the legs must be worth; they are moved on until they are, or MOST_LAST_MOVES times
    seed : of all draws
    without : findings that are set aside
    """
    rng, normals = np.random.default_rng([seed, STREAM]), Normals()
    _, log_weight = make(StoredSampler(legs, seed, normals, without))
    state = _State(normals, log_weight, np.arange(legs), np.arange(legs), proposed=legs)
    while state.power < 1.0 and state.temperatures < MOST_STEPS:
        power = _next_power(state)
        weight = normalised((power - state.power) * state.log_weight)
        _draw_anew(state, rng.permutation(systematic(weight, legs, rng)))
        state.power, state.temperatures = power, state.temperatures + 1
        for _ in range(MOVES):
            _move(make, state, seed, without, rng)
    for _ in range(MOST_LAST_MOVES // LAST_MOVES):
        for _ in range(LAST_MOVES):
            _move(make, state, seed, without, rng)
        block, _ = make(StoredSampler(legs, seed, state.normals, without))
        copies = np.unique(state.version, return_counts=True)[1]
        worth = min(_worth(block, state.lineage), float(len(copies)))
        if worth >= fewest * legs:
            break
    return Tempered(
        block,
        state.lineage,
        effective_sample_size=worth,
        largest=float(copies.max() / legs),
        temperatures=state.temperatures,
        proposed=state.proposed,
    )


def _next_power(state: _State) -> float:
    """How far the weight may be switched on so that half of the legs still speak."""
    legs = len(state.log_weight)
    low, high = state.power, 1.0
    if kish(normalised((high - state.power) * state.log_weight)) >= KEPT * legs:
        return 1.0
    for _ in range(50):
        middle = 0.5 * (low + high)
        enough = kish(normalised((middle - state.power) * state.log_weight)) >= KEPT * legs
        low, high = (middle, high) if enough else (low, middle)
    return low


def _draw_anew(state: _State, index: Indices) -> None:
    state.normals = {name: [part[index] for part in parts] for name, parts in state.normals.items()}
    state.log_weight = state.log_weight[index]
    state.lineage, state.version = state.lineage[index], state.version[index]


def _move(make: Make, state: _State, seed: int, without: frozenset[str], rng: np.random.Generator) -> None:
    """One move of every leg, accepted or not."""
    legs, kept = len(state.log_weight), np.sqrt(1.0 - state.step**2)
    tried = {
        name: [kept * part + state.step * rng.standard_normal(part.shape) for part in state.normals[name]]
        for name in sorted(state.normals)
    }
    _, log_weight = make(StoredSampler(legs, seed, tried, without))
    gain = np.where(np.isfinite(log_weight), log_weight, -np.inf) - state.log_weight
    accepted: Bools = np.log(rng.random(legs)) < state.power * gain
    for name, parts in state.normals.items():
        state.normals[name] = [
            np.where(accepted.reshape(-1, *(1,) * (part.ndim - 1)), new, part)
            for part, new in zip(parts, tried[name], strict=True)
        ]
    state.log_weight = np.where(accepted, log_weight, state.log_weight)
    state.version = np.where(accepted, state.proposed + np.arange(legs), state.version)
    state.proposed += legs
    if accepted.mean() < SELDOM:
        state.step = max(0.5 * state.step, SMALLEST_STEP)


def _worth(block: Block, lineage: Indices) -> float:
    """Independent legs that these are worth: legs of one lineage may still be alike.

    For each of some quantities the variance of its mean is that of the sums over lineages (Olsson and Douc 2019); the
    quantity that is known worst decides.
    """
    _, place = np.unique(lineage, return_inverse=True)
    if place.max() + 1 < FEWEST_LINEAGES:
        return float(place.max() + 1)
    legs = block.legs
    looked_at = (
        np.log(legs.normal_lift), np.log(legs.muscles[:, :, 0]).sum(axis=1), legs.passive[:, OFFSET],
        legs.passive[:, UPPER], legs.passive[:, LOWER], legs.passive[:, INWARD], legs.passive[:, OUTWARD],
        legs.points.sum(axis=(1, 2)),
    )  # fmt: skip
    worth = []
    for values in looked_at:
        gap = values - values.mean()
        together = np.bincount(place, weights=gap)
        worth.append(float(len(gap) * np.sum(gap**2) / np.sum(together**2)))
    return min(worth)
