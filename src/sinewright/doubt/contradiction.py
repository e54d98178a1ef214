"""Do the findings of an examination contradict each other?

Each finding is held against what all others lead to: the chance of a reading as far out as it, or farther, among what
virtual legs would show that were drawn without it. A first look is cheap: in a normal problem the gap to what is left
with the finding, over the spread, gives the same. Where that is unusual the legs are drawn again without it. The chance
is that of the most unusual of all findings, so that a long examination is not suspected for its length. What is read
straight off the leg, such as a passive limit, is believed however rare it is; it may be what another fights with.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from scipy.special import ndtr

from sinewright.arrays import Floats
from sinewright.case import Case
from sinewright.doubt.block import joined
from sinewright.doubt.pool import Agreeing, agreeing
from sinewright.doubt.prior import LogLikelihood
from sinewright.doubt.sample import quantile
from sinewright.doubt.weights import normalised
from sinewright.errors import DoubtError
from sinewright.reference import load

WARN, REFUSE = "own-findings-warn", "own-findings-refuse"
UNUSUAL = 2.2  # standard deviations of the first look from which the legs are drawn again
LEAST_LEFT = 0.05  # of the variance of a reading, in the first look
LEGS = 250  # drawn without a finding
FAR_BETTER = 10.0  # times the chance, without the finding that it fights with
LOGARITHM = "ln "  # begins the unit of a finding whose logarithm is compared


@dataclass(frozen=True)
class Contradiction:
    """A finding that all others do not lead to: its chance among ``findings`` of them, and what they lead to.

    ``low``, ``middle``, ``high``: nine tenths and middle of what the others would show, in ``unit``; ``partner``: the
    finding without which it would fit best, with its chance then; empty when it fits without none of them.
    """

    finding: str
    found: float
    low: float
    middle: float
    high: float
    unit: str
    chance: float
    partner: str = ""
    chance_without: float = 0.0


def held_against_each_other(case: Case, drawn: Agreeing, seed: int) -> tuple[str, ...]:
    """Sentences about findings that hardly go together. Raises DoubtError when they cannot."""
    found = most_unusual(case, drawn, seed)
    if found is None or found.chance >= load().fit_value(WARN):
        return ()
    found = with_partner(case, drawn, found, seed)
    if found.chance < load().fit_value(REFUSE):
        raise DoubtError(sentence(found))
    return (sentence(found),)


def most_unusual(case: Case, drawn: Agreeing, seed: int) -> Contradiction | None:
    """The finding that the others lead to least; None when a first look finds nothing unusual."""
    findings = [(part, weight) for part, weight in drawn.findings() if part.error is not None and not part.direct]
    suspects = [part.finding for part, weight in findings if _first_look(part, weight) >= UNUSUAL]
    held = [_held(case, frozenset({name}), name, len(findings), seed) for name in suspects]
    return min(held, key=lambda one: one.chance, default=None)


def _first_look(part: LogLikelihood, weight: Floats) -> float:
    """Standard deviations between a finding and what the others lead to, if all were normal."""
    assert part.error is not None
    middle = float(weight @ part.predicted)
    spread, error = float(weight @ (part.predicted - middle) ** 2), float(weight @ np.square(part.error))
    return abs(part.found - middle) / float(np.sqrt(max(error - spread, LEAST_LEFT * error)))


def _held(case: Case, without: frozenset[str], name: str, findings: int, seed: int) -> Contradiction:
    """One finding against legs that were drawn without it (and perhaps without another)."""
    drawn = agreeing(case, LEGS, seed, without)
    parts = tuple(next(p for p in block.set_aside if p.finding == name) for block in drawn.blocks)
    part, weight = joined(parts), normalised(drawn.log_weight)
    assert part.error is not None
    below = float(weight @ ndtr((part.found - part.predicted) / part.error))
    chance = min(1.0, findings * 2.0 * min(below, 1.0 - below))
    low, middle, high = (float(value) for value in quantile(part.predicted, (0.05, 0.5, 0.95), weight))
    return Contradiction(name, part.found, low, middle=middle, high=high, unit=part.unit, chance=chance)


def with_partner(case: Case, drawn: Agreeing, against: Contradiction, seed: int) -> Contradiction:
    """The contradiction with the finding that it fights with: the one without which it would fit best."""
    others = [p for p in drawn.blocks[0].log_likelihoods if p.error is not None and p.finding != against.finding]
    names, findings = [p.finding for p in others], 1 + sum(not p.direct for p in others)
    found = {
        name: _held(case, frozenset({against.finding, name}), against.finding, findings, seed).chance
        for name in dict.fromkeys(names)
    }
    partner = max(found, key=lambda name: found[name], default="")
    if not partner or found[partner] < FAR_BETTER * against.chance:
        return against
    return replace(against, partner=partner, chance_without=found[partner])


def sentence(one: Contradiction) -> str:
    """What contradicts what, and what to measure again."""
    found, low, middle, high, unit = one.found, one.low, one.middle, one.high, one.unit
    if unit.startswith(LOGARITHM):  # compared as a logarithm, told as what the instrument showed
        found, low, middle, high = (float(np.exp(value)) for value in (found, low, middle, high))
        unit = unit.removeprefix(LOGARITHM)
    told = (
        f"The {one.finding} contradicts the other findings: found {found:.3g} {unit}, the others lead to {middle:.3g} "
        f"{unit} ({low:.3g} to {high:.3g}); {_chance(one.chance)}."
    )
    if one.partner:
        fits = "would fit" if one.chance_without >= load().fit_value(WARN) else "would fit far better"
        return f"{told} Without the {one.partner} it {fits}. Measure these two again, or check side, sign and unit."
    return f"{told} No single other finding explains it. Measure it again, or check side, sign and unit."


def _chance(chance: float) -> str:
    """How rarely true findings lie so far apart."""
    return f"of true examinations {'fewer than 1' if chance < 0.001 else f'about {1000 * chance:.0f}'} in 1000 do so"
