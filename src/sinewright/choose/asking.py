"""What to measure next: how often would knowing one finding change the leading choice, and what would be gained.

For each finding not measured yet, or only roughly, the worth of every choice less that of the first choice is regressed
on what the measurement would show, once perfectly and once with that instrument's error. Expected gain of knowing: the
mean of the best regressed difference. A curve is fitted only as far as the legs bear it out, so that a measurement that
says nothing gains nothing; a change of choice that gains less than a hundredth or two is not counted.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sinewright.case import Case
from sinewright.choose.goals import Met
from sinewright.muscle.names import LEG_MUSCLES
from sinewright.muscle.now import OTHER_SIDE_ROW, measurement_cv
from sinewright.reference import load
from sinewright.solve.leg import DRIVE, SCAR, Legs
from sinewright.solve.resist import TILT_STIFFNESS, UPPER, UPPER_KNEE
from sinewright.transfer.surgery import DONORS
from sinewright.units import deg, rad

Floats = NDArray[np.float64]

DEGREE = 5  # the highest of the regression polynomial
WORTH_CHANGING = 0.015  # a change of choice that gains less is not counted
LEAST_TOLD = 0.01  # shares under this are said as nothing
TELLS = 0.03  # share of the doubt about lift under which a measurement is said to tell nothing
GONIOMETER_ROW = "me-wb-df-goniometer-sem-konor2012"
SUBTALAR_STIFFNESS_CV = 0.2  # an instrumented hindfoot test; own choice
OTHER_LEG_CV = 0.1  # a fixed dynamometer; own choice on top of the difference between legs


@dataclass(frozen=True)
class Question:
    """One finding that could be measured: its true value in every leg (N,), what an instrument would read (N,)."""

    title: str
    how: str
    truth: Floats
    reading: Floats
    can_be_measured: bool


@dataclass(frozen=True)
class Answered:
    """Value of one finding. Shares are of the legs, gains are in worth (0..1) and in chance of the first goal.

    ``changes``: how often an ideal value would change the leading choice for something better; ``changes_read`` the
    same for the instrument; ``gain``, ``gain_read``: expected gain in worth; ``chance``: expected rise of the chance to
    clear without a brace when the choice follows the instrument; ``narrows``: share of the doubt (variance) about the
    lift of the leading choice that the instrument takes away.
    """

    title: str
    how: str
    can_be_measured: bool
    changes: float
    changes_read: float
    gain: float
    gain_read: float
    chance: float
    narrows: float

    def sentence(self) -> str:
        """One sentence for the surgeon."""
        if not self.can_be_measured:
            knowing = f"would change the first choice in {100 * self.changes:.0f} of 100 legs like this one"
            told = knowing if self.changes >= LEAST_TOLD else "would not change the first choice"
            return f"{self.title} cannot be known beforehand; knowing it {told}."
        doubt = f"takes away {100 * self.narrows:.0f} % of the doubt about its lift"
        if self.changes_read < LEAST_TOLD:
            rest = f" but {doubt}" if self.narrows >= TELLS else ""
            return f"{self.how} would not change the first choice{rest}."
        rise = f" and raise the chance to clear by {100 * self.chance:.0f} in 100" if self.chance >= LEAST_TOLD else ""
        return (
            f"{self.how} would change the first choice in {100 * self.changes_read:.0f} of 100 legs like this one "
            f"(known without error: {100 * self.changes:.0f}){rise}."
        )


def questions(case: Case, legs: Legs, seed: int) -> Iterator[Question]:
    """Every finding that is unmeasured or rough, with what its measurement would read in each leg."""
    rng = np.random.default_rng([seed, 11])
    yield from _strengths(case, legs, rng)
    yield from _limits(case, legs, rng)
    stiffness = legs.resist[:, TILT_STIFFNESS]
    read = stiffness * np.exp(SUBTALAR_STIFFNESS_CV * rng.standard_normal(len(stiffness)))
    yield Question("Stiffness of the hindfoot", "An instrumented test of the hindfoot", stiffness, read, True)
    if case.torque.other.dorsiflexion_Nm is None:
        read = legs.normal_lift * np.exp(OTHER_LEG_CV * rng.standard_normal(len(stiffness)))
        yield Question(
            "Lifting torque of the other leg",
            "Lifting torque of the other leg on a dynamometer",
            legs.normal_lift,
            read,
            True,
        )
    for title, column in (("Scar and gliding of the moved tendon", SCAR), ("How well the muscle learns", DRIVE)):
        yield Question(title, title, legs.losses[:, column], legs.losses[:, column], False)


def _strengths(case: Case, legs: Legs, rng: np.random.Generator) -> Iterator[Question]:
    cv, _ = measurement_cv("hand-held")
    side = load().fit_value(OTHER_SIDE_ROW) / 100.0
    scatter = np.sqrt(2.0 * np.log1p(cv**2) + np.log1p(side**2))
    for donor in DONORS:
        share = legs.ceiling[:, LEG_MUSCLES.index(donor.muscle)]
        found = getattr(case.muscles, donor.muscle)
        if not np.any(share > 0.0) or found.force_N is not None or found.torque_Nm is not None:
            continue
        read = share * np.exp(scatter * rng.standard_normal(len(share)))
        name = donor.title[0].lower() + donor.title[1:]
        yield Question(f"Strength of the {name}", f"A dynamometer on the {name}, both legs,", share, read, True)


def _limits(case: Case, legs: Legs, rng: np.random.Generator) -> Iterator[Question]:
    error, n = load().row(GONIOMETER_ROW).high, len(legs.resist)
    straight = deg(legs.resist[:, UPPER])
    bent = deg(legs.resist[:, UPPER] + legs.resist[:, UPPER_KNEE] * rad(90.0))
    found = case.range.affected
    for name, angle, measured in (
        ("knee straight", straight, found.dorsiflexion_knee_straight_deg),
        ("knee bent", bent, found.dorsiflexion_knee_bent_deg),
    ):
        read = angle + error * rng.standard_normal(n)
        title = f"Passive lift of the ankle, {name}"
        again = "A second reading of the passive" if measured is not None else "The passive"
        yield Question(title, f"{again} lift of the ankle, {name}, with a known torque,", angle, read, True)


def value(question: Question, met: Met, lift: Floats) -> Answered:
    """Value of knowing one finding. ``lift`` (N,) of the leading choice, any unit, NaN where it found no balance.

    A leg without a balance in some choice counts there with the mean of that choice, which moves no mean.
    """
    goals = np.where(np.isfinite(met.met), met.met, met.means[None])
    worth, clears = goals @ met.weights, goals[:, :, 0]
    first = int(np.argmax(worth.mean(axis=0)))
    ideal = _knowing(question.truth, worth, clears, first)
    read = _knowing(question.reading, worth, clears, first)
    good = np.isfinite(lift)
    doubt = max(float(np.var(lift[good])), 1e-12)
    narrows = float(np.var(smooth(question.reading[good], lift[good, None]))) / doubt
    return Answered(
        question.title, question.how, question.can_be_measured, ideal[0], read[0], ideal[1], read[1], read[2], narrows
    )


def _knowing(seen: Floats, worth: Floats, clears: Floats, first: int) -> tuple[float, float, float]:
    """How often ``seen`` (N,) changes the first choice, gain in worth, rise of the chance to clear; (N, C) each."""
    better = smooth(seen, worth - worth[:, [first]])
    best, legs = np.argmax(better, axis=1), np.arange(len(seen))
    gain = better[legs, best]
    changed = gain > WORTH_CHANGING
    chance = smooth(seen, clears - clears[:, [first]])[legs, best]
    return float(changed.mean()), float(np.mean(changed * gain)), float(np.mean(changed * chance))


def smooth(seen: Floats, values: Floats) -> Floats:
    """Mean of ``values`` (N, C) given ``seen`` (N,): least squares on a polynomial of the ranks of ``seen``.

    Each column gets the degree, up to DEGREE, with the least n ln(squares left) + degree (ln n + 2 ln C): Schwarz's
    criterion, sharper the more columns there are, since chance makes one of many choices look better.
    """
    n, columns = values.shape
    rank = np.argsort(np.argsort(seen, kind="stable"), kind="stable") / max(n - 1, 1)
    basis, _ = np.linalg.qr(np.polynomial.legendre.legvander(2.0 * rank - 1.0, DEGREE))
    along = basis.T @ values
    left = np.sum(values**2, axis=0) - np.cumsum(along**2, axis=0)
    degree = np.arange(DEGREE + 1)[:, None]
    cost = n * np.log(np.maximum(left, 1e-12 * n)) + degree * (np.log(n) + 2.0 * np.log(columns))
    out: Floats = basis @ np.where(degree <= np.argmin(cost, axis=0), along, 0.0)
    return out


def ask(case: Case, legs: Legs, met: Met, lift: Floats, seed: int) -> tuple[Answered, ...]:
    """Every question with its value, the most useful measurement first: by gain, then by doubt taken away."""
    found = [value(question, met, lift) for question in questions(case, legs, seed)]
    return tuple(sorted(found, key=lambda x: (not x.can_be_measured, -round(x.gain_read, 3), -x.narrows)))
