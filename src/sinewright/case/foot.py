"""Size of the person and the leg, and the state of foot, skin and bed."""

from __future__ import annotations

from typing import Literal

from sinewright.case.fields import Number, Section, Text, measured, text, word, words

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
    """Sizes of the affected leg; what is left out is estimated with its spread."""

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
