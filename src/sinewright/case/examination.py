"""Angles and torques of both legs. Every field says in its name or text which direction counts as positive.

Dorsiflexion is positive (up from the sole square to the shank). Fields with `_down_`, `inversion_` or `_out_`
count positive in their own direction, so that nobody has to type a minus sign for an ordinary finding.
"""

from __future__ import annotations

from typing import Literal

from sinewright.case.fields import Number, Section, Text, measured, section, text, word

Instrument = Literal["isokinetic", "isometric", "hand-held"]
_UP = "dorsiflexion positive from neutral (sole square to the shank); a fixed equinus is negative"
_PULL = "positive number, largest of the trials"
_AT = "ankle angle during that test; dorsiflexion positive, plantarflexion negative"


class Motion(Section):
    """Passive limits, active range and resting angle of one leg."""

    dorsiflexion_knee_straight_deg: Number | None = measured(
        "deg", -70, 45, f"passive limit with the knee straight, hindfoot held neutral; {_UP}"
    )
    dorsiflexion_knee_bent_deg: Number | None = measured(
        "deg", -70, 50, f"passive limit with the knee bent, hindfoot held neutral; {_UP}"
    )
    knee_bent_deg: Number | None = measured("deg", 20, 140, "knee flexion in which the knee-bent limits were measured")
    plantarflexion_limit_down_deg: Number | None = measured(
        "deg",
        -20,
        80,
        "passive limit downwards, counted positive DOWN from neutral: 40 means 40 degrees below neutral",
    )
    inversion_limit_deg: Number | None = measured("deg", -20, 70, "passive limit turning the sole in, positive inwards")
    eversion_limit_out_deg: Number | None = measured(
        "deg", -20, 50, "passive limit turning the sole out, counted positive OUTWARDS"
    )
    examiner_torque_Nm: Number | None = measured(
        "Nm", 0.5, 40, "torque with which the examiner pushed to find the passive limits, if it was measured"
    )
    active_dorsiflexion_knee_straight_deg: Number | None = measured(
        "deg",
        -70,
        45,
        f"highest angle the patient reaches alone, knee straight; {_UP}; a dropped foot is negative",
    )
    active_dorsiflexion_knee_bent_deg: Number | None = measured(
        "deg",
        -70,
        50,
        f"highest angle the patient reaches alone, knee bent; {_UP}; a dropped foot is negative",
    )
    active_plantarflexion_down_deg: Number | None = measured(
        "deg", -20, 80, "lowest angle the patient reaches alone, counted positive DOWN from neutral"
    )
    resting_hanging_deg: Number | None = measured(
        "deg",
        -80,
        40,
        "resting angle at the bedside, shank hanging, all muscles relaxed; a dropped foot is negative",
    )
    resting_hanging_knee_deg: Number | None = measured("deg", 0, 140, "knee flexion when the resting angle was read")
    resting_supine_deg: Number | None = measured(
        "deg",
        -80,
        40,
        "resting angle lying on the back, knee straight, heel free; a dropped foot is negative",
    )
    by: Text | None = text("instrument and examiner's role for all angles of this leg", 120)


class BothMotions(Section):
    """Angles of the affected and of the other leg; `side` at the top says which is which."""

    affected: Motion = section(Motion, "angles of the leg that is to be operated on")
    other: Motion = section(Motion, "angles of the other leg")


class Strength(Section):
    """Torques of one leg in four directions, all positive, with the angle of the test."""

    dorsiflexion_Nm: Number | None = measured("Nm", 0, 150, f"torque lifting the foot; {_PULL}")
    dorsiflexion_tested_at_ankle_deg: Number | None = measured("deg", -60, 40, _AT)
    plantarflexion_Nm: Number | None = measured("Nm", 0, 400, f"torque pushing the foot down; {_PULL}")
    plantarflexion_tested_at_ankle_deg: Number | None = measured("deg", -60, 40, _AT)
    inversion_Nm: Number | None = measured("Nm", 0, 150, f"torque turning the sole in; {_PULL}")
    inversion_tested_at_ankle_deg: Number | None = measured("deg", -60, 40, _AT)
    eversion_Nm: Number | None = measured("Nm", 0, 150, f"torque turning the sole out; {_PULL}")
    eversion_tested_at_ankle_deg: Number | None = measured("deg", -60, 40, _AT)
    instrument: Instrument | None = word("kind of dynamometer used for this leg")
    speed_deg_per_s: Number | None = measured("deg/s", 0, 400, "speed of an isokinetic test; 0 for isometric")
    knee_deg: Number | None = measured("deg", 0, 140, "knee flexion during the tests")


class BothStrengths(Section):
    """Torques of the affected and of the other leg."""

    affected: Strength = section(Strength, "torques of the leg that is to be operated on")
    other: Strength = section(Strength, "torques of the other leg")
