"""The muscles of the affected leg: state, grade, force or torque, and the other side for comparison."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal, get_args

from sinewright.case.fields import Finding, Number, Section, Text, graded, measured, section, text, word

MuscleName = Literal[
    "tibialis_anterior",
    "extensor_hallucis_longus",
    "extensor_digitorum_longus",
    "peroneus_tertius",
    "peroneus_longus",
    "peroneus_brevis",
    "tibialis_posterior",
    "flexor_digitorum_longus",
    "flexor_hallucis_longus",
    "soleus",
    "gastrocnemius_medial",
    "gastrocnemius_lateral",
    "gracilis",
]
MUSCLES: tuple[MuscleName, ...] = get_args(MuscleName)
FRONT: tuple[MuscleName, ...] = MUSCLES[:4]

State = Literal["normal", "weak", "recovering", "paralysed", "absent", "scarred"]
Grade = Literal["0", "1", "1+", "2-", "2", "2+", "3-", "3", "3+", "4-", "4", "4+", "5-", "5"]
GRADES: tuple[Grade, ...] = get_args(Grade)
FatSystem = Literal["Goutallier", "Mercuri", "Fischer", "Kornblum"]
FatGrade = Literal["0", "1", "2", "2a", "2b", "3", "4"]


class Graded(Finding[Grade]):
    """A muscle grade found on the patient."""


class Muscle(Section):
    """One muscle of the affected leg. Values named other_side belong to the same muscle of the other leg."""

    state: State | None = word(
        "what it is now: normal, weak, recovering (nerve coming back), paralysed (no contraction), "
        "absent (removed or destroyed), scarred (alive but bound down)"
    )
    grade: Graded | None = graded(
        'grade by hand, 0 to 5, as text in quotes with - or + where used ("4-"); 3 = against gravity'
    )
    other_side_grade: Graded | None = graded("grade of the same muscle of the other leg, as text in quotes")
    force_N: Number | None = measured(
        "N", 0, 1500, "hand-held dynamometer force; convert a display in kilograms to newtons first"
    )
    lever_mm: Number | None = measured("mm", 20, 400, "distance from the joint axis to the dynamometer pad")
    torque_Nm: Number | None = measured("Nm", 0, 300, "torque about the joint of this muscle tested alone")
    other_side_force_N: Number | None = measured("N", 0, 1500, "dynamometer force of the other leg, same position")
    other_side_lever_mm: Number | None = measured(
        "mm", 20, 400, "distance from the joint axis to the dynamometer pad on the other leg"
    )
    other_side_torque_Nm: Number | None = measured("Nm", 0, 300, "torque of the same muscle of the other leg")
    tested_at_ankle_deg: Number | None = measured(
        "deg",
        -60,
        40,
        "ankle angle during the force or torque test; dorsiflexion positive, plantarflexion negative",
    )
    tested_alone: bool | None = word("true when the muscle was tested with its helpers switched off")
    contraction_felt: bool | None = word("true when a contraction is felt or seen in belly or tendon")
    fat_system: FatSystem | None = word("name of the grading of fat in the muscle on the scan")
    fat_grade: FatGrade | None = word("grade of fat in that system, as text in quotes; never without fat_system")
    note: Text | None = text("anything else about this muscle")


class Muscles(Section):
    """The muscles of the affected leg by full name; one that is left out has not been examined."""

    tibialis_anterior: Muscle = section(Muscle, "anterior tibial: lifts the foot and turns it in")
    extensor_hallucis_longus: Muscle = section(Muscle, "long great-toe extensor")
    extensor_digitorum_longus: Muscle = section(Muscle, "long toe extensors")
    peroneus_tertius: Muscle = section(Muscle, "third peroneal")
    peroneus_longus: Muscle = section(Muscle, "long peroneal: turns the foot out, presses the first ray down")
    peroneus_brevis: Muscle = section(Muscle, "short peroneal: turns the foot out")
    tibialis_posterior: Muscle = section(Muscle, "tibialis posterior: turns the foot in, carries the arch")
    flexor_digitorum_longus: Muscle = section(Muscle, "long toe flexor")
    flexor_hallucis_longus: Muscle = section(Muscle, "great-toe flexor")
    soleus: Muscle = section(Muscle, "soleus")
    gastrocnemius_medial: Muscle = section(Muscle, "inner gastrocnemius")
    gastrocnemius_lateral: Muscle = section(Muscle, "outer gastrocnemius")
    gracilis: Muscle = section(Muscle, "gracilis, as a possible free muscle")

    def __getitem__(self, name: MuscleName) -> Muscle:
        """The muscle called `name` in full. Raises KeyError for another name."""
        if name not in MUSCLES:
            raise KeyError(name)
        found: Muscle = getattr(self, name)
        return found

    def named(self) -> Iterator[tuple[MuscleName, Muscle]]:
        """Name and muscle, in the fixed order, also those that were not examined."""
        return ((name, self[name]) for name in MUSCLES)


def state_of(muscle: Muscle) -> State | None:
    """What a muscle is now: the state given by hand, else what its grade says; None when neither is known.

    Grade 0 is paralysed, up to 4+ weak, from 5- on normal. A hand that felt a contraction is not overruled by a 0.

    >>> state_of(Muscle.model_validate({"grade": "5"}))
    'normal'
    """
    if muscle.state or muscle.grade is None:
        return muscle.state
    step = grade_step(muscle.grade.value)
    if step == 0:
        return "weak" if muscle.contraction_felt else "paralysed"
    return "normal" if step == 5 else "weak"


def grade_step(grade: Grade) -> int:
    """The whole-number step of a grade: 4 for "4-", "4" and "4+"."""
    return int(grade[0])


def grade_position(grade: Grade) -> float:
    """The place of a grade on the scale: 3.67 for "4-", 4 for "4", 4.33 for "4+"."""
    return int(grade[0]) + {"": 0.0, "+": 1 / 3, "-": -1 / 3}[grade[1:]]
