"""Questions that several rules ask of a case. Each answers None where the case does not say."""

import re
from collections.abc import Iterable, Iterator

from sinewright.case import Case, Muscle, grade_position, number, share_of_other_side, state_of
from sinewright.case.examination import Motion
from sinewright.transfer.surgery import DONORS

GONE = ("paralysed", "absent")
FRONT = ("tibialis_anterior", "extensor_hallucis_longus", "extensor_digitorum_longus", "peroneus_tertius")
NERVE_CAUSES = ("deep peroneal lesion", "common peroneal lesion", "sciatic lesion")
CENTRAL = ("stroke or other central lesion", "cerebral palsy")
DAYS_IN_MONTH = 365.25 / 12.0
ACTIVE_GRADE = 4
OPPOSING_GRADE = 3.5  # between 3+ and 4-
MOVING = r"\b(transfer|transferred|transposed|transposition|re-?routed|re-?routing|moved|bridle|harvested)\b"
NOT_TENDON = ("nerve transfer", "transfer of the nerve", "not moved", "no transfer", "without transfer")
CALLED = {
    "tibialis_posterior": ("tibialis posterior", "posterior tibial", "posterior tibialis", "tp"),
    "peroneus_longus": ("peroneus longus", "long peroneal", "peroneal longus", "fibularis longus", "pl"),
    "peroneus_brevis": ("peroneus brevis", "short peroneal", "peroneal brevis", "fibularis brevis", "pb"),
    "flexor_digitorum_longus": ("flexor digitorum longus", "long toe flexor", "toe flexors", "fdl"),
    "flexor_hallucis_longus": ("flexor hallucis longus", "great-toe flexor", "great toe flexor", "fhl"),
}
EVERTORS = ("peroneus_longus", "peroneus_brevis")
TITLES = {donor.muscle: donor.title for donor in DONORS} | {
    "tibialis_anterior": "Anterior tibial",
    "extensor_hallucis_longus": "Long great-toe extensor",
    "extensor_digitorum_longus": "Long toe extensors",
    "peroneus_tertius": "Third peroneal",
}


def muscle(case: Case, name: str) -> Muscle:
    """The muscle called ``name`` in full."""
    found: Muscle = getattr(case.muscles, name)
    return found


def months_since_onset(case: Case) -> float | None:
    """Months between onset and examination."""
    history = case.history
    if history.onset_months:
        return history.onset_months.value
    if history.onset_on and case.examined_on:
        return (case.examined_on - history.onset_on).days / DAYS_IN_MONTH
    return None


def months(value: float) -> str:
    """``1 month``, ``14 months``."""
    whole = round(value)
    return f"{whole} month{'' if whole == 1 else 's'}"


def front_lost(case: Case) -> bool:
    """True when the muscles in front were destroyed or removed, so that no nerve has anything to reach."""
    gone = all(state_of(muscle(case, name)) == "absent" for name in FRONT)
    return gone or "front compartment loss" in case.history.cause


def nerve_caused(case: Case) -> bool:
    """True when a peroneal or sciatic lesion is named and a muscle in front is left to be reached by a nerve."""
    return not front_lost(case) and any(cause in NERVE_CAUSES for cause in case.history.cause)


def central(case: Case) -> bool:
    """True when the brain is a cause."""
    return any(cause in CENTRAL for cause in case.history.cause)


def opposes(case: Case, name: str) -> bool | None:
    """True for a muscle that can still hold against a pull: 4- or better. None where it was not graded."""
    grade = grade_of(case, name)
    if grade is not None:
        return grade >= OPPOSING_GRADE
    return True if state_of(muscle(case, name)) == "normal" else None


def earlier_moved(case: Case) -> dict[str, str]:
    """Donors that an earlier operation moved, by name, with what the case says about it.

    Named under ``moved``; else read from the words, when a donor and a word for moving stand in one entry.
    """
    found: dict[str, str] = {}
    for surgery in case.history.earlier_surgery:
        said = f'earlier surgery: "{surgery.what}"' if surgery.what else "earlier surgery"
        named: tuple[str, ...] = surgery.moved or tuple(_told_as_moved(surgery.what or ""))
        found |= {name: said for name in named if name not in found}
    return found


def _told_as_moved(words: str) -> Iterator[str]:
    plain = words.lower()
    if not re.search(MOVING, plain) or any(word in plain for word in NOT_TENDON):
        return
    for name, called in CALLED.items():
        if any(re.search(rf"\b{word}\b(?! (artery|nerve|vein|vessels))", plain) for word in called):
            yield name


def spastic(case: Case) -> bool:
    """True when spasticity is described."""
    return case.history.spasticity in ("mild", "marked")


def grade_of(case: Case, name: str) -> float | None:
    """Grade of a muscle, a third less for a minus and a third more for a plus; 0 when it is paralysed or absent."""
    found = muscle(case, name)
    if state_of(found) in GONE:
        return 0.0
    return grade_position(found.grade.value) if found.grade else None


def works(case: Case, name: str) -> bool | None:
    """True for grade 4 or better or a muscle called normal, False for less, None where it was not graded."""
    grade = grade_of(case, name)
    if grade is not None:
        return grade >= ACTIVE_GRADE
    return True if state_of(muscle(case, name)) == "normal" else None


def measured_share(case: Case, name: str) -> float | None:
    """Measured strength over the same muscle of the other leg [1]."""
    return share_of_other_side(muscle(case, name))


def numb(case: Case) -> bool:
    """True when feeling of the sole is reduced or absent."""
    return case.foot.feeling_sole in ("reduced", "absent")


def clawed(case: Case) -> bool:
    """True when the toes claw, flexible or fixed."""
    return case.foot.toes in ("flexible claws", "fixed claws")


def passive_arc(case: Case, side: str = "affected") -> float | None:
    """Passive arc of the ankle [deg] of one leg, from its lower limit to the higher of the upper ones; None where a
    limit is not given."""
    motion: Motion = getattr(case.range, side)
    ups = [number(motion.dorsiflexion_knee_straight_deg), number(motion.dorsiflexion_knee_bent_deg)]
    up = max((each for each in ups if each is not None), default=None)
    down = number(motion.plantarflexion_limit_down_deg)
    return None if up is None or down is None else up + down


def names(muscles: Iterable[str]) -> str:
    """Titles of muscles in one text: ``Tibialis posterior and long toe flexor``."""
    first, *rest = [TITLES[name] for name in muscles]
    return " and ".join([first, *(each.lower() for each in rest)])


def listed(words: Iterable[str]) -> str:
    """``a``, ``a and b``, ``a, b and c``."""
    *most, last = list(words)
    return f"{', '.join(most)} and {last}" if most else last
