"""Rules about the patient's leg: range, calf, joints, skin, infection, feeling, blood."""

from sinewright.case import Case, calf_procedure, number, passive_up, short_calf, weak_calf
from sinewright.choose import facts_body as f
from sinewright.choose.findings import listed, months, numb, passive_arc
from sinewright.choose.rule import PatientRule
from sinewright.choose.sewing import ANKLE, fixing_posture, highest_ankle
from sinewright.doubt.stiffness import LENGTHENING
from sinewright.reference import load
from sinewright.wording.directions import BENT, angle_words

ARC_SHORT, ARC_FIXED = "own-arc-short", "own-arc-fixed"
PREFERRED, NEEDED = "pa-precondition-passive-df-preferred", "pa-precondition-passive-df"


def _limit(row: str) -> float:
    return load().row(row).value


def _released(case: Case) -> bool:
    return calf_procedure(case) != "none"


def _gain(case: Case) -> float:
    """Dorsiflexion [deg] that an Achilles lengthening is expected to add."""
    planned = case.plan.calf_gain_deg
    return planned if planned is not None else load().fit_value(LENGTHENING)


def highest_after(case: Case) -> float | None:
    """Best passive limit [deg] after the calf procedure: a recession raises it no further than the bent knee's."""
    given = [each for each in passive_up(case) if each is not None]
    if not given:
        return None
    return max(given) + (_gain(case) if calf_procedure(case) == "achilles lengthening" else 0.0)


def _fixed(case: Case) -> str | None:
    _, bent = passive_up(case)
    best, procedure = highest_after(case), calf_procedure(case)
    if best is not None and bent is not None and best < _limit(NEEDED):
        found = f"Passive dorsiflexion ends at {angle_words(bent)} with the knee bent"
        if procedure == "gastrocnemius recession":
            return f"{found}, and a recession cannot raise it further than that."
        if procedure == "achilles lengthening":
            return f"{found}, and lengthening by about {_gain(case):.0f} degrees does not bring it to neutral."
        return f"{found}, and no release that brings it to neutral is planned."
    if case.foot.equinus_fixed and procedure != "achilles lengthening":
        return "Equinus is fixed in every position of the knee, and no release that brings it to neutral is planned."
    return None


def _long_fixed(case: Case) -> str | None:
    _, bent = passive_up(case)
    below = bent is not None and bent < _limit(NEEDED)
    if (below or case.foot.equinus_fixed) and _released(case):
        return "The foot is fixed below neutral; the release and the transfer are planned together."
    return None


def _tight_calf(case: Case) -> str | None:
    short, procedure = short_calf(case), calf_procedure(case)
    straight, bent = passive_up(case)
    if short is None or straight is None:
        return None
    found = f"Passive dorsiflexion ends at {angle_words(straight)} with the knee straight"
    if bent is None:
        return f"{found}; the knee-bent limit, which tells gastrocnemius from soleus, is not given."
    found += f" and at {angle_words(bent)} with it bent"
    if case.plan.calf_procedure is None and procedure != "none":
        return f"{found}: every choice is weighed with {_named(procedure)} done first."
    if procedure == "achilles lengthening" or (procedure == "gastrocnemius recession" and short != "both"):
        return None
    if procedure == "gastrocnemius recession":
        return f"{found}: a recession leaves the soleus, which is short too."
    if short == "both":
        return f"{found}: gastrocnemius and soleus are both short; weigh lengthening before tensioning."
    return f"{found}: the gastrocnemius is short; weigh a recession before tensioning."


def _named(procedure: str) -> str:
    return {"gastrocnemius recession": "a gastrocnemius recession", "achilles lengthening": "an Achilles lengthening"}[
        procedure
    ]


def _weak_calf_lengthened(case: Case) -> str | None:
    if weak_calf(case) and _released(case):
        return f"The plan asks for {_named(calf_procedure(case))} of a calf weaker than grade 4: a calcaneus foot."
    return None


def _weak_calf_not_lengthened(case: Case) -> str | None:
    if weak_calf(case) and not _released(case) and short_calf(case) is not None:
        return "The calf is short but weaker than grade 4: it is not lengthened here, for fear of a calcaneus foot."
    return None


def _over_lengthening(case: Case) -> str | None:
    if numb(case) and _released(case):
        return (
            f"{_named(calf_procedure(case)).capitalize()} under a sole whose feeling is {case.foot.feeling_sole}: "
            "lengthened too far the heel takes all the load and ulcerates."
        )
    return None


def _short_of_preferred(case: Case) -> str | None:
    straight, _ = passive_up(case)
    if straight is None or _released(case) or _tight_calf(case):
        return None
    if straight < _limit(PREFERRED):
        return (
            f"Passive dorsiflexion ends at {angle_words(straight)} with the knee straight: enough, less than preferred."
        )
    return None


def _fixing_posture(case: Case) -> str | None:
    plan, posture = case.plan, fixing_posture(case)
    limit = highest_ankle(case, posture.knee_deg)
    if limit is None:
        return None
    reaches = f"with the knee {BENT.one(posture.knee_deg)} the ankle goes to about {angle_words(limit)}"
    if plan.fixing_ankle_deg is not None:
        if plan.fixing_ankle_deg <= limit:
            return None
        return (
            f"The plan sews with the ankle {angle_words(plan.fixing_ankle_deg)}, but {reaches}: lengthen the calf "
            "first, bend the knee further, or sew lower with a longer set stretch."
        )
    usual = load().fit_value(ANKLE)
    if posture.ankle_deg >= usual:
        return None
    return (
        f"It is sewn with the ankle {angle_words(posture.ankle_deg)} instead of the usual {angle_words(usual)}: "
        f"{reaches}. The set stretch makes up for it."
    )


def _range_unknown(case: Case) -> str | None:
    if passive_up(case) == (None, None):
        return "Passive dorsiflexion is not given: whether the foot can be lifted at all is not known."
    return None


def _weak_calf(case: Case) -> str | None:
    if weak_calf(case):
        return "The calf is weaker than grade 4: push-off is poor already, and a transfer costs more of it."
    return None


def _fused(case: Case) -> str | None:
    return "The ankle joint is fused: no tendon can lift it." if case.foot.ankle_joint == "fused" else None


def _joints(case: Case) -> str | None:
    foot = case.foot
    joints = (("ankle", foot.ankle_joint), ("subtalar joint", foot.subtalar_joint), ("midfoot", foot.midfoot_joints))
    bad = [
        f"{name} {state}"
        for name, state in joints
        if state in ("stiff", "arthritic", "unstable") or (state == "fused" and name != "ankle")
    ]
    if not bad:
        return None
    found = f"{listed(bad)}: counts against a transfer, or asks for bone work first."
    return found[:1].upper() + found[1:]


def _short_arc(case: Case) -> str | None:
    """The measured arc speaks, whatever the joint was called."""
    arc, other = passive_arc(case), passive_arc(case, "other")
    if arc is None:
        return None
    found = f"The ankle moves {arc:.0f} degrees between its passive limits"
    if arc < _limit(ARC_FIXED):
        return f"{found}: hardly more than a fused joint. A tendon cannot move it; what it does instead is hold."
    if other is not None and arc < _limit(ARC_SHORT) * other:
        return f"{found}, the other one {other:.0f}: it counts as stiff, whatever it was called."
    return None


def _fixed_shape(case: Case) -> str | None:
    shapes = (("hindfoot", case.foot.hindfoot), ("forefoot", case.foot.forefoot))
    bad = [f"{name} in {shape}" for name, shape in shapes if shape and shape.startswith("fixed")]
    return f"{listed(bad).capitalize()}: a tendon does not correct bone." if bad else None


def _infection(case: Case) -> str | None:
    return "The leg is infected." if case.history.infection == "active" else None


def _infection_healed(case: Case) -> str | None:
    since = number(case.history.infection_healed_months)
    if case.history.infection != "healed":
        return None
    if since is None:
        return "An infection has healed; since when is not given."
    if since < load().row("nv-infection-interval").high:
        return f"An infection healed {months(since)} ago."
    return None


def _ulcer_healed(case: Case) -> str | None:
    return "A pressure ulcer of the foot has healed: it opens again easily." if case.foot.ulcer == "healed" else None


def _flexible_claws(case: Case) -> str | None:
    return "The toes claw, still flexible." if case.foot.toes == "flexible claws" else None


def _fixed_claws(case: Case) -> str | None:
    return (
        "The toes are fixed in a claw: a tendon does not straighten them." if case.foot.toes == "fixed claws" else None
    )


def _ulcer(case: Case) -> str | None:
    return "A pressure ulcer of the foot is open." if case.foot.ulcer == "open" else None


def _places(case: Case, *states: str) -> list[str]:
    skin = (("front of the shin", case.foot.skin_front_of_shin), ("top of the foot", case.foot.skin_top_of_foot))
    return [f"{place} ({state})" for place, state in skin if state in states]


def _wound(case: Case) -> str | None:
    found = _places(case, "open wound")
    return f"Skin is missing: {listed(found)}." if found else None


def _poor_skin(case: Case) -> str | None:
    found = _places(case, "thin", "graft")
    return f"Skin is poor where a tendon runs or is sewn: {listed(found)}." if found else None


def _pulses(case: Case) -> tuple[tuple[str, str | None], ...]:
    foot = case.foot
    return (("on top of the foot", foot.dorsalis_pedis_pulse), ("behind the inner ankle", foot.posterior_tibial_pulse))


def _no_pulse(case: Case) -> str | None:
    if all(pulse == "absent" for _, pulse in _pulses(case)):
        return "Neither pulse of the foot is there."
    return None


def _circulation(case: Case) -> str | None:
    weak = [f"pulse {place}: {pulse}" for place, pulse in _pulses(case) if pulse in ("absent", "Doppler only")]
    if case.history.circulation in ("reduced", "repaired"):
        weak.append(f"circulation {case.history.circulation}")
    if not weak or _no_pulse(case):
        return None
    found = f"{listed(weak)}."
    return found[:1].upper() + found[1:]


def _numb(case: Case) -> str | None:
    if numb(case):
        return f"Feeling of the sole is {case.foot.feeling_sole}: cast and shoes press unnoticed."
    return None


RULES = (
    PatientRule(
        "fixed_below_neutral",
        "block",
        "passive dorsiflexion ends below neutral in every knee position, no release that reaches it",
        (f.TO_NEUTRAL, f.TO_NEUTRAL_AGAIN, f.RECESSION_REACHES, f.RELEASED_FIRST),
        _fixed,
        opens="a release that brings the foot to neutral: Achilles lengthening, or a frame first",
    ),
    PatientRule(
        "weak_calf_lengthened",
        "block",
        "lengthening planned for a calf below grade 4",
        (f.WEAK_CALF, f.CALCANEUS, f.LENGTHENING_COSTS),
        _weak_calf_lengthened,
        opens="leaving the calf as it is, or stretching it in casts",
    ),
    PatientRule(
        "release_together",
        "warn",
        "foot fixed below neutral, release planned with the transfer",
        (f.RELEASED_FIRST, f.TO_NEUTRAL),
        _long_fixed,
    ),
    PatientRule("tight_calf", "warn", "equinus test positive", f.CALF, _tight_calf),
    PatientRule(
        "over_lengthening",
        "warn",
        "calf lengthened under a sole without full feeling",
        (f.CALCANEUS, f.HEEL_ULCER, f.TEN_PREFERRED),
        _over_lengthening,
        severity="danger",
    ),
    PatientRule(
        "weak_calf_not_lengthened",
        "warn",
        "calf short and weaker than grade 4",
        (f.WEAK_CALF, f.CALCANEUS),
        _weak_calf_not_lengthened,
        severity="danger",
    ),
    PatientRule(
        "short_of_preferred",
        "warn",
        "passive dorsiflexion with the knee straight below what is preferred",
        (f.TEN_PREFERRED, f.TO_NEUTRAL, f.WALKING_NEEDS),
        _short_of_preferred,
    ),
    PatientRule(
        "fixing_posture",
        "warn",
        "the ankle does not go up to the posture of sewing",
        (f.POSTURE_ALLOWED, f.OWN_POSTURE),
        _fixing_posture,
    ),
    PatientRule(
        "range_unknown", "warn", "passive dorsiflexion not given", (f.TO_NEUTRAL, f.TEN_PREFERRED), _range_unknown
    ),
    PatientRule(
        "weak_calf",
        "warn",
        "soleus or two calf muscles below grade 4",
        (f.WEAK_CALF, f.CALCANEUS),
        _weak_calf,
        severity="danger",
    ),
    PatientRule(
        "fused_ankle",
        "block",
        "ankle joint fused",
        (f.SUPPLE, f.EXCLUDED),
        _fused,
    ),
    PatientRule(
        "poor_joints",
        "warn",
        "ankle, subtalar joint or midfoot stiff, arthritic, unstable or fused",
        (f.COUNT_AGAINST, f.EXCLUDED, f.NEAR_NORMAL, f.SUPPLE),
        _joints,
        severity="danger",
    ),
    PatientRule(
        "short_arc",
        "warn",
        "passive arc of the ankle under half of the other leg's, or hardly any",
        (f.SHORT_ARC, f.SUPPLE, f.EXCLUDED),
        _short_arc,
    ),
    PatientRule(
        "fixed_shape",
        "warn",
        "hindfoot or forefoot fixed in varus or valgus",
        (f.COUNT_AGAINST, f.BONE_FIRST),
        _fixed_shape,
        severity="danger",
    ),
    PatientRule(
        "fixed_claws", "warn", "toes fixed in a claw", (f.EXCLUDED, f.TOES_TOGETHER), _fixed_claws, severity="danger"
    ),
    PatientRule("claw_toes", "warn", "toes claw, flexible", (f.TOES_TOGETHER, f.EXCLUDED), _flexible_claws),
    PatientRule(
        "active_infection",
        "block",
        "infection of the leg active",
        (f.ULCER_HEALED, f.AFTER_INFECTION),
        _infection,
        opens="an infection that has healed, and the wait after it",
    ),
    PatientRule(
        "infection_healed",
        "warn",
        "infection healed not long ago",
        (f.AFTER_INFECTION,),
        _infection_healed,
        severity="danger",
    ),
    PatientRule(
        "open_ulcer",
        "block",
        "ulcer of the foot open",
        (f.COUNT_AGAINST, f.ULCER_HEALED),
        _ulcer,
        opens="an ulcer that has healed",
    ),
    PatientRule(
        "ulcer_healed", "warn", "an ulcer of the foot has healed", (f.ULCER_AGAIN,), _ulcer_healed, severity="danger"
    ),
    PatientRule(
        "open_wound",
        "block",
        "skin missing over shin or foot",
        (f.FLAP_FIRST, f.SOFT_BED),
        _wound,
        opens="closed skin: a flap first, or a free muscle with its own skin",
    ),
    PatientRule(
        "poor_skin",
        "warn",
        "skin thin or grafted over shin or foot",
        (f.COUNT_AGAINST, f.FLAP_FIRST),
        _poor_skin,
        severity="danger",
    ),
    PatientRule(
        "no_pulse",
        "block",
        "both pulses of the foot absent",
        (f.NO_PULSE,),
        _no_pulse,
        opens="a circulation that a specialist has judged or repaired",
    ),
    PatientRule(
        "poor_circulation",
        "warn",
        "a pulse weak or circulation reduced",
        (f.ONE_PULSE,),
        _circulation,
        severity="danger",
    ),
    PatientRule(
        "numb_sole",
        "warn",
        "feeling of the sole reduced or absent",
        (f.NUMB_SOLE, f.FEWER_ULCERS),
        _numb,
        severity="danger",
    ),
)
