"""Proposed legs in blocks, weighed against the examination until enough of them agree; what is kept is drawn by weight.

Importance weights, systematic resampling. Where even the last block leaves too few, or the weights have too heavy a
tail, the legs are brought to the examination step by step (``doubt.temper``).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from sinewright.arrays import Floats
from sinewright.case import Case
from sinewright.doubt.block import Block, block_of, joined, take
from sinewright.doubt.prior import LogLikelihood, PriorSampler
from sinewright.doubt.sample import Sample, kish
from sinewright.doubt.tail import tail_index
from sinewright.doubt.temper import tempered
from sinewright.doubt.weights import log_weights, normalised, systematic
from sinewright.errors import DoubtError
from sinewright.reference import load
from sinewright.solve.leg import Legs

BLOCK, LEAST_BLOCK, PER_LEG = 4000, 2000, 4  # legs proposed at once; for few legs four for each, and at least
LOOKED_AT = 2  # blocks after which it is asked whether the others can be enough
WANTED, MOST, TAIL, FEWEST = (
    "own-sampler-wanted", "own-sampler-most-proposals", "own-sampler-tail", "own-sampler-fewest",
)  # fmt: skip
ROWS = (WANTED, MOST, TAIL, FEWEST)
TOO_FEW = "too few legs, not a finding"


@dataclass(frozen=True)
class Agreeing:
    """Legs that agree with an examination, before any procedure, and every proposal that they were drawn from.

    ``log_weight`` (P,) of the proposals, whose blocks are kept for what each finding says of them.
    """

    legs: Legs
    sizes: Mapping[str, Floats]
    sample: Sample
    blocks: tuple[Block, ...]
    log_weight: Floats

    def findings(self) -> list[tuple[LogLikelihood, Floats]]:
        """Each finding with what every proposal predicts of it, and the weights (P,) of the proposals."""
        weight = normalised(self.log_weight)
        return [(joined(parts), weight) for parts in zip(*(b.log_likelihoods for b in self.blocks), strict=True)]


def agreeing(case: Case, legs: int, seed: int, without: frozenset[str] = frozenset()) -> Agreeing:
    """Legs that agree with the examination of a case.

    Parameters
    ----------
    case : the patient
    legs : number that are kept
    seed : of all streams
    without : findings that are set aside
    """
    limit = load().fit_value
    size = max(LEAST_BLOCK, min(PER_LEG * legs, BLOCK))
    blocks: list[Block] = []
    log_weight = np.empty(0)
    while True:
        sampler = PriorSampler(size, seed, block=len(blocks), without=without)
        blocks.append(block_of(case, sampler))
        log_weight = np.concatenate([log_weight, log_weights(blocks[-1].log_likelihoods, size)])
        effective, proposed = kish(normalised(log_weight)), len(log_weight)
        most = max(limit(MOST), size)
        enough = effective >= limit(WANTED) * legs
        hopeless = len(blocks) >= LOOKED_AT and effective / proposed * most < legs
        if enough or hopeless or proposed + size > most:
            break
    tail = tail_index(log_weight)
    if effective >= legs and tail <= limit(TAIL):
        return _kept(blocks, log_weight, legs, seed, tail)
    return _moved(case, len(log_weight), legs, seed, without)


def _kept(blocks: list[Block], log_weight: Floats, legs: int, seed: int, tail: float) -> Agreeing:
    """Legs drawn from the pool by their weight."""
    weight, rng = normalised(log_weight), np.random.default_rng([seed, 1])
    origin = rng.permutation(systematic(weight, legs, rng))
    ends = np.cumsum([len(block) for block in blocks])
    of, first = np.searchsorted(ends, origin, side="right"), blocks[0]
    order = np.argsort(of, kind="stable")
    back = np.argsort(order, kind="stable")
    places = [origin[of == b] - (ends[b] - len(block)) for b, block in enumerate(blocks)]
    picked = [take(block.legs, some) for block, some in zip(blocks, places, strict=True)]
    sizes = {
        name: np.concatenate([block.sizes[name][some] for block, some in zip(blocks, places, strict=True)])[back]
        for name in first.sizes
    }
    sample = Sample(origin, len(log_weight), kish(weight), largest=float(weight.max()), tail=tail, seed=seed)
    together = Legs(*(np.concatenate(parts)[back] for parts in zip(*picked, strict=True)))
    return Agreeing(together, sizes, sample, tuple(blocks), log_weight)


def _moved(case: Case, proposed: int, legs: int, seed: int, without: frozenset[str]) -> Agreeing:
    """Legs brought to the examination step by step, after so many were proposed in vain."""

    def make(sampler: PriorSampler) -> tuple[Block, Floats]:
        block = block_of(case, sampler)
        return block, log_weights(block.log_likelihoods, len(block))

    found = tempered(make, max(legs, BLOCK // PER_LEG), load().fit_value(FEWEST), seed, without)
    index = slice(legs)
    sample = Sample(
        found.lineage[index],
        proposed + found.proposed,
        found.effective_sample_size,
        largest=found.largest,
        temperatures=found.temperatures,
        seed=seed,
    )
    block = found.block
    return Agreeing(
        take(block.legs, index),
        {name: values[index] for name, values in block.sizes.items()},
        sample,
        (block,),
        np.zeros(len(block)),
    )


def refuse_too_few(sample: Sample) -> None:
    """Raises DoubtError when too few independent legs are left after every step to speak of a share."""
    fewest = load().fit_value(FEWEST) * len(sample)
    if sample.effective_sample_size < fewest:
        raise DoubtError(
            f"Only {sample.effective_sample_size:.0f} independent virtual legs could be brought to agree with all "
            f"findings, {fewest:.0f} are needed: {TOO_FEW}. {sample.pool} were proposed. Try another seed, or check "
            "the findings for side, sign and unit."
        )
