"""Rules about the patient's leg: range, calf, joints, skin, infection, feeling, blood."""

from typing import Literal

from sinewright.case import Case, number
from sinewright.choose import facts_body as f
from sinewright.choose.findings import listed, months, passive_arc, passive_up, works
from sinewright.choose.rule import PatientRule
from sinewright.choose.sewing import ANKLE, fixing_posture, highest_ankle
from sinewright.reference import load
from sinewright.wording.directions import BENT, angle_words

Short = Literal["gastrocnemius", "both", "untold"]
CALF = ("soleus", "gastrocnemius_medial", "gastrocnemius_lateral")
GASTROCNEMIUS, SOLEUS = "pa-equinus-gastrocnemius-criterion", "pa-equinus-soleus-criterion"
ARC_SHORT, ARC_FIXED = "own-arc-short", "own-arc-fixed"
PREFERRED, NEEDED = "pa-precondition-passive-df-preferred", "pa-precondition-passive-df"


def _limit(row: str) -> float:
    return load().row(row).value


def _gain(case: Case) -> float:
    """Dorsiflexion [deg] that the planned calf procedure is expected to add."""
    return case.plan.calf_gain_deg or 0.0


def _released(case: Case) -> bool:
    return case.plan.calf_procedure not in (None, "none")


def _fixed(case: Case) -> str | None:
    straight, bent = passive_up(case)
    best = max((each for each in (straight, bent) if each is not None), default=None)
    if _released(case) and (case.plan.calf_gain_deg is None or best is None or best + _gain(case) >= _limit(NEEDED)):
        return None
    if best is not None and bent is not None and best + _gain(case) < _limit(NEEDED):
        return (
            f"Passive dorsiflexion ends at {angle_words(best)} even with the knee bent, and the plan names no release "
            "that brings it to neutral."
        )
    if case.foot.equinus_fixed:
        return (
            "Equinus is fixed in every position of the knee, and the plan names no release that brings it to neutral."
        )
    return None


def _long_fixed(case: Case) -> str | None:
    _, bent = passive_up(case)
    below = bent is not None and bent < _limit(NEEDED)
    if (below or case.foot.equinus_fixed) and _released(case):
        return "The foot is fixed below neutral; the release and the transfer are planned together."
    return None


def short_calf(case: Case) -> Short | None:
    """Which part of the calf is short by the equinus test, None when neither or when the range is not given."""
    straight, bent = passive_up(case)
    if straight is None or straight > _limit(SOLEUS):
        return None
    if bent is None:
        return "untold" if straight <= _limit(GASTROCNEMIUS) else None
    if bent <= _limit(SOLEUS):
        return "both"
    return "gastrocnemius" if straight <= _limit(GASTROCNEMIUS) else None


def _tight_calf(case: Case) -> str | None:
    short, planned = short_calf(case), case.plan.calf_procedure
    straight, bent = passive_up(case)
    if short is None or straight is None or planned == "achilles lengthening":
        return None
    if planned == "gastrocnemius recession" and short != "both":
        return None
    both = short == "both"
    found = f"Passive dorsiflexion ends at {angle_words(straight)} with the knee straight"
    if bent is None:
        return f"{found}; the knee-bent limit, which tells gastrocnemius from soleus, is not given."
    found += f" and at {angle_words(bent)} with it bent"
    if both and planned == "gastrocnemius recession":
        return f"{found}: a recession leaves the soleus, which is short too."
    if both and straight < _limit(NEEDED) <= bent:
        return f"{found}: the calf is tight, the gastrocnemius more than the soleus; lengthen before tensioning."
    if both:
        return f"{found}: gastrocnemius and soleus are both short; weigh lengthening before tensioning."
    return f"{found}: the gastrocnemius is short; weigh a recession before tensioning."


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
    weak = [name for name in CALF if works(case, name) is False]
    if "soleus" in weak or len(weak) > 1:
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
    if foot.toes == "fixed claws":
        bad.append("toes fixed in a claw")
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
    if case.foot.feeling_sole in ("reduced", "absent"):
        return f"Feeling of the sole is {case.foot.feeling_sole}: cast and shoes press unnoticed."
    return None


RULES = (
    PatientRule(
        "fixed_below_neutral",
        "block",
        "passive dorsiflexion ends below neutral in every knee position, no release planned",
        (f.TO_NEUTRAL, f.TO_NEUTRAL_AGAIN, f.RELEASED_FIRST),
        _fixed,
    ),
    PatientRule(
        "release_together",
        "warn",
        "foot fixed below neutral, release planned with the transfer",
        (f.RELEASED_FIRST, f.TO_NEUTRAL),
        _long_fixed,
    ),
    PatientRule("tight_calf", "warn", "equinus test positive, calf lengthening not planned", f.CALF, _tight_calf),
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
    PatientRule("weak_calf", "warn", "soleus or two calf muscles below grade 4", (f.WEAK_CALF,), _weak_calf),
    PatientRule("fused_ankle", "block", "ankle joint fused", (f.SUPPLE, f.EXCLUDED), _fused),
    PatientRule(
        "poor_joints",
        "warn",
        "ankle, subtalar joint, midfoot or toes stiff, arthritic, unstable or fused",
        (f.COUNT_AGAINST, f.EXCLUDED, f.NEAR_NORMAL, f.SUPPLE),
        _joints,
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
    ),
    PatientRule(
        "active_infection", "block", "infection of the leg active", (f.ULCER_HEALED, f.AFTER_INFECTION), _infection
    ),
    PatientRule("infection_healed", "warn", "infection healed not long ago", (f.AFTER_INFECTION,), _infection_healed),
    PatientRule("open_ulcer", "block", "ulcer of the foot open", (f.COUNT_AGAINST, f.ULCER_HEALED), _ulcer),
    PatientRule("open_wound", "block", "skin missing over shin or foot", (f.FLAP_FIRST, f.SOFT_BED), _wound),
    PatientRule(
        "poor_skin", "warn", "skin thin or grafted over shin or foot", (f.COUNT_AGAINST, f.FLAP_FIRST), _poor_skin
    ),
    PatientRule("no_pulse", "block", "both pulses of the foot absent", (f.NO_PULSE,), _no_pulse),
    PatientRule("poor_circulation", "warn", "a pulse weak or circulation reduced", (f.ONE_PULSE,), _circulation),
    PatientRule("numb_sole", "warn", "feeling of the sole reduced or absent", (f.NUMB_SOLE, f.FEWER_ULCERS), _numb),
)
