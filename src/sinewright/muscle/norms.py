"""Torque norms by sex and age: young adults by measurement, older adults by published decline.

Rule: the mean of the two sides at 20 to 29 years (moraux2013) holds until the decline begins (fphys2018, men,
52 years); then it falls by a share of that value a year (fphys2018) until 73 years, and from there by a share
of what is left, at the rate of group and sex (winegard1996, read from 73 to 97 years). Prediction from body
data leaves about 70 % of the variance (row tq-norm-r2-harbo2012): the other leg beats any norm.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt
from typing import Literal

from sinewright.errors import InputError
from sinewright.reference import load

Group = Literal["dorsiflexors", "plantarflexors"]
Sex = Literal["female", "male"]

WORD = {"female": "women", "male": "men"}
YOUNG_ROWS = {
    ("dorsiflexors", "female"): (
        "tq-df-women-20-29-side-a-moraux2013",
        "tq-df-women-20-29-side-b-moraux2013",
    ),
    ("dorsiflexors", "male"): ("tq-df-men-20-29-side-a-moraux2013", "tq-df-men-20-29-side-b-moraux2013"),
    ("plantarflexors", "female"): ("tq-pf-women-20-29-moraux2013",),
    ("plantarflexors", "male"): ("tq-pf-men-20-29-moraux2013",),
}
CV_ROW = "tq-norm-cv-benfica2018"
ONSET_ROW, DECLINE_ROW = "tq-flat-until-fphys2018", "tq-decline-after-fphys2018"
AGE_READ = (20.0, 97.0)  # moraux2013 from 20 years; winegard1996 "age 73 to 97 y"
LATE_FROM = 73.0
AGE_ALLOWED = (4.0, 110.0)
CHILD_BELOW, GROWTH_TO, GROWTH_YEARS = 16.0, 15.0, 10.0  # growth row: from 5 to 15 years
GROWTH_ROW, AT_15_ROW = "arch-growth-total-leg-muscle-volume-factor-bolsterlee-growth", "own-child-torque-at-15"


@dataclass(frozen=True, slots=True)
class Norm:
    """Torque [N.m] of a healthy group: `value`, `sd` between people, `rows` used, `warnings` to be shown."""

    value: float
    sd: float
    rows: tuple[str, ...]
    warnings: tuple[str, ...]

    @property
    def cv(self) -> float:
        """Coefficient of variation between people [1]."""
        return self.sd / self.value


def torque_norm(group: Group, sex: Sex | None, age: float | None) -> Norm:
    """Return the isometric torque norm of `group` for `sex` and `age` [years].

    Sex unknown: mean of both, spread widened by their difference. Age unknown: the young value, with warning.
    Below 16 years the young adult's, scaled by how the leg muscles grow; the other leg is worth far more. Raises
    InputError below 4 or above 110 years.
    """
    if age is not None and not AGE_ALLOWED[0] <= age <= AGE_ALLOWED[1]:
        allowed = f"{AGE_ALLOWED[0]:g} to {AGE_ALLOWED[1]:g} years for a norm"
        raise InputError("age", f"{age:g} years", allowed, "give the torque of the other leg instead")
    if sex is None:
        return _of_both(torque_norm(group, "female", age), torque_norm(group, "male", age))
    young, cv, rows = _young(group, sex)
    factor, decline_rows = age_factor(group, sex, age)
    return Norm(young * factor, young * factor * cv, rows + decline_rows, _warnings(sex, age))


def _of_both(a: Norm, b: Norm) -> Norm:
    sd = sqrt((a.sd**2 + b.sd**2) / 2 + ((a.value - b.value) / 2) ** 2)
    told = "Sex not given: the torque norm is the mean of women and men, with a wider spread."
    warnings = (told, *dict.fromkeys(a.warnings + b.warnings))
    return Norm((a.value + b.value) / 2, sd, tuple(dict.fromkeys(a.rows + b.rows)), warnings)


def _young(group: Group, sex: Sex) -> tuple[float, float, tuple[str, ...]]:
    """Torque [N.m] at 20 to 29 years, CV between people, rows. Without a printed SD the CV row stands in."""
    ids = YOUNG_ROWS[group, sex]
    rows = [load().row(id) for id in ids]
    value = sum(load().fit_value(id) for id in ids) / len(ids)
    spreads = [row.sd for row in rows if row.sd is not None]
    if len(spreads) == len(rows):
        return value, sum(spreads) / len(spreads) / value, ids
    return value, load().fit_value(CV_ROW) / 100, (*ids, CV_ROW)


def age_factor(group: Group, sex: Sex, age: float | None) -> tuple[float, tuple[str, ...]]:
    """Return torque at `age` [years] over torque at 20 to 29 years [1], and the rows used."""
    onset, early = load().fit_value(ONSET_ROW), load().fit_value(DECLINE_ROW) / 100
    if age is not None and age < CHILD_BELOW:
        return child_factor(age), (GROWTH_ROW, AT_15_ROW)
    if age is None or age <= onset:
        return 1.0, (ONSET_ROW,)
    factor = 1.0 + early * (min(age, LATE_FROM) - onset)
    if age <= LATE_FROM:
        return factor, (ONSET_ROW, DECLINE_ROW)
    row = f"tq-decline-{group.removesuffix('s')}-{WORD[sex]}-winegard1996"
    late = load().fit_value(row) / 100
    return factor * (1.0 + late * (age - LATE_FROM)), (ONSET_ROW, DECLINE_ROW, row)


def child_factor(age: float) -> float:
    """Return torque at `age` [years], below 16, over that of a young adult [1]: growth of muscle volume."""
    growth: float = load().fit_value(GROWTH_ROW) ** ((min(age, GROWTH_TO) - GROWTH_TO) / GROWTH_YEARS)
    return growth * load().fit_value(AT_15_ROW)


def _warnings(sex: Sex, age: float | None) -> tuple[str, ...]:
    if age is None:
        return ("Age not given: the torque norm is that of 20 to 29 years.",)
    onset, found = load().fit_value(ONSET_ROW), []
    if age < CHILD_BELOW:
        return (f"No norm of torque was read for {age:g} years: the adult's is scaled by the growth of muscle.",)
    if not AGE_READ[0] <= age <= AGE_READ[1]:
        found.append(f"Torque norms were read for 20 to 97 years; {age:g} years lies outside.")
    if sex == "female" and onset < age:
        found.append(f"The decline of strength from {onset:g} to 73 years was read in men and is used for a woman.")
    return tuple(found)
