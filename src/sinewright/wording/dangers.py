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
    "growth_plates": ("growing bone", "keep off the plates"),
}


def dangers_of(rules: Iterable[Fired], table: dict[str, tuple[str, str]]) -> tuple[Danger, ...]:
    """The dangers among rules that spoke, blocks first, each once."""
    spoken = sorted((rule for rule in rules if rule.code in table), key=lambda rule: rule.kind != "block")
    return tuple({rule.code: Danger(rule.code, *table[rule.code]) for rule in spoken}.values())
