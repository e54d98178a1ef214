"""What to measure next: how often would knowing one finding change the leading choice, and what would be gained.

For each finding not measured yet, or only roughly, the worth of every choice is regressed on what the measurement
would show, once perfectly and once with that instrument's error. Expected gain of knowing: the mean of the best
regressed worth less the worth of the best choice today. Under a handful of hundredths nothing is gained.
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

DEGREE = 5  # of the regression polynomial
WORTH_CHANGING = 0.015  # a change of choice that gains less is not counted
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
        often = f"{100 * self.changes_read:.0f} of 100 legs like this one"
        if not self.can_be_measured:
            return (
                f"{self.title} cannot be known beforehand; if it could, the first choice would change in "
                f"{100 * self.changes:.0f} of 100 legs."
            )
        doubt = f"takes away {100 * self.narrows:.0f} % of the doubt about its lift"
        if self.changes_read < 0.01:
            rest = f" but {doubt}" if self.narrows >= TELLS else ""
            return f"{self.how} would not change the first choice{rest}."
        rise = f", and raise the chance to clear by {100 * self.chance:.0f} in 100" if self.chance >= 0.01 else ""
        return f"{self.how} would change the first choice in {often}{rise}."


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
        how = f"Passive lift of the ankle, {name}, with a known torque"
        again = "A second look at passive" if measured is not None else "Passive"
        yield Question(f"{again} lift of the ankle, {name}", how, angle, read, True)


def value(question: Question, met: Met, lift: Floats) -> Answered:
    """Value of knowing one finding, by regression over the legs that found a balance in every choice.

    ``lift`` (N,) of the leading choice, any unit.
    """
    good = np.all(np.isfinite(met.met), axis=(1, 2))
    worth, clears, lifted = met.worth[good], met.met[good, :, 0], lift[good]
    today = int(np.argmax(worth.mean(axis=0)))
    results = []
    for seen in (question.truth[good], question.reading[good]):
        fitted = smooth(seen, worth)
        best = np.argmax(fitted, axis=1)
        gain = fitted[np.arange(len(best)), best] - fitted[:, today]
        changed = gain > WORTH_CHANGING
        chance = smooth(seen, clears)
        rise = np.where(changed, chance[np.arange(len(best)), best] - chance[:, today], 0.0)
        results.append((float(changed.mean()), float(np.where(changed, gain, 0.0).mean()), float(rise.mean())))
    (ideal, gain_ideal, _), (often, gain_read, rise_read) = results
    doubt = max(float(np.var(lifted)), 1e-12)
    narrows = float(np.var(smooth(question.reading[good], lifted[:, None]))) / doubt
    return Answered(
        question.title, question.how, question.can_be_measured, ideal, often, gain_ideal, gain_read, rise_read, narrows
    )


def smooth(seen: Floats, values: Floats) -> Floats:
    """Mean of ``values`` (N, C) given ``seen`` (N,): least squares on a polynomial of the ranks of ``seen``."""
    rank = np.argsort(np.argsort(seen, kind="stable"), kind="stable") / max(len(seen) - 1, 1)
    basis = np.polynomial.legendre.legvander(2.0 * rank - 1.0, DEGREE)
    coefficients, *_ = np.linalg.lstsq(basis, values, rcond=None)
    out: Floats = basis @ coefficients
    return out


def ask(case: Case, legs: Legs, met: Met, lift: Floats, seed: int) -> tuple[Answered, ...]:
    """Every question with its value, the most useful measurement first: by gain, then by doubt taken away."""
    found = [value(question, met, lift) for question in questions(case, legs, seed)]
    return tuple(sorted(found, key=lambda x: (not x.can_be_measured, -round(x.gain_read, 3), -x.narrows)))
