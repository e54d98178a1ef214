"""The examination in about twelve lines, in the order in which it is done and in the words of a colleague."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from sinewright.case.contradictions import GONE
from sinewright.case.examination import Motion
from sinewright.case.fields import Number
from sinewright.case.labels import SPOKEN, TRADE, label
from sinewright.case.missing import DONORS
from sinewright.case.model import Case
from sinewright.case.muscles import FRONT, Muscle, MuscleName, state_of
from sinewright.results import ExaminationLine
from sinewright.wording.directions import IN_OUT, UP_DOWN, VARUS_VALGUS

CALF: tuple[MuscleName, ...] = ("soleus", "gastrocnemius_medial", "gastrocnemius_lateral")
NOT_EXAMINED = "not examined"
_WORDS = 90  # signs of free text, longest


def summary(case: Case) -> tuple[ExaminationLine, ...]:
    """What the examination found, one line for each of its steps; a step of which nothing is known is left out.

    The lesion, who lifts, the donors and the passive range are always there: nothing can be planned without them.
    """
    always = (
        ("Lesion", _lesion(case)),
        ("Lifts", _lifters(case)),
        ("Donors", _donors(case)),
        ("Ankle", _ankle(case)),
    )
    others = (
        ("Calf", _calf(case)),
        ("Hindfoot", _hindfoot(case)),
        ("Foot", _foot(case)),
        ("Bed", _bed(case)),
        ("Feeling", _feeling(case)),
        ("Health", _health(case)),
        ("Brace", _brace(case)),
        ("Wants", _wants(case)),
    )
    first = [ExaminationLine(topic, _sentence(parts) or f"{NOT_EXAMINED}.") for topic, parts in always]
    return (*first, *(ExaminationLine(topic, told) for topic, parts in others if (told := _sentence(parts))))


def _sentence(parts: Iterable[str]) -> str:
    told = "; ".join(part for part in parts if part)
    return (told if told.endswith("...") else f"{told}.") if told else ""


def _months(found: Number) -> str:
    return f"{found.value:g} month{'' if found.value == 1 else 's'}"


def _lesion(case: Case) -> Iterator[str]:
    history = case.history
    cause = ", ".join(history.cause)
    since = f" {_months(history.onset_months)} ago" if history.onset_months else ""
    since = f" on {history.onset_on}" if history.onset_on else since
    if cause or since:
        yield f"{cause or 'cause not given'}{since}"
    if history.recovering:
        yield "still recovering"
    elif history.stable_months:
        yield f"no recovery for {_months(history.stable_months)}"
    elif history.recovering is False:
        yield "no longer recovering"
    if history.earlier_surgery:
        what = ", ".join(each.what for each in history.earlier_surgery if each.what)
        yield f"operated before: {_shortened(what)}" if what else "operated before"


def strength_words(muscle: Muscle) -> str:
    """``MRC 5``, ``MRC 3, scarred``, ``paralysed``: never *not examined* beside a grade; empty where nothing is known.

    >>> strength_words(Muscle.model_validate({"grade": "4-"}))
    'MRC 4-'
    """
    if not muscle.grade:
        return state_of(muscle) or ""
    special = muscle.state if muscle.state in ("recovering", "absent", "scarred") else ""
    return f"MRC {muscle.grade.value}{f', {special}' if special else ''}"


def _grouped(case: Case, names: Iterable[MuscleName]) -> Iterator[str]:
    """Muscles that are alike in one go; those of which nothing is known are left out."""
    alike: dict[str, list[str]] = {}
    for name in names:
        alike.setdefault(strength_words(case.muscles[name]), []).append(TRADE[name])
    yield from (f"{_listed(same)} {told}" for told, same in alike.items() if told)


def _listed(names: list[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def _lifters(case: Case) -> Iterator[str]:
    told = {strength_words(case.muscles[name]) for name in FRONT}
    if len(told) == 1 and "" not in told:
        yield f"all four lifters {told.pop()}"
    else:
        yield from _grouped(case, FRONT)
    motion = case.range.affected
    active = motion.active_dorsiflexion_knee_straight_deg or motion.active_dorsiflexion_knee_bent_deg
    if active:
        yield f"active dorsiflexion to {UP_DOWN.exact(active.value)}"
    unknown = [TRADE[name] for name in FRONT if not strength_words(case.muscles[name])]
    if unknown and len(unknown) < len(FRONT):
        yield f"{_listed(unknown)} {NOT_EXAMINED}"


def _donors(case: Case) -> Iterator[str]:
    for name in DONORS:
        muscle = case.muscles[name]
        if state_of(muscle) in GONE:
            continue
        told = strength_words(muscle) or ("" if muscle.force_N or muscle.torque_Nm else NOT_EXAMINED)
        measured = _measured(muscle.force_N, muscle.other_side_force_N, "N")
        measured = measured or _measured(muscle.torque_Nm, muscle.other_side_torque_Nm, "Nm")
        yield f"{TRADE[name]} {', '.join(part for part in (told, measured) if part)}"
    gone = [name for name in DONORS if state_of(case.muscles[name]) in GONE]
    yield from _grouped(case, [*gone, "peroneus_brevis"])


def _measured(here: Number | None, there: Number | None, unit: str) -> str:
    if here is None:
        return ""
    return f"{here.value:g} {unit}" + (f" (other leg {there.value:g})" if there else "")


def _ankle(case: Case) -> Iterator[str]:
    here, there = case.range.affected, case.range.other
    up = _up(here)
    if up:
        other = _up(there, "", "")
        yield f"passive {up}" + (f" (other leg {other})" if other else "")
    if here.plantarflexion_limit_down_deg:
        yield f"down to {UP_DOWN.exact(-here.plantarflexion_limit_down_deg.value)}"
    rest = here.resting_hanging_deg or here.resting_supine_deg
    if rest:
        yield f"rests {UP_DOWN.exact(rest.value)}"
    yield "fixed equinus" if case.foot.equinus_fixed else ""
    yield _joints(case)


def _up(motion: Motion, on_straight: str = " with the knee straight", on_bent: str = " bent") -> str:
    straight, bent = motion.dorsiflexion_knee_straight_deg, motion.dorsiflexion_knee_bent_deg
    told = [f"{UP_DOWN.exact(straight.value)}{on_straight}"] if straight else []
    told += [f"{UP_DOWN.exact(bent.value)}{on_bent}"] if bent else []
    return ", ".join(told)


def _joints(case: Case) -> str:
    foot = case.foot
    named = (("ankle", foot.ankle_joint), ("subtalar", foot.subtalar_joint), ("midfoot", foot.midfoot_joints))
    known = [(name, state) for name, state in named if state]
    if known and all(state == "sound" for _, state in known):
        return f"{_listed([name for name, _ in known])} joint{'s' if len(known) > 1 else ''} sound"
    return ", ".join(f"{name} joint {state}" for name, state in known if state != "sound")


def _calf(case: Case) -> Iterator[str]:
    told = {strength_words(case.muscles[name]) for name in CALF}
    if len(told) == 1 and "" not in told:
        yield told.pop()
    else:
        yield from _grouped(case, CALF)
    push = _measured(case.torque.affected.plantarflexion_Nm, case.torque.other.plantarflexion_Nm, "Nm")
    yield f"pushes {push}" if push else ""
    girth, other = case.leg.calf_circumference_mm, case.leg.other_calf_circumference_mm
    if girth and other:
        yield f"girth {girth.value:g} mm (other leg {other.value:g})"
    yield f"spasticity {case.history.spasticity}" if case.history.spasticity in ("mild", "marked") else ""


def _hindfoot(case: Case) -> Iterator[str]:
    foot, motion = case.foot, case.range.affected
    yield foot.hindfoot or ""
    yield f"stands {VARUS_VALGUS.exact(foot.hindfoot_varus_deg.value)}" if foot.hindfoot_varus_deg else ""
    turns = [IN_OUT.exact(motion.inversion_limit_deg.value)] if motion.inversion_limit_deg else []
    turns += [IN_OUT.exact(-motion.eversion_limit_out_deg.value)] if motion.eversion_limit_out_deg else []
    yield f"turns {' and '.join(turns)}" if turns else ""


def _foot(case: Case) -> Iterator[str]:
    foot = case.foot
    yield f"forefoot {foot.forefoot}" if foot.forefoot else ""
    yield f"arch {foot.arch}" if foot.arch else ""
    yield f"toes {foot.toes}" if foot.toes else ""
    yield f"bone {foot.bone}" if foot.bone and foot.bone != "normal" else ""


def _bed(case: Case) -> Iterator[str]:
    foot = case.foot
    skin = [("shin", foot.skin_front_of_shin), ("instep", foot.skin_top_of_foot)]
    known = [(where, state) for where, state in skin if state]
    if known and len({state for _, state in known}) == 1:
        yield f"skin {known[0][1]}"
    elif known:
        yield "skin " + ", ".join(f"{state} over the {where}" for where, state in known)
    yield f"scar: {', '.join(SPOKEN.get(each, each) for each in foot.scar_bed)}" if foot.scar_bed else ""
    if foot.membrane_scarred is not None:
        yield f"membrane {'scarred' if foot.membrane_scarred else 'free'}"
    yield f"retinaculum {foot.retinaculum}" if foot.retinaculum else ""
    if foot.extensor_mass:
        yield "extensors " + foot.extensor_mass.replace("free tendons", "free")


def _feeling(case: Case) -> Iterator[str]:
    foot = case.foot
    yield f"sole {foot.feeling_sole}" if foot.feeling_sole else ""
    yield f"instep {foot.feeling_top_of_foot}" if foot.feeling_top_of_foot else ""
    pulses = [("dorsalis pedis", foot.dorsalis_pedis_pulse), ("posterior tibial", foot.posterior_tibial_pulse)]
    known = [(name, pulse) for name, pulse in pulses if pulse]
    if len(known) == 2 and known[0][1] == known[1][1]:
        yield f"both pulses {known[0][1]}"
    else:
        yield ", ".join(f"{name} pulse {pulse}" for name, pulse in known)
    yield f"ulcer {foot.ulcer}" if foot.ulcer and foot.ulcer != "none" else ""


def _health(case: Case) -> Iterator[str]:
    history = case.history
    yield "smokes" if history.smoking == "smokes" else ""
    yield f"diabetes ({history.diabetes})" if history.diabetes not in (None, "none") else ""
    yield "blood thinner" if history.blood_thinner else ""
    yield f"infection {history.infection}" if history.infection not in (None, "none") else ""
    yield f"circulation {history.circulation}" if history.circulation else ""
    absent = [("diabetes", history.diabetes == "none"), ("infection", history.infection == "none")]
    absent += [("blood thinner", history.blood_thinner is False)]
    none = [name for name, is_absent in absent if is_absent]
    yield f"no {', no '.join(none)}" if none else ""


def _brace(case: Case) -> Iterator[str]:
    brace = case.brace
    use = {"none": "none worn", "always": "always worn"}.get(brace.use or "", f"worn {brace.use}" if brace.use else "")
    yield use
    yield brace.kind or ""


def _wants(case: Case) -> Iterator[str]:
    weights = {name: weight for name, weight in case.goals if isinstance(weight, int | float) and weight > 0}
    if weights:
        top = [name for name, weight in weights.items() if weight == max(weights.values())]
        yield f"above all {_listed([label(f'goals.{name}') for name in top])}"
    own = case.goals.own_words
    if own:
        yield f'"{_shortened(own).removesuffix(".")}"'


def _shortened(text: str) -> str:
    return text if len(text) <= _WORDS else f"{text[:_WORDS].rsplit(' ', 1)[0].rstrip(',;.')} ..."
