"""The passive joints and the weight of the foot for each draw, brought to this patient's own limits.

The printed curve (rows pa-riener-*) with a wide spread is what is believed before the examination; each measured
limit moves it as far as the reading error allows, the examiner's push being doubtful itself unless it was read.
"""

import numpy as np
from scipy.special import ndtr, ndtri

from sinewright.arrays import Floats
from sinewright.case import Case, Number, calf_procedure
from sinewright.case.examination import Motion
from sinewright.doubt.joint_normal import JointNormal, before, read
from sinewright.doubt.prior import LogLikelihood, PriorSampler
from sinewright.muscle.norms import CHILD_BELOW, child_factor
from sinewright.solve.passive_torque import (
    INWARD,
    LOWER,
    LOWER_KNEE,
    LOWER_RATE,
    MASS_X,
    MASS_Y,
    MASS_Z,
    OFFSET,
    OUTWARD,
    PASSIVE_SIZE,
    REFERENCE_TORQUE,
    STOP_RATE,
    SUBTALAR_NEUTRAL,
    SUBTALAR_STIFFNESS,
    UPPER,
    UPPER_KNEE,
    UPPER_RATE,
    WEIGHT,
)
from sinewright.units import GRAVITY, deg, rad

LEAST_PUSH = 3.0  # N.m
PUSH_ERROR = 0.1  # of a torque that was read
CONSTANT_RANGE = (-LEAST_PUSH + 0.2, 0.5)  # N.m
PROPOSAL = "resting angle, hanging"
USUAL_FOOT_MOMENT, ASKED_SD = 0.7, 0.3  # N.m; only shape a proposal
WIDER = 1.2  # the proposal against the best normal guess
KNEE_BENT_DEG = 90.0
ARC_SHARE = (0.3, 1.0)  # least and most share of a clinical arc that the hindfoot itself turns
RIENER = {name: f"pa-riener-{name}" for name in ("b0", "b1", "b2", "c0", "c1", "c2", "d")}
GONIOMETER_UP = "me-wb-df-goniometer-sem-konor2012"
GONIOMETER_DOWN = "me-pf-sem"
LENGTHENING = "pa-tal-df-gain-salsich2005"


def draw_passive(case: Case, sizes: Floats, sampler: PriorSampler) -> Floats:
    """Passive torque (N, 17) of each draw as the leg is now, as in ``solve.passive_torque``; sizes (N, 6) [m]."""
    out = np.zeros((sampler.draws, PASSIVE_SIZE))
    _ankle(case, sampler, out)
    _subtalar(case, sampler, out)
    _weight(case, sizes, sampler, out)
    return out


def printed_limits(sampler: PriorSampler) -> dict[str, float]:
    """Where the printed curve holds the reference torque: upper and lower limit [deg], and how the knee moves them."""
    c = {name: sampler.value(id) for name, id in RIENER.items()}
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


def _ankle(case: Case, sampler: PriorSampler, out: Floats) -> None:
    limits, found, n = printed_limits(sampler), case.range.affected, sampler.draws
    push = _push(found.examiner_torque_Nm, case.person.age_years, sampler)
    spread = sampler.value("own-upper-rate-cv") * sampler.stream("upper rate").standard_normal(n)
    rate = limits["upper_rate"] * np.exp(spread)
    offset = _constant(found, limits, push, rate, sampler)
    # each branch alone holds the examiner's push at its limit, less the constant
    upper = _upper(found, limits, np.log((push - offset) / REFERENCE_TORQUE) / rate, sampler)
    lower = _lower(found, limits, -np.log((push + offset) / REFERENCE_TORQUE) / limits["lower_rate"], sampler)
    drawn = upper.draw(sampler, "upper limit")
    out[:, UPPER_RATE], out[:, LOWER_RATE] = rate / rad(1.0), limits["lower_rate"] / rad(1.0)
    out[:, UPPER], out[:, UPPER_KNEE] = rad(drawn[:, 0]), np.maximum(drawn[:, 1], 0.0)
    out[:, LOWER], out[:, LOWER_KNEE] = rad(lower.draw(sampler, "lower limit")[:, 0]), limits["lower_knee"]
    out[:, OFFSET] = offset


def _upper(found: Motion, limits: dict[str, float], shift: Floats, sampler: PriorSampler) -> JointNormal:
    """Angle [deg] where the upper branch holds the reference torque with the knee straight, and its gain per degree
    of knee flexion, after both passive limits."""
    error, knee = sampler.row(GONIOMETER_UP).high, _knee_bent(found)
    sd = (sampler.value("own-upper-limit-sd"), sampler.value("own-knee-coupling-cv") * limits["upper_knee"])
    belief = before((limits["upper"], limits["upper_knee"]), sd, sampler)
    straight, bent = found.dorsiflexion_knee_straight_deg, found.dorsiflexion_knee_bent_deg
    if straight is not None:
        belief = read(
            belief,
            sampler,
            "passive limit up, knee straight",
            found=straight.value,
            error=error,
            offset=shift,
            along=(1.0, 0.0),
        )
    if bent is not None:
        belief = read(
            belief,
            sampler,
            "passive limit up, knee bent",
            found=bent.value,
            error=error,
            offset=shift,
            along=(1.0, knee),
        )
    return belief


def _lower(found: Motion, limits: dict[str, float], shift: Floats, sampler: PriorSampler) -> JointNormal:
    """Angle [deg] where the lower branch holds the reference torque, after the passive limit down."""
    belief = before(limits["lower"], sampler.value("own-lower-limit-sd"), sampler)
    if found.plantarflexion_limit_down_deg is None:
        return belief
    limit, error = -found.plantarflexion_limit_down_deg.value, sampler.row(GONIOMETER_DOWN).high
    return read(belief, sampler, "passive limit down", found=limit, error=error, offset=shift)


def _knee_bent(found: Motion) -> float:
    return found.knee_bent_deg.value if found.knee_bent_deg else KNEE_BENT_DEG


def _constant(found: Motion, limits: dict[str, float], push: Floats, rate: Floats, sampler: PriorSampler) -> Floats:
    """The constant of the passive curve [N.m]. A hanging angle says much of it, so it is proposed near what that angle
    asks for; the correction goes into the weight of the draw, and the angle itself is compared later."""
    mean, sd = limits["offset"], sampler.value("own-passive-constant-sd")
    chance = sampler.stream("passive constant").random(sampler.draws)
    if found.resting_hanging_deg is None:
        return _between(chance, mean, sd)[0]
    quiet = PriorSampler(sampler.draws, 0)  # a sketch of the limits: its readings are not taken down
    rest, bent = found.resting_hanging_deg.value, found.resting_hanging_knee_deg
    along = np.array([1.0, bent.value if bent else KNEE_BENT_DEG])
    upper = _upper(found, limits, np.log((push - mean) / REFERENCE_TORQUE) / rate, quiet)
    lower = _lower(found, limits, -np.log((push + mean) / REFERENCE_TORQUE) / limits["lower_rate"], quiet)
    up = REFERENCE_TORQUE * np.exp(np.minimum(rate * (rest - upper.mean @ along), 3.0))
    low = REFERENCE_TORQUE * np.exp(np.minimum(limits["lower_rate"] * (lower.mean[:, 0] - rest), 3.0))
    steep_up, steep_low = rate * up, limits["lower_rate"] * low
    doubt = (
        steep_up**2 * (along @ upper.covariance @ along)
        + steep_low**2 * lower.covariance[:, 0, 0]
        + (steep_up + steep_low) ** 2 * sampler.value("own-rest-reading-error") ** 2
    )
    asked, asked_sd = low - up - USUAL_FOOT_MOMENT, np.sqrt(doubt + ASKED_SD**2)
    weight = 1.0 / sd**2 + 1.0 / asked_sd**2
    drawn, log_proposal = _between(chance, (mean / sd**2 + asked / asked_sd**2) / weight, WIDER / np.sqrt(weight))
    log_before = -0.5 * ((drawn - mean) / sd) ** 2
    sampler.log_likelihoods.append(LogLikelihood(PROPOSAL, log_before - log_proposal, 0.0, drawn, "N.m"))
    return drawn


def _between(chance: Floats, centre: Floats | float, width: Floats | float) -> tuple[Floats, Floats]:
    """Draws of a normal cut off at CONSTANT_RANGE, and the log of their density (up to a constant)."""
    low, high = (ndtr((end - centre) / width) for end in CONSTANT_RANGE)
    drawn = np.asarray(centre + width * ndtri(low + chance * (high - low)))
    return drawn, -0.5 * ((drawn - centre) / width) ** 2 - np.log(width * (high - low))


def _push(found: Number | None, age: Number | None, sampler: PriorSampler) -> Floats:
    """Examiner's torque [N.m]: assumed, less in a child as its muscles are less, or read with a tenth of error; never
    less than 3 N.m."""
    row = sampler.row("own-examiner-torque")
    child = child_factor(age.value) if age is not None and age.value < CHILD_BELOW else 1.0
    belief = before(np.log(row.value * child), np.sqrt(np.log1p(((row.sd or 0.0) / row.value) ** 2)), sampler)
    if found is not None:
        belief = read(belief, sampler, "examiner's torque", np.log(found.value), PUSH_ERROR, unit="ln N.m")
    return np.maximum(np.exp(belief.draw(sampler, "push")[:, 0]), LEAST_PUSH)


def lengthen_calf(case: Case, passive: Floats, sampler: PriorSampler) -> Floats:
    """Resistance after the calf procedure: a recession brings the knee-straight curve up to the knee-bent one and no
    further, a lengthening moves both."""
    out, gain = passive.copy(), case.plan.calf_gain_deg
    procedure, bend = calf_procedure(case), rad(KNEE_BENT_DEG)
    if procedure == "none":
        return out
    if procedure == "gastrocnemius recession":
        most = out[:, UPPER_KNEE] * bend
        more = most if gain is None else np.minimum(rad(gain), np.maximum(most, 0.0))
        out[:, UPPER] += more
        out[:, UPPER_KNEE] = np.maximum(out[:, UPPER_KNEE] - more / bend, 0.0)
    else:
        out[:, UPPER] += rad(gain if gain is not None else sampler.value(LENGTHENING))
    return out


def _subtalar(case: Case, sampler: PriorSampler, out: Floats) -> None:
    found, n = case.range.affected, sampler.draws
    share = np.clip(sampler.normal("own-subtalar-share-of-clinical-arc"), *ARC_SHARE)
    error = sampler.value("own-subtalar-limit-error")
    sides = (
        (found.inversion_limit_deg, "own-subtalar-inversion-limit", INWARD, 1.0),
        (found.eversion_limit_out_deg, "own-subtalar-eversion-limit", OUTWARD, -1.0),
    )
    for limit, row, column, sign in sides:
        belief = before(sampler.value(row), sampler.row(row).sd or 0.0, sampler)
        if limit is not None:
            name = row.removeprefix("own-").replace("-", " ")
            belief = read(belief, sampler, name, limit.value, error, along=1.0 / share[:, None])
        out[:, column] = sign * rad(np.maximum(belief.draw(sampler, row)[:, 0], 2.0))
    out[:, SUBTALAR_STIFFNESS] = sampler.lognormal("own-subtalar-stiffness")
    neutral = sampler.value("own-subtalar-neutral-sd") * sampler.stream("subtalar neutral").standard_normal(n)
    out[:, SUBTALAR_NEUTRAL] = np.clip(rad(neutral), 0.8 * out[:, OUTWARD], 0.8 * out[:, INWARD])
    out[:, STOP_RATE] = 1.0 / rad(sampler.value("own-subtalar-stop-angle"))


def _weight(case: Case, sizes: Floats, sampler: PriorSampler, out: Floats) -> None:
    word = "women" if case.person.sex == "female" else "men"
    given = case.person.mass_kg
    mass = given.value if given else sampler.normal("own-default-mass")
    share = sampler.value(f"anth-foot-mass-fraction-{word}-deleva1996")
    along = sampler.value(f"anth-foot-com-{word}-deleva1996") - sampler.value("own-ankle-axis-from-heel")
    out[:, WEIGHT] = np.maximum(mass * share, 0.2) * GRAVITY
    out[:, MASS_X] = along * sizes[:, 0]
    out[:, MASS_Y] = -np.clip(sampler.normal("own-foot-mass-depth"), 0.1, 0.9) * sizes[:, 1]
    out[:, MASS_Z] = 0.0


def limit_at(passive: Floats, torque: float, knee: float, upward: bool) -> Floats:
    """Angle [deg] at which the passive ankle of each leg holds a torque [N.m], found by bisection (for checks)."""
    from sinewright.solve.passive_torque import ankle_passive_torque

    low, high = np.full(len(passive), rad(-90.0)), np.full(len(passive), rad(60.0))
    wanted = -torque if upward else torque
    for _ in range(60):
        middle = 0.5 * (low + high)
        moment = np.array([ankle_passive_torque(r, a, knee)[0] for r, a in zip(passive, middle, strict=True)])
        above = moment > wanted
        low, high = np.where(above, middle, low), np.where(above, high, middle)
    return deg(0.5 * (low + high))
