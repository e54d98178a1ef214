"""The passive joints and the weight of the foot for each draw, brought to this patient's own limits.

Measured limits keep their reading error; the examiner's push is doubtful unless it was read. What was not measured
comes from the printed curve (rows pa-riener-*) with a wide spread. A calf procedure moves the upper branch.
"""

import numpy as np
from numpy.typing import NDArray

from sinewright.case import Case, Number
from sinewright.doubt.assumed import Numbers
from sinewright.solve.resist import (
    INWARD,
    LOWER,
    LOWER_KNEE,
    LOWER_RATE,
    MASS_X,
    MASS_Y,
    MASS_Z,
    OFFSET,
    OUTWARD,
    REFERENCE_TORQUE,
    RESIST_SIZE,
    STOP_RATE,
    TILT_NEUTRAL,
    TILT_STIFFNESS,
    UPPER,
    UPPER_KNEE,
    UPPER_RATE,
    WEIGHT,
)
from sinewright.units import deg, rad

Floats = NDArray[np.float64]
G = 9.80665  # m/s2, standard gravity
KNEE_BENT_DEG = 90.0
RIENER = {name: f"pa-riener-{name}" for name in ("b0", "b1", "b2", "c0", "c1", "c2", "d")}
GONIOMETER_UP = "me-wb-df-goniometer-sem-konor2012"
GONIOMETER_DOWN = "me-pf-sem"
LENGTHENING = "pa-tal-df-gain-salsich2005"


def draw_resistance(case: Case, sizes: Floats, numbers: Numbers) -> Floats:
    """Resistance (N, 16) of each draw in the layout of ``solve.resist``; sizes (N, 6) [m]."""
    out = np.zeros((numbers.draws, RESIST_SIZE))
    _ankle(case, numbers, out)
    _calf_procedure(case, numbers, out)
    _subtalar(case, numbers, out)
    _weight(case, sizes, numbers, out)
    return out


def printed_limits(numbers: Numbers) -> dict[str, float]:
    """Where the printed curve holds the reference torque: upper and lower limit [deg], and how the knee moves them."""
    c = {name: numbers.value(id) for name, id in RIENER.items()}
    log = float(np.log(REFERENCE_TORQUE))
    return {
        "upper_rate": c["b1"],
        "upper": (log - c["b0"]) / c["b1"],
        "upper_knee": -c["b2"] / c["b1"],
        "lower_rate": -c["c1"],
        "lower": (log - c["c0"]) / c["c1"],
        "lower_knee": -c["c2"] / c["c1"],
        "offset": c["d"],
    }


def _reading(found: Number | None, error: str, numbers: Numbers, name: str) -> Floats | None:
    """Draws around a measured angle [deg] with the reading error of a goniometer, or None."""
    if found is None:
        return None
    return found.value + numbers.row(error).high * numbers.stream(name).standard_normal(numbers.draws)


def _ankle(case: Case, numbers: Numbers, out: Floats) -> None:
    limits, found = printed_limits(numbers), case.range.affected
    n = numbers.draws
    push = _push(found.examiner_torque_Nm, numbers)
    rate = np.exp(
        np.log(limits["upper_rate"])
        + numbers.value("own-upper-rate-cv") * numbers.stream("upper rate").standard_normal(n)
    )
    offset = np.full(n, limits["offset"])
    straight, coupling = _upper_limits(case, numbers, limits)
    down = found.plantarflexion_limit_down_deg
    measured_down = _reading(down, GONIOMETER_DOWN, numbers, "passive down")
    spread = numbers.value("own-lower-limit-sd") * numbers.stream("lower limit").standard_normal(n)
    lower = limits["lower"] + spread if measured_down is None else -measured_down
    # each branch alone at its limit holds the push, less the constant
    out[:, UPPER_RATE], out[:, LOWER_RATE] = rate / rad(1.0), limits["lower_rate"] / rad(1.0)
    out[:, UPPER] = rad(straight - np.log((push - offset) / REFERENCE_TORQUE) / rate)
    out[:, LOWER] = rad(lower + np.log((push + offset) / REFERENCE_TORQUE) / limits["lower_rate"])
    out[:, UPPER_KNEE], out[:, LOWER_KNEE], out[:, OFFSET] = coupling, limits["lower_knee"], offset


def _push(found: Number | None, numbers: Numbers) -> Floats:
    """Examiner's torque [N.m]: read with a tenth of error, else assumed; never less than 3 N.m."""
    if found is None:
        return np.maximum(numbers.lognormal("own-examiner-torque"), 3.0)
    return np.maximum(found.value * np.exp(0.1 * numbers.stream("push").standard_normal(numbers.draws)), 3.0)


def _upper_limits(case: Case, numbers: Numbers, limits: dict[str, float]) -> tuple[Floats, Floats]:
    """Upper limit with the knee straight [deg] and its gain per degree of knee flexion."""
    found, n = case.range.affected, numbers.draws
    straight = _reading(found.dorsiflexion_knee_straight_deg, GONIOMETER_UP, numbers, "passive up straight")
    bent = _reading(found.dorsiflexion_knee_bent_deg, GONIOMETER_UP, numbers, "passive up bent")
    knee = found.knee_bent_deg.value if found.knee_bent_deg else KNEE_BENT_DEG
    width = np.log1p(numbers.value("own-knee-coupling-cv"))
    typical = limits["upper_knee"] * np.exp(width * numbers.stream("knee coupling").standard_normal(n))
    if straight is None and bent is None:
        spread = numbers.value("own-upper-limit-sd") * numbers.stream("upper limit").standard_normal(n)
        return limits["upper"] + spread, typical
    if straight is None and bent is not None:
        return bent - typical * knee, typical
    if straight is not None and bent is not None:
        return straight, np.maximum((bent - straight) / knee, 0.0)
    assert straight is not None
    return straight, typical


def _calf_procedure(case: Case, numbers: Numbers, out: Floats) -> None:
    """Recession brings the knee-straight curve onto the knee-bent one; lengthening moves both."""
    plan = case.plan
    if plan.calf_procedure in (None, "none"):
        return
    bend = rad(KNEE_BENT_DEG)
    if plan.calf_gain_deg is not None:
        out[:, UPPER] += rad(plan.calf_gain_deg)
        if plan.calf_procedure == "gastrocnemius recession":
            out[:, UPPER_KNEE] = np.maximum(out[:, UPPER_KNEE] - rad(plan.calf_gain_deg) / bend, 0.0)
    elif plan.calf_procedure == "gastrocnemius recession":
        out[:, UPPER] += out[:, UPPER_KNEE] * bend
        out[:, UPPER_KNEE] = 0.0
    else:
        out[:, UPPER] += rad(numbers.value(LENGTHENING))


def _subtalar(case: Case, numbers: Numbers, out: Floats) -> None:
    found, n = case.range.affected, numbers.draws
    share = np.clip(numbers.normal("own-subtalar-share-of-clinical-arc"), 0.3, 1.0)
    error = numbers.value("own-subtalar-limit-error")
    sides = (
        (found.inversion_limit_deg, "own-subtalar-inversion-limit", INWARD, 1.0),
        (found.eversion_limit_out_deg, "own-subtalar-eversion-limit", OUTWARD, -1.0),
    )
    for limit, row, column, sign in sides:
        if limit is None:
            angle = numbers.normal(row)
        else:
            angle = share * (limit.value + error * numbers.stream(row).standard_normal(n))
        out[:, column] = sign * rad(np.maximum(angle, 2.0))
    out[:, TILT_STIFFNESS] = numbers.lognormal("own-subtalar-stiffness")
    neutral = numbers.value("own-subtalar-neutral-sd") * numbers.stream("subtalar neutral").standard_normal(n)
    out[:, TILT_NEUTRAL] = np.clip(rad(neutral), 0.8 * out[:, OUTWARD], 0.8 * out[:, INWARD])
    out[:, STOP_RATE] = 1.0 / rad(numbers.value("own-subtalar-stop-angle"))


def _weight(case: Case, sizes: Floats, numbers: Numbers, out: Floats) -> None:
    word = "women" if case.person.sex == "female" else "men"
    given = case.person.mass_kg
    mass = given.value if given else numbers.normal("own-default-mass")
    share = numbers.value(f"anth-foot-mass-fraction-{word}-deleva1996")
    along = numbers.value(f"anth-foot-com-{word}-deleva1996") - numbers.value("own-ankle-axis-from-heel")
    out[:, WEIGHT] = np.maximum(mass * share, 0.2) * G
    out[:, MASS_X] = along * sizes[:, 0]
    out[:, MASS_Y] = -np.clip(numbers.normal("own-foot-mass-depth"), 0.1, 0.9) * sizes[:, 1]
    out[:, MASS_Z] = 0.0


def limit_at(resist: Floats, torque: float, knee: float, upward: bool) -> Floats:
    """Angle [deg] at which the passive ankle of each leg holds a torque [N.m], found by bisection (for checks)."""
    from sinewright.solve.resist import ankle_resistance

    low, high = np.full(len(resist), rad(-90.0)), np.full(len(resist), rad(60.0))
    wanted = -torque if upward else torque
    for _ in range(60):
        middle = 0.5 * (low + high)
        moment = np.array([ankle_resistance(r, a, knee)[0] for r, a in zip(resist, middle, strict=True)])
        above = moment > wanted
        low, high = np.where(above, middle, low), np.where(above, high, middle)
    return deg(0.5 * (low + high))
