"""The whole case: person, leg and foot, history; one frozen object that everything else starts from."""

from __future__ import annotations

from datetime import date
from typing import Annotated, Literal

from pydantic import Field, StringConstraints, model_validator
from pydantic_core import PydanticCustomError

from sinewright.case.contradictions import contradictions
from sinewright.case.examination import BothMotions, BothStrengths
from sinewright.case.fields import Number, Section, Text, measured, section, text, word, words
from sinewright.case.muscles import MuscleName, Muscles
from sinewright.case.wishes import Brace, Goals, PlanWishes, Shoes, Work
from sinewright.results import Side

Cause = Literal[
    "deep peroneal lesion",
    "common peroneal lesion",
    "front compartment loss",
    "sciatic lesion",
    "disc",
    "leprosy",
    "hereditary neuropathy",
    "stroke or other central lesion",
    "cerebral palsy",
    "other",
]
Nerve = Literal["common peroneal", "deep peroneal", "superficial peroneal", "tibial", "sciatic", "other"]
StudyResult = Literal[
    "no activity",
    "fibrillation only",
    "few new units",
    "many units, recovering",
    "stable partial loss",
    "normal",
]


class NerveStudy(Section):
    """One nerve study (EMG or conduction)."""

    on: date | None = word("date of the study")
    nerve: Nerve | None = word("nerve that was studied")
    muscle: MuscleName | None = word("muscle that was sampled, by full name")
    result: StudyResult | None = word("what the study showed")
    note: Text | None = text("wording of the report, without names")


class EarlierSurgery(Section):
    """One earlier operation on this leg."""

    on: date | None = word("date of the operation")
    before_months: Number | None = measured("months", 0, 1200, "months between that operation and the examination")
    what: Text | None = text("what was done, without names of people or hospitals")
    moved: tuple[MuscleName, ...] = words("muscles that were moved by it, so that they cannot be moved again")


class History(Section):
    """Cause, course and general health."""

    cause: tuple[Cause, ...] = words("cause or causes of the drop foot")
    cause_note: Text | None = text("the event in a sentence, without names")
    onset_on: date | None = word("date of onset; give this or onset_months, not both")
    onset_months: Number | None = measured("months", 0, 1200, "months between onset and the examination")
    recovering: bool | None = word("true when active movement or nerve studies still improve")
    stable_months: Number | None = measured("months", 0, 1200, "months without any further recovery")
    nerve_studies: tuple[NerveStudy, ...] = words("nerve studies, oldest first")
    earlier_surgery: tuple[EarlierSurgery, ...] = words("earlier operations on this leg, oldest first")
    infection: Literal["none", "healed", "active"] | None = word("infection of bone or soft parts of this leg")
    infection_healed_months: Number | None = measured("months", 0, 1200, "months since the infection healed")
    diabetes: Literal["none", "diet or tablets", "insulin"] | None = word("diabetes and how it is treated")
    smoking: Literal["never", "stopped", "smokes"] | None = word("smoking")
    circulation: Literal["good", "reduced", "repaired"] | None = word("circulation of the leg")
    blood_thinner: bool | None = word("true when a blood-thinning drug is taken")
    leprosy_treatment: Literal["in treatment", "finished", "finished, reaction within 6 months"] | None = word(
        "state of drug treatment when the cause is leprosy"
    )
    spasticity: Literal["none", "mild", "marked"] | None = word("spasticity of the calf or the inverters")
    nerve_stump_living: bool | None = word("true when a living deep peroneal stump is known, for a free muscle")
    imaging: Text | None = text("what imaging showed, in a sentence", 1000)
    note: Text | None = text("anything else of the history", 1000)


Frontal = Literal["neutral", "flexible varus", "fixed varus", "flexible valgus", "fixed valgus"]
Joint = Literal["sound", "stiff", "arthritic", "unstable", "fused"]
Skin = Literal["sound", "thin", "graft", "flap", "open wound"]
Feeling = Literal["normal", "reduced", "absent"]
Pulse = Literal["felt", "Doppler only", "absent"]
Region = Literal[
    "front of shin",
    "outer shin",
    "inner shin",
    "back of calf",
    "membrane between the bones",
    "front of ankle",
    "inner ankle",
    "outer ankle",
    "top of foot",
    "sole",
]


class Person(Section):
    """The person; no names, no birth date."""

    sex: Literal["female", "male"] | None = word("sex, for the norms of size and strength")
    age_years: Number | None = measured("years", 0, 120, "age at the examination")
    height_cm: Number | None = measured("cm", 50, 250, "standing height")
    mass_kg: Number | None = measured("kg", 10, 300, "body mass")


class Leg(Section):
    """Sizes of the affected leg; what is left out is estimated with its spread. And what the other leg is."""

    foot_length_mm: Number | None = measured("mm", 100, 400, "rearmost heel to tip of the longest toe, standing")
    lateral_malleolus_height_mm: Number | None = measured(
        "mm", 30, 130, "floor to the most lateral point of the lateral malleolus, standing"
    )
    dorsum_height_mm: Number | None = measured("mm", 30, 120, "floor to the top of the foot at half the foot length")
    foot_breadth_mm: Number | None = measured("mm", 50, 160, "greatest breadth at the ball of the foot, standing")
    bimalleolar_breadth_mm: Number | None = measured("mm", 40, 120, "breadth across both malleoli")
    shank_length_mm: Number | None = measured("mm", 150, 600, "medial tibial plateau to lateral malleolus, heights")
    calf_circumference_mm: Number | None = measured("mm", 150, 700, "greatest girth of the calf of the affected leg")
    other_calf_circumference_mm: Number | None = measured("mm", 150, 700, "greatest girth of the calf, other leg")
    other_leg: Literal["sound", "impaired", "amputated"] | None = word(
        "the other leg: sound, impaired (weak, painful, a drop foot too), or amputated"
    )


class Foot(Section):
    """Shape, joints, skin, bed, feeling and pulses of the affected foot and leg."""

    hindfoot: Frontal | None = word("hindfoot standing, and whether it corrects")
    hindfoot_varus_deg: Number | None = measured("deg", -40, 50, "hindfoot angle standing; varus positive")
    forefoot: Frontal | None = word("forefoot against the hindfoot, and whether it corrects")
    arch: Literal["normal", "low", "flat", "high"] | None = word("arch standing")
    toes: Literal["straight", "dropped", "flexible claws", "fixed claws"] | None = word("toes")
    ankle_joint: Joint | None = word("ankle joint")
    subtalar_joint: Joint | None = word("subtalar joint")
    midfoot_joints: Joint | None = word("midfoot joints")
    equinus_fixed: bool | None = word("true when the foot cannot be brought to neutral in any knee position")
    skin_front_of_shin: Skin | None = word("skin over the front compartment")
    skin_top_of_foot: Skin | None = word("skin where the tendon will be sewn")
    scar_bed: tuple[Region, ...] = words("regions where a tendon would run through scar")
    membrane_scarred: bool | None = word("true when the membrane between the bones is scarred or was opened before")
    retinaculum: Literal["intact", "divided", "absent", "scarred"] | None = word("extensor retinaculum")
    extensor_mass: Literal["free tendons", "scarred together", "absent"] | None = word(
        "tendons in front of the ankle: free, one common scarred mass that moves the foot, or absent"
    )
    feeling_sole: Feeling | None = word("feeling of the sole")
    feeling_top_of_foot: Feeling | None = word("feeling of the top of the foot")
    ulcer: Literal["none", "healed", "open"] | None = word("pressure ulcer of the foot")
    dorsalis_pedis_pulse: Pulse | None = word("pulse on top of the foot")
    posterior_tibial_pulse: Pulse | None = word("pulse behind the inner malleolus")
    bone: Literal["normal", "soft", "growing"] | None = word("bone quality; growing means open growth plates")
    note: Text | None = text("anything else of the foot", 1000)


SCHEMA_VERSION = 1
Pseudonym = Annotated[str, StringConstraints(pattern=r"^[A-Za-z0-9][A-Za-z0-9 ._-]{0,39}$")]


class Case(Section):
    """One patient's leg as data. Build it with `read_case`, `parse_case` or `case_from_tables`."""

    schema_version: int = Field(
        ge=SCHEMA_VERSION,
        le=SCHEMA_VERSION,
        description="version of this file's layout; always 1 for now",
        json_schema_extra={"allowed": str(SCHEMA_VERSION)},
    )
    pseudonym: Pseudonym = Field(
        description="label that says nothing about the person: 1 to 40 letters, digits, spaces, dots, - or _",
        json_schema_extra={"allowed": "1 to 40 plain letters, digits, spaces, dots, - or _"},
    )
    invented: bool = Field(default=False, description="true when the person is made up for teaching or testing")
    side: Side = Field(description="the leg that is to be operated on, as a word; there is no default")
    examined_on: date | None = word("date of the examination")
    note: Text | None = text("anything else, without names", 4000)
    person: Person = section(Person, "the person")
    leg: Leg = section(Leg, "sizes of the affected leg")
    history: History = section(History, "cause, course and general health")
    range: BothMotions = section(BothMotions, "angles of both legs")
    torque: BothStrengths = section(BothStrengths, "torques of both legs by direction")
    muscles: Muscles = section(Muscles, "muscles of the affected leg, by full name")
    foot: Foot = section(Foot, "shape, joints, skin, bed, feeling and pulses")
    brace: Brace = section(Brace, "brace in use now")
    shoes: Shoes = section(Shoes, "shoes in use now")
    work: Work = section(Work, "what the leg has to do")
    goals: Goals = section(Goals, "what matters to the patient")
    plan: PlanWishes = section(PlanWishes, "what is fixed before planning")

    @property
    def other_side(self) -> Side:
        """The leg that is not operated on."""
        return "left" if self.side == "right" else "right"

    @model_validator(mode="after")
    def _refuse_contradictions(self) -> Case:
        found = contradictions(self)
        if found:
            raise PydanticCustomError("contradiction", "the case contradicts itself", {"found": found})
        return self
