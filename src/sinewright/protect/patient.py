"""What in this patient tightens the stages, each with its reason. Findings come from the case; none is guessed."""

from __future__ import annotations

from dataclasses import dataclass

from sinewright.case import Case, number
from sinewright.reference import load


@dataclass(frozen=True)
class PatientFactor:
    """One finding: ``what`` it changes (``margin of loaded stages``, ``time of healing``, ``strength in bone``), by how
    much, why, and the row."""

    what: str
    by: float
    reason: str
    row: str


@dataclass(frozen=True)
class Patient:
    """All factors of one patient. ``margin`` multiplies the margin of loaded stages, ``slow`` the time of healing."""

    factors: tuple[PatientFactor, ...]
    soft_bone: bool

    @property
    def margin(self) -> float:
        """Product of the factors on the margin."""
        return self._product("margin of loaded stages")

    @property
    def slow(self) -> float:
        """Product of the factors on the time of healing."""
        return self._product("time of healing")

    def _product(self, what: str) -> float:
        out = 1.0
        for factor in self.factors:
            out *= factor.by if factor.what == what else 1.0
        return out


def patient_of(case: Case) -> Patient:
    """The factors that the findings of a case ask for."""
    out: list[PatientFactor] = []
    value = load().fit_value

    def add(holds: bool, what: str, row: str, reason: str) -> None:
        if holds:
            out.append(PatientFactor(what, value(row), reason, row))

    feeling = case.foot.feeling_sole
    add(
        feeling in ("reduced", "absent"), "margin of loaded stages", "own-protect-numb-sole-factor",
        f"feeling of the sole is {feeling}: overload and pressure are not felt; skin is looked at every day",
    )  # fmt: skip
    mass, heavy = number(case.person.mass_kg), value("own-protect-heavy-mass")
    if mass is not None and mass > heavy:
        reason = f"body mass {mass:g} kg is above {heavy:g} kg: every loaded stage carries more"
        out.append(PatientFactor("margin of loaded stages", mass / heavy, reason, "own-protect-heavy-mass"))
    history = case.history
    add(
        history.diabetes in ("diet or tablets", "insulin"), "time of healing", "own-protect-slow-diabetes",
        f"diabetes ({history.diabetes}): tendon and wound heal later",
    )  # fmt: skip
    add(history.smoking == "smokes", "time of healing", "own-protect-slow-smoking", "smokes: the wound heals later")
    add(
        history.circulation == "reduced", "time of healing", "own-protect-slow-circulation",
        "circulation of the leg is reduced",
    )  # fmt: skip
    soft = case.foot.bone == "soft"
    add(soft, "strength in bone", "own-protect-soft-bone", "bone is soft: a fixation in bone holds less")
    return Patient(tuple(out), soft)
