"""Small cases for the rules: one peroneal lesion with a strong tibialis posterior, changed entry by entry."""

from __future__ import annotations

from typing import Any

from sinewright.case import Case, changed, parse_case
from sinewright.choose.rules import rules_of_operation, rules_of_patient
from sinewright.results import Fired
from sinewright.transfer.catalogue import Operation, catalogue

HEALTHY = """
schema_version = 1
pseudonym = "ZZ-9"
invented = true
side = "left"
examined_on = 2025-06-01
[person]
age_years = 30
[history]
cause = ["common peroneal lesion"]
onset_months = 20
recovering = false
stable_months = 14
infection = "none"
diabetes = "none"
smoking = "never"
circulation = "good"
blood_thinner = false
spasticity = "none"
[range.affected]
dorsiflexion_knee_straight_deg = 12
dorsiflexion_knee_bent_deg = 20
[foot]
hindfoot = "neutral"
forefoot = "neutral"
arch = "normal"
toes = "straight"
ankle_joint = "sound"
subtalar_joint = "sound"
midfoot_joints = "sound"
equinus_fixed = false
skin_front_of_shin = "sound"
skin_top_of_foot = "sound"
membrane_scarred = false
retinaculum = "intact"
extensor_mass = "free tendons"
feeling_sole = "normal"
ulcer = "none"
dorsalis_pedis_pulse = "felt"
posterior_tibial_pulse = "felt"
bone = "normal"
"""
FRONT = ("tibialis_anterior", "extensor_hallucis_longus", "extensor_digitorum_longus", "peroneus_tertius")
PERONEALS = ("peroneus_longus", "peroneus_brevis")
DONORS = (*PERONEALS, "tibialis_posterior", "flexor_digitorum_longus", "flexor_hallucis_longus")


def _muscle(name: str, body: str) -> str:
    return f"[muscles.{name}]\n{body}\n"


STRONG = """state = "normal"
grade = "5"
force_N = 100
lever_mm = 90
other_side_force_N = 105
other_side_lever_mm = 90
tested_alone = true"""
TEXT = (
    HEALTHY
    + "".join(_muscle(name, 'state = "paralysed"\ngrade = "0"') for name in FRONT)
    + "".join(_muscle(name, STRONG) for name in DONORS)
    + "".join(
        _muscle(name, 'state = "normal"\ngrade = "5"')
        for name in ("soleus", "gastrocnemius_medial", "gastrocnemius_lateral")
    )
)


def case_with(changes: dict[str, Any] | None = None) -> Case:
    """The quiet case with other values at dotted paths."""
    case = parse_case(TEXT)
    return changed(case, changes) if changes else case


def operation(start: str) -> Operation:
    """The first operation whose id starts so."""
    return next(moved for moved in catalogue() if moved.id.startswith(start))


def of_patient(changes: dict[str, Any] | None = None) -> dict[str, Fired]:
    return {each.code: each for each in rules_of_patient(case_with(changes))}


def of_operation(start: str, changes: dict[str, Any] | None = None) -> dict[str, Fired]:
    return {each.code: each for each in rules_of_operation(case_with(changes), operation(start))}
