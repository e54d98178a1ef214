"""Warnings about a case that is possible but odd, or lies outside the evidence. They travel with the plan.

Each names its evidence row and source. A warning never changes a value.
"""

from __future__ import annotations

from collections.abc import Iterator
from statistics import NormalDist
from typing import cast

from sinewright.case.contradictions import GONE, goniometer_error_deg
from sinewright.case.examination import Motion
from sinewright.case.fields import Number, number
from sinewright.case.labels import path_in_words
from sinewright.case.listing import entry
from sinewright.case.model import Case
from sinewright.case.muscles import FRONT, Muscle, grade_step, state_of
from sinewright.results import Caution, Known
from sinewright.wording.directions import UP_DOWN

REAL_CHANGE_ROW = "me-real-change-df"
OURS = "sinewright-judgement"
ADULT_YEARS = (18.0, 90.0)
BODY_MASS_INDEX = (16.0, 40.0)
SMALL_FORCE_N = 25.0
_GRADE_ROWS = {"5": "5", "4+": "4plus", "4": "4", "3": "3"}
_SIZES = {
    "leg.foot_length_mm": ("foot-length", 1.0),
    "leg.lateral_malleolus_height_mm": ("lateral-malleolus-height", 1.0),
    "leg.foot_breadth_mm": ("foot-breadth", 1.0),
    "leg.bimalleolar_breadth_mm": ("bimalleolar-breadth", 1.0),
    "leg.shank_length_mm": ("shank-length", 1.0),
    "leg.calf_circumference_mm": ("calf-circumference", 1.0),
    "person.height_cm": ("stature", 0.1),
}


def cautions(case: Case) -> tuple[Caution, ...]:
    """All warnings about `case`, the gravest kind (wrong leg, wrong sign, over-trusted grade) first."""
    return tuple(_all(case))


def _all(case: Case) -> Iterator[Caution]:
    yield from _legs_swapped(case)
    yield from _lift_without_lifters(case)
    for name, muscle in case.muscles.named():
        yield from _strength(f"muscles.{name}", muscle)
    for leg, motion in (("affected", case.range.affected), ("other", case.range.other)):
        yield from _odd_angles(f"range.{leg}", motion)
    yield from _nothing_lost(case)
    yield from _person(case)
    for path, (quantity, unit_per_mm) in _SIZES.items():
        yield from _size(case, path, quantity, unit_per_mm)


def _said(path: str) -> str:
    words = path_in_words(path)
    return f"{words[:1].upper()}{words[1:]}"


def _leg(where: str) -> str:
    return "other leg" if where.endswith("other") else "leg to be operated on"


def _judged(code: str, text: str) -> Caution:
    return Caution(code, text, OURS, "judged")


def _from_row(code: str, text: str, row_id: str) -> Caution:
    """A caution that rests on one evidence row: its id and its source are named."""
    from sinewright.reference import load

    row = load().row(row_id)
    return Caution(code, text, f"{row.id}: {load().source(row.source).citation}", cast(Known, row.known))


def _legs_swapped(case: Case) -> Iterator[Caution]:
    """The leg to be operated on lifts better than the other one: perhaps the legs were exchanged."""
    pairs = (
        ("torque", "dorsiflexion_Nm", 0.0, "Nm"),
        ("range", "active_dorsiflexion_knee_straight_deg", goniometer_error_deg(REAL_CHANGE_ROW), "deg"),
    )
    for part, name, margin, unit in pairs:
        here = number(entry(case, f"{part}.affected.{name}"))
        there = number(entry(case, f"{part}.other.{name}"))
        if here is not None and there is not None and here > there + margin:
            both = [UP_DOWN.exact(each, "°") if unit == "deg" else f"{each:g} {unit}" for each in (here, there)]
            text = (
                f"{_said(f'{part}.affected.{name}')} {both[0]}, other leg {both[1]}: the leg to be operated on lifts "
                f"better than the other. Check that affected, other and side ({case.side}) are right."
            )
            yield _judged("legs-exchanged", text)


def _lift_without_lifters(case: Case) -> Iterator[Caution]:
    if not all(state_of(case.muscles[name]) in GONE for name in FRONT):
        return
    motion = case.range.affected
    for name in (
        "active_dorsiflexion_knee_straight_deg",
        "active_dorsiflexion_knee_bent_deg",
        "resting_hanging_deg",
    ):
        angle = number(getattr(motion, name))
        if angle is not None and angle > 0.0:
            text = f"{_said(f'range.affected.{name}')} {UP_DOWN.exact(angle, '°')}, but every muscle in front is gone."
            yield _judged("lift-without-lifters", f"{text} A dropped foot lies below neutral: check the direction.")


def _strength(where: str, muscle: Muscle) -> Iterator[Caution]:
    if muscle.force_N and muscle.lever_mm is None:
        text = f"{_said(where)}: a force without its lever gives no torque; measure the distance to the pad."
        yield _from_row("force-without-lever", text, "me-lever-arm-dynamometer")
    force = number(muscle.force_N)
    if muscle.grade and grade_step(muscle.grade.value) >= 4 and force is not None and force < SMALL_FORCE_N:
        text = f"{_said(where)}: force {force:g} N with MRC {muscle.grade.value}: was the display in kilograms?"
        yield _judged("force-looks-like-kilograms", text)
    yield from _grade_against_force(where, muscle)


def share_of_other_side(muscle: Muscle) -> float | None:
    """Strength of `muscle` over that of the other leg [1]: torques first, then forces; None if unknown.

    Forces are compared times their levers when both levers are known, else as they are.
    """
    here, there = number(muscle.torque_Nm), number(muscle.other_side_torque_Nm)
    if here is None or there is None:
        here, there = number(muscle.force_N), number(muscle.other_side_force_N)
        levers = number(muscle.lever_mm), number(muscle.other_side_lever_mm)
        if here is not None and there is not None and levers[0] and levers[1]:
            here, there = here * levers[0], there * levers[1]
    return here / there if here is not None and there else None


def _grade_against_force(where: str, muscle: Muscle) -> Iterator[Caution]:
    """A grade by hand that the dynamometer contradicts."""
    share = share_of_other_side(muscle)
    row_end = _GRADE_ROWS.get(muscle.grade.value) if muscle.grade else None
    if share is None or row_end is None or muscle.grade is None:
        return
    from sinewright.reference import load

    row_id = f"gr-prior-donor-grade-{row_end}"
    row = load().row(row_id)
    if not row.low <= share <= row.high and not (share > 1.0 and row_end == "5"):
        text = (
            f"{_said(where)} is MRC {muscle.grade.value} by hand, but its measured strength is "
            f"{100 * share:.0f} % of the "
            f"other leg, outside the {100 * row.low:.0f} to {100 * row.high:.0f} % that this grade "
            "stands for; "
            "the measurement counts, not the grade."
        )
        yield _from_row("grade-against-force", text, row_id)


def _odd_angles(where: str, motion: Motion) -> Iterator[Caution]:
    straight, bent = number(motion.dorsiflexion_knee_straight_deg), number(motion.dorsiflexion_knee_bent_deg)
    if straight is not None and bent is not None and bent < straight - goniometer_error_deg(REAL_CHANGE_ROW):
        text = (
            f"Passive dorsiflexion {UP_DOWN.exact(bent, '°')} with the knee bent, {UP_DOWN.exact(straight, '°')} with "
            f"it straight ({_leg(where)}); bending the knee slackens the calf and cannot cost dorsiflexion. Check "
            "whether the two were exchanged."
        )
        yield _from_row("knee-bent-below-straight", text, REAL_CHANGE_ROW)
    for knee in ("straight", "bent"):
        passive = number(getattr(motion, f"dorsiflexion_knee_{knee}_deg"))
        active = number(getattr(motion, f"active_dorsiflexion_knee_{knee}_deg"))
        if passive is not None and active is not None and active > passive:
            text = (
                f"Active dorsiflexion {UP_DOWN.exact(active, '°')} lies above the passive limit "
                f"{UP_DOWN.exact(passive, '°')}, knee {knee} ({_leg(where)}); within goniometer error, so it is kept."
            )
            yield _from_row("active-above-passive", text, REAL_CHANGE_ROW)
    down = number(motion.plantarflexion_limit_down_deg)
    if down is not None and down < 0.0:
        text = (
            f"{_said(f'{where}.plantarflexion_limit_down_deg')} {UP_DOWN.exact(-down, '°')}: the foot is held "
            f"above neutral and cannot come down. If {-down:g}° down is meant, write {-down:g}."
        )
        yield _judged("foot-held-up", text)


def _nothing_lost(case: Case) -> Iterator[Caution]:
    if state_of(case.muscles.tibialis_anterior) == "normal":
        text = "The anterior tibial is normal: perhaps nothing is lost. Check side and muscle."
        yield _judged("nothing-lost", text)


def _person(case: Case) -> Iterator[Caution]:
    person = case.person
    age, height, mass = number(person.age_years), number(person.height_cm), number(person.mass_kg)
    if age is not None and not ADULT_YEARS[0] <= age <= ADULT_YEARS[1]:
        growing = " In children the bone still grows." if age < ADULT_YEARS[0] else ""
        both = case.torque.other.dorsiflexion_Nm and case.torque.other.plantarflexion_Nm
        what = "series rest" if both else "norms and series rest"  # the other leg then stands for the norm
        text = f"Age {age:g}: {what} on adults of 18 to 90 years.{growing}"
        yield _judged("age-outside-evidence", text)
    if height is not None and mass is not None:
        index = mass / (height / 100.0) ** 2
        grown = age is None or age >= ADULT_YEARS[0]
        if grown and not BODY_MASS_INDEX[0] <= index <= BODY_MASS_INDEX[1]:
            text = f"Body mass index is {index:.1f} kg/m2, outside the usual 16 to 40."
            yield _judged("body-mass-index-outside-evidence", text)


def _size(case: Case, path: str, quantity: str, unit_per_mm: float) -> Iterator[Caution]:
    """A size outside the 5th to 95th percentile of the person's sex (of both, if the sex is not given)."""
    finding: Number | None = entry(case, path)
    if finding is None:
        return
    from sinewright.reference import load

    sexes = {"male": ("men",), "female": ("women",), None: ("women", "men")}[case.person.sex]
    rows = [load().row(f"anth-{quantity}-{sex}-ansur2") for sex in sexes]
    reach = NormalDist().inv_cdf(0.95)
    low = min(row.value - reach * (row.sd or 0.0) for row in rows) * unit_per_mm
    high = max(row.value + reach * (row.sd or 0.0) for row in rows) * unit_per_mm
    if not low <= finding.value <= high:
        unit = path.rpartition("_")[2]
        text = (
            f"{_said(path)} {finding.value:g} {unit}, outside the 5th to 95th percentile ({low:.0f} to "
            f"{high:.0f} {unit}) "
            f"of {' and '.join(sexes)}: check the measurement; arms scaled from it reach beyond their "
            "evidence."
        )
        yield _from_row("size-outside-evidence", text, rows[0].id)
