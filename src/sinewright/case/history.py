"""What happened, what was tested and operated, and what matters for healing."""

from __future__ import annotations

from datetime import date
from typing import Literal

from sinewright.case.fields import Number, Section, Text, measured, text, word, words
from sinewright.case.muscles import MuscleName

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
