"""Rules about cause, age and general health."""

from sinewright.case import Case, number
from sinewright.choose import facts_body as f
from sinewright.choose.findings import listed
from sinewright.choose.rule import PatientRule

RUNNING = ("run", "jog", "football", "soccer", "tennis", "sprint")
YEARS = 40.0  # in the note of the row out-chaurasia2019-count-carayon-excellent-good


def _hereditary(case: Case) -> str | None:
    if "hereditary neuropathy" in case.history.cause:
        return "The cause is a hereditary neuropathy, which goes on."
    return None


def _central(case: Case) -> str | None:
    found = [cause for cause in case.history.cause if cause in ("stroke or other central lesion", "cerebral palsy")]
    if found:
        return f"Central cause ({listed(found)}): transfer only in selected patients."
    return None


def _disc(case: Case) -> str | None:
    return "The cause is a disc: the donor's root may be hit too." if "disc" in case.history.cause else None


def _spastic(case: Case) -> str | None:
    if case.history.spasticity in ("mild", "marked"):
        return f"Spasticity is {case.history.spasticity}: over-correction and the wrong phase are to be feared."
    return None


def _age(case: Case) -> str | None:
    age = number(case.person.age_years)
    if age is not None and age >= YEARS:
        return f"Age {age:.0f}: small series report better results in younger patients."
    return None


def _health(case: Case) -> str | None:
    history = case.history
    found = []
    if history.diabetes in ("diet or tablets", "insulin"):
        found.append(f"diabetes ({history.diabetes})")
    if history.smoking == "smokes":
        found.append("smoking")
    return f"{listed(found).capitalize()}: wounds and bone heal worse." if found else None


def _thinner(case: Case) -> str | None:
    return "A blood-thinning drug is taken." if case.history.blood_thinner else None


def _one_leg(case: Case) -> str | None:
    other = case.leg.other_leg
    if other == "amputated":
        return "The other leg is amputated: this is the only foot to stand on."
    return "The other leg is impaired too: it cannot take the load." if other == "impaired" else None


def _running(case: Case) -> str | None:
    told = " ".join(each or "" for each in (case.work.sport, case.goals.own_words)).lower()
    if any(word in told for word in RUNNING):
        return "The patient wants to run: a transfer lifts the foot in walking, not at a run."
    return None


RULES = (
    PatientRule("one_leg", "warn", "the other leg impaired or amputated", (f.ONE_LEG,), _one_leg, severity="danger"),
    PatientRule("wants_to_run", "warn", "wish to run", (f.RUNNING, f.SLAP_STAYS), _running),
    PatientRule(
        "hereditary",
        "warn",
        "hereditary neuropathy",
        (f.HEREDITARY, f.HEREDITARY_PUSH, f.NO_ALGORITHM, f.PROGRESSES),
        _hereditary,
        severity="danger",
    ),
    PatientRule(
        "central_cause",
        "warn",
        "stroke, other central lesion or cerebral palsy",
        (f.CP_BY_PATTERN, f.CENTRAL_EXCLUDED, f.STROKE_TOO_MIXED, f.FLEXORS_SPASTIC),
        _central,
        severity="danger",
    ),
    PatientRule("disc", "warn", "disc as cause", (f.CENTRAL_EXCLUDED,), _disc, severity="danger"),
    PatientRule(
        "spastic",
        "warn",
        "spasticity of calf or inverters",
        (f.OVER_CORRECTED, f.SPLIT_SAFE, f.FLEXOR_CALCANEUS, f.FLEXORS_SPASTIC),
        _spastic,
        severity="danger",
    ),
    PatientRule("age", "warn", "40 years or older", (f.BELOW_FORTY, f.YOUNGER, f.NERVE_NO_AGE), _age, severity="note"),
    PatientRule("diabetes_or_smoking", "warn", "diabetes or smoking", (f.RISKS_RISE,), _health, severity="danger"),
    PatientRule("blood_thinner", "warn", "blood-thinning drug", (f.THINNER,), _thinner, severity="danger"),
)
