"""How strong a muscle is now, as a share of what it would be in this person unharmed.

Order of trust: a state without contraction (absent, paralysed) is exactly 0; then a measured torque or force
against the other side; then a measured torque against the draw's model torque; then a grade by hand, a wide
distribution; then a state alone, a named wide assumption. What is set aside is said.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal, get_args

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import ndtr, ndtri

from sinewright.arrays import Floats
from sinewright.errors import InputError
from sinewright.reference import Row, load

State = Literal["normal", "weak", "recovering", "paralysed", "absent", "scarred"]
Role = Literal["dorsiflexor", "donor"]
Method = Literal["hand-held", "fixed"]

GONE: tuple[State, ...] = ("paralysed", "absent")
STATES: tuple[State, ...] = get_args(State)

# Of two bands for one grade the wider is taken: a grade by hand is a poor input (gr-grade4-span-elbow-macavoy2007).
LADDERS: dict[Role, tuple[tuple[float, str], ...]] = {
    "dorsiflexor": tuple((float(grade), f"gr-prior-df-grade-{grade}") for grade in range(6)),
    "donor": (
        *((float(grade), f"gr-prior-df-grade-{grade}") for grade in range(3)),
        (3.0, "gr-prior-donor-grade-3"),
        (4.0, "gr-prior-df-grade-4"),
        (4.0 + 1 / 3, "gr-prior-donor-grade-4plus"),
        (5.0, "gr-prior-df-grade-5"),
    ),
}
STATE_ROWS: dict[State | None, str] = {
    "weak": "own-muscle-strength-weak",
    "recovering": "own-muscle-strength-recovering",
    "scarred": "own-muscle-strength-scarred",
    None: "own-muscle-strength-unexamined",
}
HAND_HELD_ROW = "me-myositis-dynamometer-sem-pmc5875759"
FIXED_ROWS = ("me-isokinetic-retest-neuropathy", "me-isokinetic-axis-shift")
OTHER_SIDE_ROW = "me-other-leg-not-perfect"
HIDDEN_ROW = "own-hidden-weakness-share"
NOTHING_MEASURED_ROW = "gr-prior-df-grade-2"

MOST = 1.2  # no muscle is taken to be stronger than this share of its own normal
BEYOND = 0.1  # the printed range is widened by a tenth at both ends; 96 % of Beta(2, 2) then lies inside it


@dataclass(frozen=True, slots=True)
class Reading:
    """One dynamometer reading: `torque` [N.m], or `force` [N] with its `lever` [m]. Inside units are SI."""

    torque: float | None = None
    force: float | None = None
    lever: float | None = None

    def moment(self) -> float | None:
        """Return the torque [N.m]; None for a force whose lever is not known."""
        if self.torque is not None:
            return self.torque
        return None if self.force is None or self.lever is None else self.force * self.lever


@dataclass(frozen=True, slots=True)
class StrengthNow:
    """`fraction` (draws,) of own normal; `how` in words; `known` as in the evidence; `rows`; `warnings`."""

    fraction: Floats
    how: str
    known: str
    rows: tuple[str, ...]
    warnings: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Band:
    """A printed range [1]: `low`, `middle` (printed median, else the middle), `high`; `rows` used."""

    low: float
    middle: float
    high: float
    rows: tuple[str, ...]

    @property
    def ends(self) -> tuple[float, float]:
        """Support of the draws: the range widened by a tenth at both ends, never below 0."""
        more = BEYOND * (self.high - self.low)
        return max(0.0, self.low - more), self.high + more

    def draw(self, draws: int, rng: np.random.Generator) -> Floats:
        """Return (draws,) from a beta distribution on `ends` with a + b = 4 and its median at `middle`.

        The median of Beta(a, b) is near (a - 1/3)/(a + b - 2/3); about 96 % lies inside the printed range.
        """
        bottom, top = self.ends
        if top == bottom:
            return np.full(draws, bottom)
        a = 1 / 3 + 10 / 3 * (self.middle - bottom) / (top - bottom)
        return np.asarray(bottom + (top - bottom) * rng.beta(a, 4.0 - a, draws))


def grade_position(grade: str) -> float:
    """Return the place of a grade on the scale: "4" is 4, "4+" a third above, "5-" a third below 5."""
    if not re.fullmatch(r"[0-5][+-]?", grade) or grade in ("0-", "5+"):
        raise InputError("grade", f'"{grade}"', '"0" to "5", with - or + where used', "write the grade in quotes")
    return int(grade[0]) + {"": 0.0, "+": 1 / 3, "-": -1 / 3}[grade[1:]]


def grade_band(grade: str, role: Role) -> Band:
    """Return the band of a grade by hand; grades between two rows are interpolated in the logarithm."""
    at, ladder = grade_position(grade), LADDERS[role]
    for place, row in ladder:
        if abs(at - place) < 1e-9:
            return _band(load().row(row))
    upper = next(i for i, (place, _) in enumerate(ladder) if place > at)
    (x0, below), (x1, above) = ladder[upper - 1], ladder[upper]
    return _between(_band(load().row(below)), _band(load().row(above)), (at - x0) / (x1 - x0))


def _band(row: Row) -> Band:
    load().fit_value(row.id)
    unit = 0.01 if row.unit == "%" else 1.0
    printed = re.search(r"median (\d+(?:\.\d+)?)", row.note)
    middle = float(printed[1]) if printed else row.value
    return Band(row.low * unit, middle * unit, row.high * unit, (row.id,))


def _between(a: Band, b: Band, t: float) -> Band:
    def mix(x: float, y: float) -> float:
        return float(x ** (1 - t) * y**t) if x > 0.0 else t * y

    return Band(mix(a.low, b.low), mix(a.middle, b.middle), mix(a.high, b.high), a.rows + b.rows)


def measurement_cv(method: Method) -> tuple[float, tuple[str, ...]]:
    """Return the error of one strength reading as coefficient of variation [1], and the rows used.

    Hand-held: the middle of the printed standard errors. Fixed dynamometer: retest and axis shift together.
    """
    value = load().fit_value
    if method == "hand-held":
        return value(HAND_HELD_ROW) / 100, (HAND_HELD_ROW,)
    retest, axis_shift = (value(row) / 100 for row in FIXED_ROWS)
    return float(np.hypot(retest, axis_shift)), FIXED_ROWS


def _share_given(ratio: Floats, cvs: tuple[float, ...], rng: np.random.Generator) -> Floats:
    """(draws,) shares of own normal, given a measured ratio (draws,) with independent log-normal errors ``cvs``.

    Before the reading every share up to MOST is equally likely. Then ln(share) is normal around ln(ratio) + s^2 with
    s^2 = sum ln(1 + cv^2), cut off at ln(MOST): the flat share gives the s^2.
    """
    variance = float(np.sum(np.log1p(np.square(cvs))))
    centre, sd = np.log(ratio) + variance, np.sqrt(variance)
    highest = ndtr((np.log(MOST) - centre) / sd)
    return np.asarray(np.exp(centre + sd * ndtri(rng.random(ratio.shape) * highest)))


def from_grade(grade: str, role: Role, draws: int, rng: np.random.Generator) -> StrengthNow:
    """Return the strength that a grade by hand allows: wide, an assumption.

    A donor felt as strong may be weak all the same (hand grading misses about half of side differences): a share of
    the draws of a grade above 4 is taken from grade 4.
    """
    band = grade_band(grade, role)
    if role == "donor" and grade_position(grade) > 4.0:
        share, weak = load().fit_value(HIDDEN_ROW), grade_band("4", role)
        hidden = rng.random(draws) < share
        strength = np.where(hidden, weak.draw(draws, rng), band.draw(draws, rng))
        how = f"grade {grade} by hand, a wide assumption with {100 * share:.0f} in 100 weaker than they feel"
        return StrengthNow(strength, how, "judged", (*band.rows, *weak.rows, HIDDEN_ROW))
    span = f"{100 * band.low:.0f} to {100 * band.high:.0f} % of normal"
    how = f"grade {grade} by hand, a wide assumption ({span})"
    return StrengthNow(band.draw(draws, rng), how, "judged", band.rows)


def from_state(state: State | None, draws: int, rng: np.random.Generator) -> StrengthNow:
    """Return the strength of a muscle of which only the state is known (None: not examined).

    Absent and paralysed are exactly 0. Called normal without a grade counts as grade 5 of a donor.
    """
    if state in GONE:
        return StrengthNow(np.zeros(draws), f"{state}: no pull", "read", ())
    if state == "normal":
        felt = from_grade("5", "donor", draws, rng)
        how = "called normal, neither graded nor measured: taken as grade 5, a named wide assumption"
        return StrengthNow(felt.fraction, how, "judged", felt.rows)
    band = _band(load().row(STATE_ROWS[state]))
    how = "not examined" if state is None else f"called {state}, neither graded nor measured"
    return StrengthNow(band.draw(draws, rng), f"{how}: a named wide assumption", "judged", band.rows)


def from_other_side(here: Reading, other: Reading, method: Method, draws: int, rng: np.random.Generator) -> StrengthNow:
    """Return the strength as the ratio of two sides; each reading errs, and no two legs are alike (15 %).

    Two forces without levers are taken at the same lever. Raises InputError when a lever is known on one side
    only, or the other side reads nothing.
    """
    ratio = _ratio(here, other)
    if ratio == 0.0:
        return _nothing_measured(draws, rng)
    cv, rows = measurement_cv(method)
    side = load().fit_value(OTHER_SIDE_ROW) / 100
    how = f"measured against the other leg ({method}): {100 * ratio:.0f} %"
    share = _share_given(np.full(draws, ratio), (cv, cv, side), rng)
    return StrengthNow(share, how, "derived", (*rows, OTHER_SIDE_ROW))


def _ratio(here: Reading, other: Reading) -> float:
    a, b = here.moment(), other.moment()
    if a is None and b is None and here.lever is None and other.lever is None:
        a, b = here.force, other.force
    if a is None or b is None:
        advice = "give the lever of both sides, or of neither when it was the same"
        raise InputError("force_N", "force and lever of one side do not match the other", "a pair", advice)
    if a < 0.0 or not b > 0.0:
        given = f"{a:g} here, {b:g} on the other side"
        raise InputError("other_side_force_N", given, "0 or more here, more than 0 there", "measure again")
    return a / b


def from_torque(
    torque: float, model_torque: ArrayLike, method: Method, draws: int, rng: np.random.Generator
) -> StrengthNow:
    """Return the strength as measured `torque` over the unharmed `model_torque` [N.m], (draws,) or one."""
    model = np.broadcast_to(np.asarray(model_torque, dtype=np.float64), (draws,))
    if torque < 0.0 or not np.all(model > 0.0):
        given = f"{torque:g} Nm against a model of {float(model.min()):g} Nm"
        raise InputError("torque_Nm", given, "0 or more against more than 0 Nm", "check arm and muscle group")
    if torque == 0.0:
        return _nothing_measured(draws, rng)
    cv, rows = measurement_cv(method)
    how = f"measured torque {torque:.1f} Nm ({method}) against this leg's model unharmed"
    return StrengthNow(_share_given(torque / model, (cv,), rng), how, "derived", rows)


def _nothing_measured(draws: int, rng: np.random.Generator) -> StrengthNow:
    """A dynamometer that reads 0 leaves anything up to what lifts the limb without gravity."""
    high = _band(load().row(NOTHING_MEASURED_ROW)).high
    how = f"the dynamometer read nothing: 0 to {100 * high:.0f} % of normal"
    return StrengthNow(rng.uniform(0.0, high, draws), how, "derived", (NOTHING_MEASURED_ROW,))


def strength_now(
    draws: int,
    rng: np.random.Generator,
    *,
    state: State | None,
    role: Role,
    grade: str | None = None,
    here: Reading | None = None,
    other: Reading | None = None,
    model_torque: ArrayLike | None = None,
    method: Method = "hand-held",
) -> StrengthNow:
    """Return the best supported strength of one muscle (see the order of trust at the top of this file).

    role: dorsiflexor for the muscles in front of the shin, donor for all others. model_torque: what the same
    test would give unharmed, (draws,) or one number [N.m]. Raises InputError for a state, grade or reading
    that is not allowed.
    """
    if state is not None and state not in STATES:
        raise InputError("state", f'"{state}"', ", ".join(STATES), "choose one of these")
    if state in GONE:
        return from_state(state, draws, rng)
    measured = _measured(draws, rng, here, other=other, model_torque=model_torque, method=method)
    if measured is None and grade is None:
        return from_state(state, draws, rng)
    if measured is None:
        return from_grade(str(grade), role, draws, rng)
    return measured if grade is None else _against_grade(measured, grade, role)


def _measured(
    draws: int,
    rng: np.random.Generator,
    here: Reading | None,
    other: Reading | None,
    model_torque: ArrayLike | None,
    method: Method,
) -> StrengthNow | None:
    if here is None:
        return None
    if other is not None:
        return from_other_side(here, other, method, draws, rng)
    torque = here.moment()
    if torque is None or model_torque is None:
        return None
    return from_torque(torque, model_torque, method, draws, rng)


def _against_grade(measured: StrengthNow, grade: str, role: Role) -> StrengthNow:
    """The measurement stands; the grade is named as set aside, with a warning where the two disagree."""
    low, high = grade_band(grade, role).ends
    middle = float(np.median(measured.fraction))
    how = f"{measured.how}; grade {grade} set aside"
    if low <= middle <= high:
        return StrengthNow(measured.fraction, how, measured.known, measured.rows)
    told = (
        f"Measured strength is about {100 * middle:.0f} % of normal, but grade {grade} means "
        f"{100 * low:.0f} to {100 * high:.0f} %: check both."
    )
    return StrengthNow(measured.fraction, how, measured.known, measured.rows, (told,))
