"""Rules about cause, age and general health."""

from sinewright.case import Case, number
from sinewright.choose import facts_body as f
from sinewright.choose.findings import listed
from sinewright.choose.rule import PatientRule

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


RULES = (
    PatientRule(
        "hereditary",
        "warn",
        "hereditary neuropathy",
        (f.HEREDITARY, f.HEREDITARY_PUSH, f.NO_ALGORITHM, f.PROGRESSES),
        _hereditary,
    ),
    PatientRule(
        "central_cause",
        "warn",
        "stroke, other central lesion or cerebral palsy",
        (f.CP_BY_PATTERN, f.CENTRAL_EXCLUDED, f.STROKE_TOO_MIXED, f.FLEXORS_SPASTIC),
        _central,
    ),
    PatientRule("disc", "warn", "disc as cause", (f.CENTRAL_EXCLUDED,), _disc),
    PatientRule(
        "spastic",
        "warn",
        "spasticity of calf or inverters",
        (f.OVER_CORRECTED, f.SPLIT_SAFE, f.FLEXOR_CALCANEUS, f.FLEXORS_SPASTIC),
        _spastic,
    ),
    PatientRule("age", "warn", "40 years or older", (f.BELOW_FORTY, f.YOUNGER, f.NERVE_NO_AGE), _age),
    PatientRule("diabetes_or_smoking", "warn", "diabetes or smoking", (f.RISKS_RISE,), _health),
    PatientRule("blood_thinner", "warn", "blood-thinning drug", (f.THINNER,), _thinner),
)
