"""What every field is called and what it asks for, in words of surgery. They stand once and serve every face.

The path of a field names it in files; a person reads its label. A help says what the label leaves open: how to test,
from where to where, which way counts. An empty help means that the label says it all.
"""

from __future__ import annotations

from sinewright.case.muscles import MUSCLES

TRADE: dict[str, str] = {
    "tibialis_anterior": "anterior tibial",
    "extensor_hallucis_longus": "long great-toe extensor",
    "extensor_digitorum_longus": "long toe extensors",
    "peroneus_tertius": "third peroneal",
    "peroneus_longus": "long peroneal",
    "peroneus_brevis": "short peroneal",
    "tibialis_posterior": "tibialis posterior",
    "flexor_digitorum_longus": "long toe flexor",
    "flexor_hallucis_longus": "great-toe flexor",
    "soleus": "soleus",
    "gastrocnemius_medial": "inner gastrocnemius",
    "gastrocnemius_lateral": "outer gastrocnemius",
    "gracilis": "gracilis",
}
"""Muscles as they are said."""
SPOKEN = {**TRADE, "membrane between the bones": "interosseous membrane"}
"""Entries that are said otherwise than a file writes them."""

_ACROSS = "hindfoot held in neutral, pushed gently to the firm stop"
_ALONE = "what the patient reaches alone; a dropped foot stays below neutral"
_TRIALS = "largest of three trials"
_TABLE: dict[str, tuple[str, str]] = {
    "schema_version": ("version of the file", "always 1"),
    "pseudonym": ("label of the case", "says nothing about the person: no name, no date of birth"),
    "invented": ("invented", "yes for teaching and tests, no for a patient"),
    "side": ("leg to be operated on", "never guessed"),
    "examined_on": ("date of the examination", "today or earlier"),
    "note": ("note", "no names of people or hospitals"),
    "person.sex": ("sex", "norms of size and strength differ"),
    "person.age_years": ("age", "in whole years, on the day of the examination"),
    "person.height_cm": ("height", "standing, without shoes"),
    "person.mass_kg": ("body weight", "sets the weight of the foot"),
    "leg.foot_length_mm": ("foot length", "standing, rearmost heel to tip of the longest toe"),
    "leg.lateral_malleolus_height_mm": ("height of the outer malleolus", "standing, floor to its most lateral point"),
    "leg.dorsum_height_mm": ("height of the instep", "standing, floor to the top of the foot at half its length"),
    "leg.foot_breadth_mm": ("breadth of the forefoot", "standing, at the ball"),
    "leg.bimalleolar_breadth_mm": ("breadth across the malleoli", "caliper, skin not pressed"),
    "leg.shank_length_mm": ("length of the shank", "inner edge of the tibial plateau to tip of the outer malleolus"),
    "leg.calf_circumference_mm": ("calf girth, leg to be operated on", "where it is greatest"),
    "leg.other_calf_circumference_mm": ("calf girth, other leg", "where it is greatest"),
    "leg.other_leg": ("other leg", "sound, impaired (weak, painful, a drop foot too) or amputated"),
    "history.cause": ("cause of the drop foot", "tick all that apply"),
    "history.cause_note": ("what happened", "one sentence, no names"),
    "history.onset_on": ("date of the lesion", "this or the months since, not both"),
    "history.onset_months": ("time since the lesion", "up to the examination"),
    "history.recovering": ("still recovering", "yes while movement or nerve studies improve"),
    "history.stable_months": ("no recovery for", "time in which nothing came back"),
    "history.nerve_studies": ("nerve studies", "oldest first"),
    "history.earlier_surgery": ("earlier operations on this leg", "oldest first"),
    "history.infection": ("infection of bone or soft tissue", "this leg"),
    "history.infection_healed_months": ("infection healed for", ""),
    "history.diabetes": ("diabetes", "and how it is treated"),
    "history.smoking": ("smoking", ""),
    "history.circulation": ("circulation of the leg", ""),
    "history.blood_thinner": ("takes a blood thinner", "the anaesthetist must know"),
    "history.leprosy_treatment": ("leprosy treatment", "only where leprosy is the cause"),
    "history.spasticity": ("spasticity", "calf or inverters"),
    "history.nerve_stump_living": ("living deep peroneal stump", "only asked for a free muscle"),
    "history.imaging": ("imaging", "what it showed, one sentence"),
    "history.note": ("note on the history", "no names"),
    "study.on": ("date of the study", ""),
    "study.nerve": ("nerve", ""),
    "study.muscle": ("muscle sampled", ""),
    "study.result": ("result", ""),
    "study.note": ("words of the report", "no names"),
    "surgery.on": ("date of the operation", ""),
    "surgery.before_months": ("time before the examination", "where the date is not known"),
    "surgery.what": ("what was done", "no names of people or hospitals"),
    "surgery.moved": ("muscles moved by it", "spent: they cannot be moved again"),
    "motion.dorsiflexion_knee_straight_deg": ("passive dorsiflexion, knee straight", _ACROSS),
    "motion.dorsiflexion_knee_bent_deg": ("passive dorsiflexion, knee bent", _ACROSS),
    "motion.knee_bent_deg": ("knee flexion at that test", "how far the knee was bent"),
    "motion.plantarflexion_limit_down_deg": ("passive plantarflexion", "to the firm stop"),
    "motion.inversion_limit_deg": ("passive inversion of the hindfoot", "from the line of the shank"),
    "motion.eversion_limit_out_deg": ("passive eversion of the hindfoot", "from the line of the shank"),
    "motion.examiner_torque_Nm": ("push of the examiner", "torque at the stop, if it was measured"),
    "motion.active_dorsiflexion_knee_straight_deg": ("active dorsiflexion, knee straight", _ALONE),
    "motion.active_dorsiflexion_knee_bent_deg": ("active dorsiflexion, knee bent", _ALONE),
    "motion.active_plantarflexion_down_deg": ("active plantarflexion", "what the patient reaches alone"),
    "motion.resting_hanging_deg": ("resting angle, sitting", "shank over the edge of the couch, all muscles slack"),
    "motion.resting_hanging_knee_deg": ("knee flexion at that reading", "how far the knee was bent"),
    "motion.resting_supine_deg": ("resting angle, lying", "on the back, knee straight, heel free"),
    "motion.by": ("read with", "instrument and role of the examiner, for all angles of this leg"),
    "strength.dorsiflexion_Nm": ("dorsiflexion torque", _TRIALS),
    "strength.dorsiflexion_tested_at_ankle_deg": ("ankle at the dorsiflexion test", ""),
    "strength.plantarflexion_Nm": ("plantarflexion torque", _TRIALS),
    "strength.plantarflexion_tested_at_ankle_deg": ("ankle at the plantarflexion test", ""),
    "strength.inversion_Nm": ("inversion torque", _TRIALS),
    "strength.inversion_tested_at_ankle_deg": ("ankle at the inversion test", ""),
    "strength.eversion_Nm": ("eversion torque", _TRIALS),
    "strength.eversion_tested_at_ankle_deg": ("ankle at the eversion test", ""),
    "strength.instrument": ("dynamometer", ""),
    "strength.speed_deg_per_s": ("speed of the test", "0 for an isometric test"),
    "strength.knee_deg": ("knee flexion at the tests", "how far the knee was bent"),
    "muscle.state": ("state", "follows the grade; say it where the grade does not, such as scarred or absent"),
    "muscle.grade": ("MRC grade", "3 is against gravity; - or + behind the number"),
    "muscle.other_side_grade": ("MRC grade, other leg", ""),
    "muscle.force_N": ("force", "hand-held dynamometer, in newtons: kilograms times 9.8"),
    "muscle.lever_mm": ("lever", "joint axis to the middle of the pad"),
    "muscle.torque_Nm": ("torque, tested alone", ""),
    "muscle.other_side_force_N": ("force, other leg", "same position"),
    "muscle.other_side_lever_mm": ("lever, other leg", "joint axis to the middle of the pad"),
    "muscle.other_side_torque_Nm": ("torque, tested alone, other leg", ""),
    "muscle.tested_at_ankle_deg": ("ankle at the test", "of force or torque"),
    "muscle.tested_alone": ("tested alone", "yes when its helpers were switched off"),
    "muscle.contraction_felt": ("contraction felt", "or seen, in belly or tendon"),
    "muscle.fat_system": ("fat grading on the scan", "whose scale"),
    "muscle.fat_grade": ("fat grade", "on that scale"),
    "muscle.note": ("note on this muscle", ""),
    "foot.hindfoot": ("hindfoot standing", "fixed when a block or a hand does not straighten it"),
    "foot.hindfoot_varus_deg": ("hindfoot angle standing", "heel against the shank, from behind"),
    "foot.forefoot": ("forefoot against hindfoot", "fixed when a hand does not straighten it"),
    "foot.arch": ("arch standing", ""),
    "foot.toes": ("toes", "fixed when a hand does not straighten them"),
    "foot.ankle_joint": ("ankle joint", ""),
    "foot.subtalar_joint": ("subtalar joint", ""),
    "foot.midfoot_joints": ("midfoot joints", ""),
    "foot.equinus_fixed": ("fixed equinus", "yes when no position of the knee lets the foot come to neutral"),
    "foot.skin_front_of_shin": ("skin of the front of the shin", "over the front compartment"),
    "foot.skin_top_of_foot": ("skin of the instep", "where the tendon will be sewn in"),
    "foot.scar_bed": ("scar where a tendon would run", "tick each region"),
    "foot.membrane_scarred": ("interosseous membrane scarred", "or opened before"),
    "foot.retinaculum": ("extensor retinaculum", ""),
    "foot.extensor_mass": ("tendons in front of the ankle", "scarred together: one mass that still moves the foot"),
    "foot.feeling_sole": ("feeling of the sole", ""),
    "foot.feeling_top_of_foot": ("feeling of the instep", ""),
    "foot.ulcer": ("pressure ulcer of the foot", ""),
    "foot.dorsalis_pedis_pulse": ("dorsalis pedis pulse", ""),
    "foot.posterior_tibial_pulse": ("posterior tibial pulse", ""),
    "foot.bone": ("bone", "growing means open growth plates"),
    "foot.note": ("note on the foot", ""),
    "brace.use": ("brace worn", ""),
    "brace.kind": ("kind of brace", ""),
    "brace.hours_per_week": ("hours in the brace", "in a usual week"),
    "shoes.kind": ("usual shoes", ""),
    "shoes.heel_rise_mm": ("heel above the ball of the shoe", ""),
    "shoes.mass_kg": ("weight of one shoe", ""),
    "shoes.barefoot_at_home": ("barefoot at home", "yes when it matters to the patient"),
    "work.kind": ("work or daily life", "one sentence"),
    "work.load": ("load of the leg at work", ""),
    "work.ladders": ("ladders or roofs", ""),
    "work.sport": ("sport wanted back", ""),
    "goals.no_brace": ("walk without a brace", "toes clear of the ground"),
    "goals.lift": ("lift the foot", "well above neutral"),
    "goals.push_off": ("keep the push-off", ""),
    "goals.straight_hindfoot": ("a straight hindfoot", "balanced, neither in nor out"),
    "goals.safe_junction": ("a junction for early motion", "strong enough to move soon"),
    "goals.second_chance": ("a second chance", "another muscle kept for a second operation"),
    "goals.small_operation": ("a small operation", "little time lost"),
    "goals.own_words": ("in the patient's own words", ""),
    "plan.fixing_ankle_deg": ("ankle while sewing", ""),
    "plan.fixing_subtalar_deg": ("hindfoot while sewing", ""),
    "plan.fixing_knee_deg": ("knee flexion while sewing", "0 is straight"),
    "plan.set_stretch_mm": ("set stretch", "muscle-tendon junction beyond its start point once sewn"),
    "plan.only_donors": ("weigh these donors only", "none ticked: all are weighed"),
    "plan.exclude_donors": ("never take these", "left out whatever they can do"),
    "plan.calf_procedure": ("calf, in the same sitting", "done before the transfer is tensioned"),
    "plan.calf_gain_deg": ("gain expected from the calf", "degrees of dorsiflexion"),
    "plan.junction_overlap_mm": ("tendon used up by the junction", "length in the weave or tunnel"),
    "plan.tendon": ("tendon in the calculation", "elastic gives under load, rigid does not"),
    "plan.retinaculum": ("run at the extensor retinaculum", ""),
    "plan.note": ("note for the plan", "anything it must respect"),
    "plan.overrides.active_infection": ("infected leg", "why it is done all the same"),
    "plan.overrides.open_ulcer": ("open ulcer", "why it is done all the same"),
    "plan.overrides.open_wound": ("skin missing", "why it is done all the same"),
    "plan.overrides.no_pulse": ("no pulse", "why it is done all the same"),
    "plan.overrides.fused_ankle": ("fused ankle", "why it is done all the same"),
    "plan.overrides.fixed_below_neutral": ("foot fixed below neutral", "why it is done all the same"),
    "plan.overrides.nerve_recovering": ("nerve still recovers", "why it is done all the same"),
    "plan.overrides.leprosy_reaction": ("leprosy reaction", "why it is done all the same"),
    "plan.overrides.weak_donor": ("donor below grade 4", "why it is taken all the same"),
    "plan.overrides.growth_plates": ("tunnel in growing bone", "why it is drilled all the same"),
    "plan.overrides.membrane_scarred": ("scarred membrane", "why it is crossed all the same"),
    "plan.overrides.no_retinaculum": ("no retinaculum to run under", "why it is done all the same"),
    "plan.overrides.no_outward_balancer": ("no everter left", "why it is done all the same"),
    "plan.overrides.moved_already": ("donor moved before", "why it is done all the same"),
    "plan.overrides.weak_calf_lengthened": ("weak calf lengthened", "why it is done all the same"),
    "plan.overrides.donor_below_four": ("donor of grade 4-", "why it is done all the same"),
    "plan.overrides.donor_measured_weak": ("donor measured below half", "why it is done all the same"),
    "plan.overrides.donor_recovering": ("donor still recovers", "why it is done all the same"),
    "plan.overrides.donor_scarred": ("donor bound by scar", "why it is done all the same"),
    "plan.overrides.donor_root_unmeasured": ("donor of the lost root not measured", "why it is done all the same"),
    "plan.overrides.scar_on_route": ("scar on the way", "why it is done all the same"),
    "plan.overrides.skin_graft_on_route": ("grafted skin on the way", "why it is done all the same"),
    "plan.overrides.thin_skin_on_route": ("thin skin on the way", "why it is done all the same"),
    "plan.overrides.single_vessel": ("last artery beside the way", "why it is done all the same"),
    "plan.overrides.soft_bone": ("soft bone holds the tendon", "why it is done all the same"),
    "plan.overrides.inner_without_everter": ("inner pull without an everter", "why it is done all the same"),
    "plan.overrides.pull_adds_varus": ("inner pull in a varus heel", "why it is done all the same"),
    "plan.overrides.middle_in_varus": ("middle pull in a varus foot", "why it is done all the same"),
    "plan.overrides.forefoot_turned_in": ("inner pull on a varus forefoot", "why it is done all the same"),
    "plan.overrides.everter_taken_in_varus": ("everter taken from a varus heel", "why it is done all the same"),
    "plan.overrides.pull_adds_valgus": ("outer pull in a valgus heel", "why it is done all the same"),
    "plan.overrides.peroneal_to_inner_side": ("peroneal to the inner side", "why it is done all the same"),
    "plan.overrides.flat_arch": ("flat arch loses its muscle", "why it is done all the same"),
    "plan.overrides.whole_tendon_spastic": ("whole spastic donor", "why it is done all the same"),
    "plan.overrides.weak_partner": ("weak partner", "why it is done all the same"),
    "plan.overrides.toe_flexor_alone": ("toe flexor alone", "why it is done all the same"),
    "plan.overrides.turns_inward": ("foot turns in when lifted", "why it is done all the same"),
    "plan.overrides.toe_extensors_in_claws": ("pull on toe extensors in claws", "why it is done all the same"),
    "finding.value": ("value", ""),
    "finding.known": ("how it is known", ""),
    "finding.on": ("date of the finding", ""),
    "finding.by": ("instrument or method", ""),
}
_LISTS = {"nerve_studies": "study", "earlier_surgery": "surgery"}
_PAIRS = {"range": "motion", "torque": "strength"}
_LEGS = {"affected": "leg to be operated on", "other": "other leg"}


def key_of(path: str) -> str:
    """Where a field stands in the table: legs, muscles and the entries of a list share theirs.

    >>> key_of("range.other.knee_bent_deg"), key_of("history.nerve_studies (entry 2).on")
    ('motion.knee_bent_deg', 'study.on')
    """
    steps = [step.partition(" (")[0] for step in path.split(".") if not step.isdigit()]
    if steps[0] == "muscles" and len(steps) > 2:
        return f"muscle.{'.'.join(steps[2:])}"
    if steps[0] in _PAIRS and len(steps) > 2:
        return f"{_PAIRS[steps[0]]}.{'.'.join(steps[2:])}"
    if len(steps) > 2 and steps[1] in _LISTS:
        return f"{_LISTS[steps[1]]}.{'.'.join(steps[2:])}"
    return ".".join(steps)


def label(path: str) -> str:
    """What the field at a dotted path is called.

    >>> label("range.affected.plantarflexion_limit_down_deg")
    'passive plantarflexion'
    """
    key = key_of(path)
    if key in _TABLE:
        return _TABLE[key][0]
    head, _, last = key.rpartition(".")
    if head in _TABLE and f"finding.{last}" in _TABLE:
        return f"{_TABLE[head][0]}, {_TABLE[f'finding.{last}'][0]}"
    return last.replace("_", " ")


def help_text(path: str) -> str:
    """What the label leaves open; empty where it says it all."""
    return _TABLE.get(key_of(path), ("", ""))[1]


def path_in_words(path: str) -> str:
    """The field at a dotted path with whose it is, as a person says it.

    >>> path_in_words("muscles.peroneus_longus.grade")
    'long peroneal: MRC grade'
    >>> path_in_words("range.other.resting_supine_deg")
    'resting angle, lying (other leg)'
    """
    steps = path.split(".")
    if steps[0] == "muscles" and len(steps) > 1 and steps[1] in MUSCLES:
        name = TRADE[steps[1]]
        return f"{name}: {label(path)}" if len(steps) > 2 else name
    if steps[0] in _PAIRS and len(steps) > 2:
        return f"{label(path)} ({_LEGS.get(steps[1], steps[1])})"
    return label(path)
