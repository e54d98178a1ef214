"""What to measure next: how often would knowing one finding change the leading choice, and what would be gained.

For each finding not measured yet, or only roughly, the worth of every choice less that of the first choice is regressed
on what the measurement would show, once perfectly and once with that instrument's error. Expected gain of knowing: the
mean of the best regressed difference. A curve is fitted only as far as the legs bear it out, so that a measurement that
says nothing gains nothing, however many are asked about; a change of choice that gains less than a hundredth or two
is not counted. What was measured is asked again only where a second reading would tell something.
"""

from collections.abc import Iterator
from functools import lru_cache

import numpy as np

from sinewright.arrays import Floats
from sinewright.case import Case
from sinewright.choose.asking_angles import questions_of_angles
from sinewright.choose.asking_body import questions_of_body
from sinewright.choose.asking_question import Examined, Question
from sinewright.choose.asking_strength import questions_of_strength
from sinewright.choose.goals import NO_BRACE, Met
from sinewright.doubt.virtual import Virtual
from sinewright.results import Answered
from sinewright.solve.leg import LEARNED, SCAR

DEGREE = 5  # the highest of the regression polynomial
WORTH_CHANGING = 0.015  # a change of choice that gains less is not counted


def questions(case: Case, virtual: Virtual, seed: int) -> Iterator[Question]:
    """Every finding whose true value the legs carry and that is unmeasured or rough, with what would be read."""
    examined = Examined(case, virtual, seed)
    yield from questions_of_strength(examined)
    yield from questions_of_angles(examined)
    yield from questions_of_body(examined)
    losses = virtual.legs.losses
    for title, column in (("Scar and gliding of the moved tendon", SCAR), ("How well the muscle learns", LEARNED)):
        yield Question(title, title, losses[:, column], losses[:, column], can_be_measured=False)


def value(question: Question, met: Met, lift: Floats, asked: int = 1) -> Answered:
    """Value of knowing one finding. ``lift`` (N,) of the leading choice, any unit, NaN where it found no balance.

    ``asked``: among how many questions this is one, see ``smooth``.
    A leg without a balance in some choice counts there with the mean of that choice, which moves no mean.
    """
    utility, clears = _filled(met.utility), _filled(met.met[:, :, NO_BRACE])
    first = int(np.argmax(utility.mean(axis=0)))
    ideal = _knowing(question.truth, utility, clears, first, asked)
    read = _knowing(question.reading, utility, clears, first, asked)
    good = np.isfinite(lift)
    doubt = max(float(np.var(lift[good])), 1e-12)
    narrows = float(np.var(smooth(question.reading[good], lift[good, None], asked))) / doubt
    return Answered(
        question.title,
        question.how,
        question.can_be_measured,
        changes=ideal[0],
        changes_read=read[0],
        gain=ideal[1],
        gain_read=read[1],
        chance=read[2],
        narrows=narrows,
        rows=question.rows,
        field=question.field,
        again=question.again,
    )


def _filled(values: Floats) -> Floats:
    """(N, C) with the mean of the choice where a leg was not solved."""
    return np.where(np.isfinite(values), values, np.nanmean(values, axis=0)[None])


def _knowing(seen: Floats, utility: Floats, clears: Floats, first: int, asked: int) -> tuple[float, float, float]:
    """How often ``seen`` (N,) changes the first choice, gain in worth, rise of the chance to clear; (N, C) each."""
    better = smooth(seen, utility - utility[:, [first]], asked)
    best, legs = np.argmax(better, axis=1), np.arange(len(seen))
    gain = better[legs, best]
    changed = gain > WORTH_CHANGING
    chance = smooth(seen, clears - clears[:, [first]], asked)[legs, best]
    return float(changed.mean()), float(np.mean(changed * gain)), float(np.mean(changed * chance))


def smooth(seen: Floats, values: Floats, asked: int = 1) -> Floats:
    """Mean of ``values`` (N, C) given ``seen`` (N,): least squares on a polynomial of the ranks of ``seen``.

    Each column gets the degree, up to DEGREE, with the least n ln(squares left) + degree (ln n + 2 ln(C asked)):
    Schwarz's criterion, sharper the more columns and the more questions there are, since chance makes one of many
    choices look better and one of many readings look worth while.
    """
    n, columns = values.shape
    basis = _polynomials(n)[np.argsort(np.argsort(seen, kind="stable"), kind="stable")]
    along = basis.T @ values
    left = np.sum(values**2, axis=0) - np.cumsum(along**2, axis=0)
    degree = np.arange(DEGREE + 1)[:, None]
    cost = n * np.log(np.maximum(left, 1e-12 * n)) + degree * (np.log(n) + 2.0 * np.log(columns * asked))
    out: Floats = basis @ np.where(degree <= np.argmin(cost, axis=0), along, 0.0)
    return out


@lru_cache(maxsize=4)
def _polynomials(n: int) -> Floats:
    """Orthonormal polynomials (n, DEGREE + 1) over n ranks."""
    ranks = np.arange(n) / max(n - 1, 1)
    basis, _ = np.linalg.qr(np.polynomial.legendre.legvander(2.0 * ranks - 1.0, DEGREE))
    return basis


def ask(case: Case, virtual: Virtual, met: Met, lift: Floats, seed: int) -> tuple[Answered, ...]:
    """Every question with its value, the most useful measurement first: by gain, then by doubt taken away."""
    asked = tuple(questions(case, virtual, seed))
    found = [value(question, met, lift, len(asked)) for question in asked]
    found = [each for each in found if each.tells or not each.again]
    return tuple(sorted(found, key=lambda x: (not x.can_be_measured, -round(x.gain_read, 3), -x.narrows)))
