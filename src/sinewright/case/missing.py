"""What has not been examined although it would sharpen the plan, the most useful first."""

from __future__ import annotations

from collections.abc import Iterator
from typing import cast

from sinewright.case.contradictions import GONE
from sinewright.case.listing import entry
from sinewright.case.model import Case
from sinewright.case.muscles import Muscle, MuscleName, grade_step, state_of
from sinewright.results import Known, Missing

DONORS: tuple[MuscleName, ...] = (
    "tibialis_posterior",
    "peroneus_longus",
    "flexor_digitorum_longus",
    "flexor_hallucis_longus",
)


_OURS = "sinewright-judgement"
# Path, reason, evidence row of the reason or our own judgement; the order is the order of asking.
_WANTED: tuple[tuple[str, str, str], ...] = (
    (
        "range.affected.dorsiflexion_knee_straight_deg",
        "a stiff foot cannot be lifted by a transfer",
        "pa-precondition-passive-df",
    ),
    (
        "range.affected.dorsiflexion_knee_bent_deg",
        "tells a tight gastrocnemius from a tight soleus",
        "pa-equinus-gastrocnemius-criterion",
    ),
    ("range.affected.plantarflexion_limit_down_deg", "gives the lowest position", "pa-gait-need-pf"),
    ("muscles.peroneus_brevis.grade", "it must work before the long peroneal can be spared", _OURS),
    ("range.affected.resting_hanging_deg", "tells how stiff this ankle is between its limits", _OURS),
    (
        "range.affected.examiner_torque_Nm",
        "a known test torque improves agreement between examiners",
        "me-direction-known-force",
    ),
    ("torque.other.dorsiflexion_Nm", "the other leg is this patient's own normal", _OURS),
    ("torque.affected.plantarflexion_Nm", "a transfer works against the calf", _OURS),
    (
        "leg.lateral_malleolus_height_mm",
        "foot length hardly predicts it, and lever arms hang on it",
        "anth-r-foot-length-malleolus-height-men-ansur2",
    ),
    ("leg.foot_length_mm", "scales the whole foot", _OURS),
    ("leg.dorsum_height_mm", "places the tendons in front of the ankle", _OURS),
    ("leg.shank_length_mm", "decides how far a tendon can reach", _OURS),
    ("person.sex", "norms of size and strength differ", _OURS),
    ("person.height_cm", "scales the leg where it was not measured", _OURS),
    ("person.mass_kg", "foot weight and norms of strength follow it", _OURS),
    ("person.age_years", "norms of strength fall with age", _OURS),
    ("history.recovering", "a nerve that still recovers changes the choice", _OURS),
    ("foot.hindfoot", "decides on which side of the foot the tendon should pull", _OURS),
    ("foot.arch", "an arch that is already low suffers when tibialis posterior is moved", _OURS),
    ("foot.retinaculum", "decides whether the tendon can run under it", _OURS),
    ("foot.membrane_scarred", "decides whether the tendon can pass between the bones", _OURS),
    ("foot.skin_front_of_shin", "a tendon needs a soft bed and closed skin", _OURS),
    ("goals.no_brace", "the weights decide between choices that are equally possible", _OURS),
)


def findings_missing(case: Case) -> tuple[Missing, ...]:
    """Findings that `case` lacks and that are worth making, the most useful first; empty when nothing is."""
    return (
        *_donors(case),
        *(each for path, why, row in _WANTED for each in _if_missing(case, path, why, row)),
    )


def _if_missing(case: Case, path: str, why: str, row: str) -> Iterator[Missing]:
    if entry(case, path) is None and not _known(case, path):
        yield _missing(path, why, row)


def _known(case: Case, path: str) -> bool:
    """True for the grade of a muscle whose state was given by hand."""
    part, _, name = path.removesuffix(".grade").partition(".")
    return part == "muscles" and state_of(getattr(case.muscles, name)) is not None


def _missing(path: str, why: str, row_id: str) -> Missing:
    if row_id == _OURS:
        return Missing(path, why, _OURS, "judged")
    from sinewright.reference import load

    row = load().row(row_id)
    return Missing(path, why, f"{row.id}: {load().source(row.source).citation}", cast(Known, row.known))


def _donors(case: Case) -> Iterator[Missing]:
    """State, measured strength and isolated test of each muscle that could be moved."""
    for name in DONORS:
        muscle = case.muscles[name]
        if name not in case.plan.exclude_donors and state_of(muscle) not in GONE:
            yield from _donor(f"muscles.{name}", muscle)


def _donor(where: str, muscle: Muscle) -> Iterator[Missing]:
    if state_of(muscle) is None:
        yield _missing(f"{where}.grade", "a possible donor that was not examined", "cp-donor-selection")
        return
    strong = muscle.grade is None or grade_step(muscle.grade.value) >= 4
    if strong and muscle.torque_Nm is None and muscle.force_N is None:
        why = "a grade of 4 or 5 can hide the loss of most of the strength; a dynamometer tells"
        yield _missing(f"{where}.force_N", why, "gr-loss-hidden-by-mrc4")
    if strong and muscle.other_side_torque_Nm is None and muscle.other_side_force_N is None:
        yield _missing(f"{where}.other_side_force_N", "the other leg is this patient's own normal", _OURS)
    if not muscle.tested_alone:
        why = "helpers can hide a weak donor: test it alone"
        yield _missing(f"{where}.tested_alone", why, "cp-donor-selection")
