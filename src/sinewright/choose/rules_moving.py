"""Rules about one operation: is the donor good enough, is the route free, does the bone take a tunnel."""

from sinewright.case import Case, state_of
from sinewright.choose import facts_moving as f
from sinewright.choose.facts_body import CENTRAL_EXCLUDED, SOFT_BED
from sinewright.choose.findings import (
    ACTIVE_GRADE,
    GONE,
    OPPOSING_GRADE,
    earlier_moved,
    grade_of,
    listed,
    measured_share,
    muscle,
    names,
)
from sinewright.choose.rule import OperationRule
from sinewright.reference import load
from sinewright.transfer.catalogue import Operation

HALF_OF_NORMAL = "gr-prior-donor-grade-4plus"
FATTY = ("3", "4")
FOUR_PLUS = 4.2  # between 4 and 4+
STRONG = 0.8  # of the other leg; side differences of healthy legs reach 15 % (row me-other-leg-not-perfect)
FIFTH_ROOT = ("tibialis_posterior", "flexor_digitorum_longus", "peroneus_longus", "peroneus_brevis")
FAT_KNOWN = ("Goutallier", "Mercuri")
ROUTE_REGIONS = {
    "membrane_under": ("membrane between the bones",),
    "membrane_over": ("membrane between the bones",),
    "round_tibia": ("inner shin", "inner ankle"),
    "front_of_fibula_under": ("outer shin",),
    "front_of_fibula_over": ("outer shin",),
}


def _donors(moved: Operation) -> list[str]:
    return [part.donor.muscle for part in moved.parts]


def _weak(case: Case, moved: Operation) -> list[str]:
    grades = {name: grade_of(case, name) for name in _donors(moved)}
    return [name for name, grade in grades.items() if grade is not None and grade < OPPOSING_GRADE]


def _moved_already(case: Case, moved: Operation) -> str | None:
    spent = earlier_moved(case)
    hit = [name for name in moved.taken if name in spent]
    return f"{names(hit)} moved already ({spent[hit[0]]})." if hit else None


def _graded(case: Case, names_: list[str]) -> str:
    return listed(f"{names([name]).lower()} grade {_grade(case, name)}" for name in names_)


def _grade(case: Case, name: str) -> str:
    found = muscle(case, name)
    return found.grade.value if found.grade else "0"


def _weak_donor(case: Case, moved: Operation) -> str | None:
    weak = _weak(case, moved)
    if weak and len(weak) == len(moved.parts):
        return f"The donor is too weak to lift: {_graded(case, weak)}."
    return None


def _weak_partner(case: Case, moved: Operation) -> str | None:
    weak = _weak(case, moved)
    if weak and len(weak) < len(moved.parts):
        return f"One of the two donors is only a tether: {_graded(case, weak)}."
    return None


def _measured_weak(case: Case, moved: Operation) -> str | None:
    half = load().row(HALF_OF_NORMAL).low
    shares = {name: measured_share(case, name) for name in _donors(moved)}
    found = [
        f"{names([name]).lower()} measures {100 * share:.0f} % of the other leg{_by_hand(case, name)}"
        for name, share in shares.items()
        if share is not None and share < half
    ]
    return f"{_capital(listed(found))}." if found else None


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _by_hand(case: Case, name: str) -> str:
    grade = muscle(case, name).grade
    return f", grade {grade.value} by hand" if grade else ""


def _below_four(case: Case, moved: Operation) -> str | None:
    grades = {name: grade_of(case, name) for name in _donors(moved)}
    found = [n for n, grade in grades.items() if grade is not None and OPPOSING_GRADE <= grade < ACTIVE_GRADE]
    return f"{_capital(_graded(case, found))}: below what an active transfer needs." if found else None


def _recovering_donor(case: Case, moved: Operation) -> str | None:
    found = [name for name in _donors(moved) if muscle(case, name).state == "recovering"]
    return f"{names(found)}: still regaining its nerve." if found else None


def _scarred_donor(case: Case, moved: Operation) -> str | None:
    found = [name for name in _donors(moved) if muscle(case, name).state == "scarred"]
    return f"{names(found)}: bound down by scar." if found else None


def _root(case: Case, moved: Operation) -> str | None:
    found = [name for name in _donors(moved) if name in FIFTH_ROOT]
    if "disc" not in case.history.cause or not found:
        return None
    return f"A root of the spine is the cause, and {names(found).lower()} may hang on the same root."


def _root_unmeasured(case: Case, moved: Operation) -> str | None:
    if _root(case, moved) is None:
        return None
    shares = {name: measured_share(case, name) for name in _donors(moved)}
    found = [name for name, share in shares.items() if share is None or share < STRONG]
    if not found:
        return None
    return f"{names(found)}: own root hit, and not shown by a dynamometer to be as strong as the other leg's."


def _just_four(case: Case, moved: Operation) -> str | None:
    grades = {name: grade_of(case, name) for name in _donors(moved)}
    found = [name for name, grade in grades.items() if grade is not None and ACTIVE_GRADE <= grade < FOUR_PLUS]
    return f"{_capital(_graded(case, found))}: sources differ on what moving costs." if found else None


def _not_alone(case: Case, moved: Operation) -> str | None:
    donors = [name for name in _donors(moved) if state_of(muscle(case, name)) not in GONE]
    found = [name for name in donors if not muscle(case, name).tested_alone]
    return f"{names(found)}: not tested alone; helpers can hide a weak donor." if found else None


def _grade_only(case: Case, moved: Operation) -> str | None:
    found = []
    for name in _donors(moved):
        donor = muscle(case, name)
        if state_of(donor) not in GONE and donor.force_N is None and donor.torque_Nm is None:
            found.append(name)
    return f"{names(found)}: no dynamometer value; a grade hides much of the strength." if found else None


def _fat(case: Case, moved: Operation) -> str | None:
    found = []
    for name in _donors(moved):
        donor = muscle(case, name)
        if donor.fat_system and donor.fat_grade in FATTY:
            other = "" if donor.fat_system in FAT_KNOWN else " (the limit is known for other systems)"
            found.append(f"{names([name]).lower()} {donor.fat_system} {donor.fat_grade}{other}")
    return f"Fat in the donor: {listed(found)}." if found else None


def _membrane(case: Case, moved: Operation) -> str | None:
    if case.foot.membrane_scarred and any(part.route.needs_membrane for part in moved.parts):
        return "The membrane between the bones is scarred: no sound way through it."
    return None


def _regions(moved: Operation) -> set[str]:
    """Regions that the moved tendons run through or are sewn in."""
    out = {"front of ankle"}
    for part in moved.parts:
        out |= set(ROUTE_REGIONS[part.route.name])
        out |= {"front of shin"} if part.recipient.joined_above else {"top of foot"}
    return out


def _scar_bed(case: Case, moved: Operation) -> str | None:
    hit = sorted(set(case.foot.scar_bed) & _regions(moved))
    return f"The tendon would run through scar: {listed(hit)}." if hit else None


def _under(moved: Operation) -> bool:
    return any(part.route.name.endswith("_under") or part.recipient.joined_above for part in moved.parts)


def _no_retinaculum(case: Case, moved: Operation) -> str | None:
    if case.foot.retinaculum == "absent" and _under(moved):
        return "There is no retinaculum to hold the tendon down."
    return None


def _poor_retinaculum(case: Case, moved: Operation) -> str | None:
    if case.foot.retinaculum in ("divided", "scarred") and _under(moved):
        return f"The retinaculum is {case.foot.retinaculum}: it may not hold the tendon, or bind it."
    return None


def _bone(moved: Operation) -> bool:
    return any(part.recipient.bone for part in moved.parts)


def _growth(case: Case, moved: Operation) -> str | None:
    if case.foot.bone == "growing" and _bone(moved):
        return "A tunnel would be drilled in growing bone: small, and to be kept off every growth plate."
    return None


def _soft_bone(case: Case, moved: Operation) -> str | None:
    return "The bone that holds the tendon is soft." if case.foot.bone == "soft" and _bone(moved) else None


RULES = (
    OperationRule(
        "moved_already",
        "block",
        "a donor that an earlier operation moved",
        (f.SPENT, f.RETENSIONED),
        _moved_already,
        opens="freeing and re-tensioning what was moved, or another donor",
    ),
    OperationRule(
        "weak_donor",
        "block",
        "every donor below 4-",
        (f.DONOR_FOUR, f.DONOR_TETHER),
        _weak_donor,
        opens="a donor of grade 4",
    ),
    OperationRule(
        "weak_partner",
        "warn",
        "one of two donors below 4-",
        (f.DONOR_FOUR, f.DONOR_TETHER),
        _weak_partner,
        severity="danger",
        costs="offer",
        opens="two donors of grade 4, or the strong one alone",
    ),
    OperationRule(
        "donor_measured_weak",
        "warn",
        "donor measured below half of the other leg",
        (f.HIDDEN_WEAKNESS, f.GRADE_HIDES, f.FOUR_PLUS_SHARE),
        _measured_weak,
        severity="danger",
        costs="first place",
    ),
    OperationRule(
        "donor_below_four",
        "warn",
        "donor of grade 4-",
        (f.DONOR_FOUR, f.DONOR_TETHER, f.LOSES_A_GRADE),
        _below_four,
        severity="danger",
        costs="offer",
        opens="a donor of grade 4, or a dynamometer value that speaks for this one",
    ),
    OperationRule(
        "donor_recovering",
        "warn",
        "donor still recovers",
        (f.DONOR_RECOVERS, f.DONOR_FOUR),
        _recovering_donor,
        severity="danger",
        costs="offer",
        opens="a donor that has levelled off at grade 4 or better",
    ),
    OperationRule(
        "donor_scarred",
        "warn",
        "donor bound down by scar",
        (f.DONOR_BOUND,),
        _scarred_donor,
        severity="danger",
        costs="first place",
    ),
    OperationRule(
        "donor_root",
        "warn",
        "a root of the spine is the cause and may be the donor's own",
        (f.OWN_ROOT, f.HIDDEN_LESION, CENTRAL_EXCLUDED),
        _root,
        severity="danger",
    ),
    OperationRule(
        "donor_root_unmeasured",
        "warn",
        "donor of the lost root without a dynamometer value near the other leg's",
        (f.OWN_ROOT, f.HIDDEN_WEAKNESS),
        _root_unmeasured,
        severity="danger",
        costs="first place",
        opens="a dynamometer value of the donor against the other leg",
    ),
    OperationRule(
        "donor_just_four", "warn", "donor of grade 4", (f.DONOR_FOUR, f.LOSES_A_GRADE, f.LOSES_NOTHING), _just_four
    ),
    OperationRule(
        "donor_not_alone", "warn", "donor not tested alone", (f.HIDDEN_LESION, f.HIDDEN_WEAKNESS), _not_alone
    ),
    OperationRule(
        "donor_grade_only",
        "warn",
        "donor without a dynamometer value",
        (f.GRADE_HIDES, f.HIDDEN_WEAKNESS),
        _grade_only,
        severity="note",
    ),
    OperationRule("donor_fat", "warn", "fat grade 3 or worse in the donor", (f.FAT, f.FAT_READING), _fat),
    OperationRule(
        "membrane_scarred",
        "block",
        "route through a scarred membrane",
        (f.ROUTE_SCARRED, f.ROUND_WHEN, f.ROUND_TIBIA),
        _membrane,
        opens="the way round the tibia, or a new window higher up in sound membrane",
    ),
    OperationRule(
        "scar_on_route",
        "warn",
        "scar where the tendon runs or is sewn",
        (f.ROUTE_SCARRED, SOFT_BED),
        _scar_bed,
        severity="danger",
        costs="first place",
        opens="another route, or a flap that brings a soft bed",
    ),
    OperationRule(
        "no_retinaculum",
        "block",
        "run under a retinaculum that is absent",
        (f.NOTHING_TO_HOLD, f.UNDER_MORE, f.OVER_MORE),
        _no_retinaculum,
        opens="a run above where the retinaculum was, or a pulley made anew",
    ),
    OperationRule(
        "poor_retinaculum",
        "warn",
        "run under a divided or scarred retinaculum",
        (f.UNDER_MORE, f.OVER_MORE),
        _poor_retinaculum,
    ),
    OperationRule(
        "growth_plates",
        "warn",
        "bony fixation in growing bone",
        (f.GROWING, f.NO_PLATE),
        _growth,
        severity="danger",
    ),
    OperationRule(
        "soft_bone",
        "warn",
        "bony fixation in soft bone",
        (f.EARLY_PULL_OUT, f.POOR_BONE),
        _soft_bone,
        severity="danger",
        costs="first place",
    ),
)
