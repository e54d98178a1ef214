"""Rules about skin, arteries and toes on the way of one operation."""

from sinewright.case import Case
from sinewright.choose import facts_moving as f
from sinewright.choose.facts_body import FLAP_FIRST, FLEXORS_SPASTIC, SOFT_BED, TOES_TOGETHER
from sinewright.choose.findings import clawed, listed, names, spastic
from sinewright.choose.rule import OperationRule
from sinewright.transfer.catalogue import Operation

UNDER_SKIN = ("membrane_over", "front_of_fibula_over", "round_tibia")
BEHIND = ("tibialis_posterior", "flexor_digitorum_longus", "flexor_hallucis_longus")
TOE_FLEXORS = ("flexor_digitorum_longus", "flexor_hallucis_longus")
TOE_EXTENSORS = ("extensor_digitorum_longus", "extensor_hallucis_longus")


def _on_shin(moved: Operation) -> bool:
    """True when a tendon runs down the front of the shin; round the tibia it comes to the front only at the ankle."""
    return any(part.route.name != "round_tibia" or part.recipient.joined_above for part in moved.parts)


def _under(case: Case, moved: Operation, *states: str) -> list[str]:
    """Places (with their state) where a tendon would lie under skin of one of these states."""
    foot, found = case.foot, []
    if foot.skin_front_of_shin in states and _on_shin(moved):
        found.append(f"front of the shin ({foot.skin_front_of_shin})")
    if foot.skin_top_of_foot in states and any(not part.recipient.joined_above for part in moved.parts):
        found.append(f"top of the foot ({foot.skin_top_of_foot})")
    return found


def _graft(case: Case, moved: Operation) -> str | None:
    found = _under(case, moved, "graft")
    return f"The tendon would run or be sewn under grafted skin: {listed(found)}." if found else None


def _thin(case: Case, moved: Operation) -> str | None:
    shallow = any(part.route.name in UNDER_SKIN for part in moved.parts)
    thin = [each for each in (case.foot.skin_front_of_shin, case.foot.skin_top_of_foot) if each in ("thin", "graft")]
    return "The tendon would run close under thin skin, above the retinaculum." if shallow and thin else None


def _last_artery(case: Case, moved: Operation) -> str | None:
    in_front, behind = case.foot.dorsalis_pedis_pulse, case.foot.posterior_tibial_pulse
    beside = [name for name in moved.taken if name in BEHIND]
    if in_front == "absent" and behind != "absent" and beside:
        return f"The artery behind the inner ankle is the only one left, and it lies beside {names(beside).lower()}."
    if behind == "absent" and in_front != "absent" and any(part.route.needs_membrane for part in moved.parts):
        return "The artery in front is the only one left, and the window is cut beside it."
    return None


def _claws(case: Case, moved: Operation) -> str | None:
    pulled = [part.recipient.title for part in moved.parts if set(part.recipient.tendons) & set(TOE_EXTENSORS)]
    if clawed(case) and pulled:
        return f"The toes claw, and the pull goes to toe extensors: {listed(dict.fromkeys(pulled))}."
    return None


def _flexor_alone(case: Case, moved: Operation) -> str | None:
    donors = [part.donor.muscle for part in moved.parts]
    if spastic(case) or not set(donors) <= set(TOE_FLEXORS):
        return None
    return f"{names(donors)} alone: weak for a foot that hangs."


def _toe_flexor(case: Case, moved: Operation) -> str | None:
    taken = [name for name in TOE_FLEXORS if name in moved.taken]
    return f"{names(taken)} leaves the toes: grip and the push of the toes are lost." if taken else None


RULES = (
    OperationRule(
        "skin_graft_on_route",
        "warn",
        "grafted skin over the way of the tendon",
        (f.GRAFT_STICKS, SOFT_BED, FLAP_FIRST),
        _graft,
        severity="danger",
        costs="offer",
        opens="a flap in place of the graft, or a free muscle with its own skin",
    ),
    OperationRule(
        "thin_skin_on_route",
        "warn",
        "thin skin over a tendon that runs close under it",
        (f.STANDS_OFF, f.LUMPS),
        _thin,
        severity="danger",
        costs="first place",
    ),
    OperationRule(
        "single_vessel",
        "warn",
        "the only artery of the foot lies beside the way of the tendon",
        (f.BESIDE_BEHIND, f.BESIDE_IN_FRONT, f.SHOW_ARTERY),
        _last_artery,
        severity="danger",
        costs="first place",
        opens="a picture of the arteries that shows a second one",
    ),
    OperationRule(
        "toe_extensors_in_claws",
        "warn",
        "toe extensors as recipient in a foot that claws",
        (f.LIFTS_THE_TOES, TOES_TOGETHER),
        _claws,
        severity="danger",
        costs="first place",
        opens="bone or another tendon as recipient",
    ),
    OperationRule(
        "toe_flexor_alone",
        "warn",
        "toe flexors as the only donors of a flaccid foot",
        (f.FLEXORS_WEAK, FLEXORS_SPASTIC),
        _flexor_alone,
        severity="danger",
        costs="first place",
    ),
    OperationRule("toe_flexor_taken", "warn", "a long toe flexor moved", (f.TOE_GRIP, f.FLEXORS_WEAK), _toe_flexor),
)
