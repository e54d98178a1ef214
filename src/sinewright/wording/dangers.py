"""Dangers in two or three words and what to look to, by the code of the rule that speaks.

Common practice; what the sources say stands with each rule. What is not here is a warning of the page, not a danger.
"""

from __future__ import annotations

from collections.abc import Iterable

from sinewright.results.answer import Danger
from sinewright.results.weighing import Fired

OF_PATIENT: dict[str, tuple[str, str]] = {
    "active_infection": ("infection", "no operation while it is active"),
    "open_ulcer": ("open ulcer", "no operation before it has closed"),
    "open_wound": ("skin missing", "cover first"),
    "no_pulse": ("no pulse", "vessels first"),
    "fused_ankle": ("fused ankle", "nothing to move"),
    "fixed_below_neutral": ("fixed foot", "release or shape first"),
    "nerve_recovering": ("nerve still recovers", "wait"),
    "leprosy_reaction": ("leprosy reaction", "quiet first"),
    "blood_thinner": ("blood thinner", "agree the stop date"),
    "numb_sole": ("sole without feeling", "check the skin under any cast"),
    "poor_circulation": ("weak circulation", "vessels seen before a tourniquet"),
    "poor_skin": ("thin skin", "plan the cuts; a tendon under it may break through"),
    "infection_healed": ("healed infection", "ask for its markers"),
    "weak_calf_lengthened": ("weak calf lengthened", "a calcaneus foot"),
    "weak_calf_not_lengthened": ("short and weak calf", "left as it is; stretch in casts"),
    "over_lengthening": ("lengthening, numb sole", "stop early; a heel ulcer"),
    "poor_joints": ("poor joints", "bone work or fusion first"),
    "fixed_claws": ("fixed claw toes", "bone or joint work"),
    "ulcer_healed": ("healed ulcer", "opens again under a cast"),
    "one_leg": ("other leg bad", "cannot be kept off this one"),
    "disc": ("root of the spine", "the donor's root may be hit"),
    "nerve_work_open": ("nerve still open", "nerve surgery first or with it"),
    "early_transfer": ("early", "sources differ on when"),
    "diabetes_or_smoking": ("diabetes or smoking", "wound and bone heal late"),
    "weak_calf": ("weak calf", "do not lengthen it; heel-walking foot"),
    "fixed_shape": ("fixed heel or forefoot", "a transfer does not straighten it"),
    "spastic": ("spasticity", "the pull may overshoot"),
    "hereditary": ("disease goes on", "the donor may weaken"),
    "central_cause": ("central cause", "selected patients only"),
}
OF_OPERATION: dict[str, tuple[str, str]] = {
    "pull_adds_varus": ("varus heel", "this pull goes to the inner side"),
    "pull_adds_valgus": ("valgus heel", "this pull goes to the outer side"),
    "no_outward_balancer": ("no everter", "the foot would turn in"),
    "short_peroneal_unopposed": ("arch may sink", "short peroneal unopposed"),
    "low_arch": ("flat arch", "loses its muscle"),
    "weak_partner": ("weak partner", "one of two donors is below grade 4"),
    "donor_measured_weak": ("weak donor", "below half of the other leg"),
    "donor_fat": ("fatty donor", "strength may be less than its grade"),
    "scar_on_route": ("scar on the way", "gliding may be lost"),
    "poor_retinaculum": ("poor retinaculum", "may bowstring"),
    "soft_bone": ("soft bone", "a screw may not hold"),
    "whole_tendon_spastic": ("spastic donor", "may overcorrect"),
    "peroneal_to_inner_side": ("two inward pulls", "the foot may turn in"),
    "inner_without_everter": ("no everter", "this pull goes to the inner side"),
    "middle_in_varus": ("varus heel", "further out holds it better"),
    "forefoot_turned_in": ("forefoot in varus", "this pull turns it in further"),
    "everter_taken_in_varus": ("varus heel", "loses its everter"),
    "flat_arch": ("flat arch", "short peroneal pulls it down"),
    "moved_already": ("moved before", "spent"),
    "donor_below_four": ("donor 4-", "below what lifts"),
    "donor_recovering": ("donor recovers", "not yet strong"),
    "donor_scarred": ("donor in scar", "little excursion"),
    "donor_root": ("donor's own root", "measure it against the other leg"),
    "donor_root_unmeasured": ("donor not measured", "own root hit"),
    "skin_graft_on_route": ("grafted skin", "a flap first"),
    "thin_skin_on_route": ("thin skin", "the tendon stands off under it"),
    "single_vessel": ("last artery", "beside the way: image it first"),
    "toe_flexor_alone": ("weak alone", "a toe flexor lifts little"),
    "turns_inward": ("turns in", "the foot lifts on its outer edge"),
    "toe_extensors_in_claws": ("claw toes", "this pull lifts the toes"),
    "growth_plates": ("growing bone", "keep off the plates"),
}


def dangers_of(rules: Iterable[Fired], table: dict[str, tuple[str, str]]) -> tuple[Danger, ...]:
    """The dangers among rules that spoke, blocks first, each once."""
    spoken = sorted((rule for rule in rules if rule.code in table), key=lambda rule: rule.kind != "block")
    return tuple({rule.code: Danger(rule.code, *table[rule.code]) for rule in spoken}.values())
