"""Legs proposed together, held against the examination."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from sinewright.arrays import Floats, Indices
from sinewright.case import Case
from sinewright.doubt.expect import expect
from sinewright.doubt.prior import LogLikelihood, PriorSampler
from sinewright.doubt.proposal import propose, sizes_of
from sinewright.solve.leg import Legs


@dataclass(frozen=True)
class Block:
    """Legs proposed together, with their sizes by name (N,) [m] and how well they agree with each finding."""

    legs: Legs
    sizes: Mapping[str, Floats]
    log_likelihoods: tuple[LogLikelihood, ...]
    set_aside: tuple[LogLikelihood, ...]
    strength: dict[str, str]
    warnings: tuple[str, ...]
    rows: tuple[str, ...]

    def __len__(self) -> int:
        return len(self.legs.points)


def take(legs: Legs, index: Indices | slice) -> Legs:
    """Some of the legs, by their places."""
    return Legs(*(part[index] for part in legs))


def block_of(case: Case, sampler: PriorSampler) -> Block:
    """Propose legs and hold them against the examination."""
    legs, forces = propose(case, sampler)
    expect(case, legs, sampler)
    return Block(
        legs,
        sizes_of(case, sampler),
        log_likelihoods=tuple(sampler.log_likelihoods),
        set_aside=tuple(sampler.set_aside),
        strength=forces.how,
        warnings=forces.warnings,
        rows=sampler.used,
    )


def joined(parts: tuple[LogLikelihood, ...]) -> LogLikelihood:
    """One finding over several blocks."""
    first, sizes = parts[0], [len(part.value) for part in parts]
    error = None
    if first.error is not None:
        error = np.concatenate([np.broadcast_to(part.error, n) for part, n in zip(parts, sizes, strict=True)])  # type: ignore[arg-type]
    value, predicted = (np.concatenate([getattr(part, name) for part in parts]) for name in ("value", "predicted"))
    return LogLikelihood(
        first.finding, value, first.found, predicted, unit=first.unit, error=error, direct=first.direct
    )
