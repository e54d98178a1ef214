"""What the patient uses, does and wants, and what the surgeon already wants fixed in the plan."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import AfterValidator, Field
from pydantic_core import PydanticCustomError

from sinewright.case.fields import Number, Section, Text, measured, section, text, wish, word, words
from sinewright.case.muscles import MuscleName
from sinewright.results import Tendon

SHORTEST, LONGEST = 10, 400


def _says_why(text: str) -> str:
    """`text` unchanged, or refused when it holds fewer than ten signs apart from blanks around it."""
    if len(text.strip()) < SHORTEST:
        raise PydanticCustomError("no_reason", "shorter than a reason")
    return text


Reason = Annotated[Text, AfterValidator(_says_why)]


def _reason(what: str) -> Any:
    return Field(
        default=None,
        description=f"why the plan goes on although {what}",
        min_length=SHORTEST,
        max_length=LONGEST,
    )


class Overrides(Section):
    """Written reasons against rules that set an operation aside or behind others; an entry bears the rule's code."""

    active_infection: Reason | None = _reason("the leg is infected")
    open_ulcer: Reason | None = _reason("an ulcer of the foot is open")
    open_wound: Reason | None = _reason("skin is missing where the tendon will run or be sewn")
    no_pulse: Reason | None = _reason("no pulse of the foot was felt")
    fused_ankle: Reason | None = _reason("the ankle joint is fused")
    fixed_below_neutral: Reason | None = _reason("the foot cannot be brought to neutral")
    nerve_recovering: Reason | None = _reason("the nerve still recovers")
    leprosy_reaction: Reason | None = _reason("leprosy was active within the last months")
    weak_donor: Reason | None = _reason("the donor is weaker than grade 4")
    growth_plates: Reason | None = _reason("a tunnel would be drilled in growing bone")
    membrane_scarred: Reason | None = _reason("the membrane between the bones is scarred")
    no_retinaculum: Reason | None = _reason("there is no retinaculum to run under")
    no_outward_balancer: Reason | None = _reason("no muscle would be left to turn the foot out")
    moved_already: Reason | None = _reason("the donor was moved once already")
    weak_calf_lengthened: Reason | None = _reason("a calf weaker than grade 4 is lengthened")
    donor_below_four: Reason | None = _reason("the donor is felt a little below grade 4")
    donor_measured_weak: Reason | None = _reason("the donor measures less than half of the other leg")
    donor_recovering: Reason | None = _reason("the donor itself still recovers")
    donor_scarred: Reason | None = _reason("the donor is bound down by scar")
    donor_root_unmeasured: Reason | None = _reason("the donor's own root is hit and its strength was not measured")
    scar_on_route: Reason | None = _reason("the tendon runs through scar")
    skin_graft_on_route: Reason | None = _reason("the tendon runs under grafted skin")
    thin_skin_on_route: Reason | None = _reason("the tendon runs close under thin skin")
    single_vessel: Reason | None = _reason("the last artery of the foot lies beside the way of the tendon")
    soft_bone: Reason | None = _reason("soft bone is to hold the tendon")
    inner_without_everter: Reason | None = _reason("the pull goes to the inner side and no muscle turns the foot out")
    pull_adds_varus: Reason | None = _reason("the pull goes to the inner side of a foot in varus")
    middle_in_varus: Reason | None = _reason("the pull goes to the middle of a foot in varus")
    forefoot_turned_in: Reason | None = _reason("the pull turns a forefoot in that is turned in already")
    everter_taken_in_varus: Reason | None = _reason("a muscle that turns the foot out is taken from a foot in varus")
    pull_adds_valgus: Reason | None = _reason("the pull goes to the outer side of a foot in valgus")
    peroneal_to_inner_side: Reason | None = _reason("a peroneal is moved to the inner side")
    flat_arch: Reason | None = _reason("a flat arch loses tibialis posterior while the short peroneal works")
    whole_tendon_spastic: Reason | None = _reason("the whole of a spastic tibialis posterior is moved")
    weak_partner: Reason | None = _reason("one of two donors is only a tether")
    toe_flexor_alone: Reason | None = _reason("a toe flexor alone is to lift the foot")
    turns_inward: Reason | None = _reason("the foot is worked out to turn in when it is lifted")
    toe_extensors_in_claws: Reason | None = _reason("the pull goes to the extensors of toes that claw")


CODES = tuple(Overrides.model_fields)
"""Codes of all rules that stop an operation or cost it its place."""


_UP = "dorsiflexion positive"


class Brace(Section):
    """The brace in use now."""

    use: Literal["none", "outdoors", "work", "always"] | None = word("when a brace is worn")
    kind: Text | None = text("kind of brace")
    hours_per_week: Number | None = measured("h/week", 0, 168, "hours of wear in a week")


class Shoes(Section):
    """The shoes in use now."""

    kind: Text | None = text("usual shoes")
    heel_rise_mm: Number | None = measured("mm", -20, 100, "heel of the shoe above its forefoot")
    mass_kg: Number | None = measured("kg", 0, 4, "mass of one shoe")
    barefoot_at_home: bool | None = word("true when walking barefoot matters to the patient")


class Work(Section):
    """What the leg has to do."""

    kind: Text | None = text("work or daily life in a sentence")
    load: Literal["sitting", "standing", "walking", "heavy"] | None = word("main load of the leg at work")
    ladders: bool | None = word("true when ladders or roofs are part of the work")
    sport: Text | None = text("sport or hobby that the patient wants back")


class Goals(Section):
    """Weights from 0 (does not matter) to 10 (matters most) as the patient gives them."""

    no_brace: float | None = wish("weight", 0, 10, "walking without a brace, toes clear of the ground")
    lift: float | None = wish("weight", 0, 10, "lifting the foot well above neutral")
    push_off: float | None = wish("weight", 0, 10, "keeping the push-off")
    straight_hindfoot: float | None = wish("weight", 0, 10, "a straight, balanced hindfoot")
    safe_junction: float | None = wish("weight", 0, 10, "a junction that stands early motion")
    second_chance: float | None = wish("weight", 0, 10, "keeping another muscle for a second operation")
    small_operation: float | None = wish("weight", 0, 10, "a small operation with little recovery time")
    own_words: Text | None = text("what the patient wants, in the patient's words")


class PlanWishes(Section):
    """What is fixed before planning. What is left out, the plan chooses and prints."""

    fixing_ankle_deg: float | None = wish("deg", -20, 40, f"ankle angle in which the junction is sewn; {_UP}")
    fixing_subtalar_deg: float | None = wish("deg", -20, 20, "subtalar angle while sewing; inversion positive")
    fixing_knee_deg: float | None = wish("deg", 0, 120, "knee flexion while sewing")
    set_stretch_mm: float | None = wish(
        "mm",
        -30,
        60,
        "set stretch: donor's muscle-tendon junction beyond its start point once sewn; tighter positive",
    )
    only_donors: tuple[MuscleName, ...] = words("weigh these donors only")
    exclude_donors: tuple[MuscleName, ...] = words("never weigh these donors")
    calf_procedure: Literal["none", "gastrocnemius recession", "achilles lengthening"] | None = word(
        "calf lengthening done in the same sitting, before the transfer is tensioned"
    )
    calf_gain_deg: float | None = wish("deg", 0, 40, "dorsiflexion expected to be gained by the calf procedure")
    junction_overlap_mm: float | None = wish("mm", 5, 100, "length of tendon used up by weave or tunnel")
    tendon: Tendon | None = word("tendon model used by the calculation")
    retinaculum: Literal["under", "over", "either"] | None = word("run of the tendon at the extensor retinaculum")
    note: Text | None = text("anything else the plan must respect")
    overrides: Overrides = section(
        Overrides,
        "rules that set an operation aside or behind others, each overridden by a written reason kept in the plan",
    )
