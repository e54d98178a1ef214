"""The passive joints and the weight of the foot for each draw, brought to this patient's own limits.

The printed curve (rows pa-riener-*) with a wide spread is what is believed before the examination; each measured
limit moves it as far as the reading error allows, the examiner's push being doubtful itself unless it was read.
"""

import numpy as np
from scipy.special import ndtr, ndtri

from sinewright.arrays import Bools, Floats
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
HANGING = "resting angle, hanging"
PROPOSAL, RATES = "proposal of the passive constant", "proposal of the passive rates"
JOINTS, STIFF_ASKED = "proposal of stiff joints", (0.02, 0.98)  # least and most share of them that is proposed
STRAIGHT, BENT = "passive limit up, knee straight", "passive limit up, knee bent"
DOWN = "passive limit down"
ASKED_SD = 0.3  # N.m; only shapes a proposal, for which the foot's weight and the relaxed muscles cancel
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
    wide = _stiff_joints(found, limits, sampler)
    usual = {"up": limits["upper_rate"] * np.exp(spread), "down": np.full(n, limits["lower_rate"])}
    guess = stiffening(np.array([_arc_found(found, limits)]), limits, sampler)
    rate = {way: usual[way] * guess for way in usual}
    offset = _constant(found, limits, wide, push=push, rate=rate, sampler=sampler)
    shift = _shifts(push, offset, rate)
    upper = _upper(found, limits, wide, shift["up"], sampler).draw(sampler, "upper limit")
    lower = _lower(found, limits, wide, shift["down"], sampler).draw(sampler, "lower limit")[:, 0]
    own = stiffening(upper[:, 0] - lower, limits, sampler)
    rate = {way: usual[way] * own for way in usual}
    _correct(found, (upper, lower), shift, _shifts(push, offset, rate), sampler)
    out[:, UPPER_RATE], out[:, LOWER_RATE] = rate["up"] / rad(1.0), rate["down"] / rad(1.0)
    out[:, UPPER], out[:, UPPER_KNEE] = rad(upper[:, 0]), np.maximum(upper[:, 1], 0.0)
    out[:, LOWER], out[:, LOWER_KNEE] = rad(lower), limits["lower_knee"]
    out[:, OFFSET] = offset


def _stiff_joints(found: Motion, limits: dict[str, float], sampler: PriorSampler) -> Bools:
    """Which legs (N,) have a joint whose limits may lie anywhere: few, but what was measured decides.

    They are proposed as often as the measured limits ask for; the correction goes into the weight.
    """
    share, odds = sampler.value("own-stiff-joint"), 1.0
    readings = (
        (STRAIGHT, found.dorsiflexion_knee_straight_deg, limits["upper"], "upper", GONIOMETER_UP, 1.0),
        (DOWN, found.plantarflexion_limit_down_deg, limits["lower"], "lower", GONIOMETER_DOWN, -1.0),
    )
    for name, reading, printed, which, row, sign in readings:
        if reading is not None and name not in sampler.without:
            usual, wide = (sampler.value(f"own-{kind}{which}-limit-sd") for kind in ("", "stiff-"))
            variances, error = np.array([usual, wide]) ** 2 + sampler.row(row).high ** 2, sign * reading.value - printed
            densities = np.exp(-0.5 * error**2 / variances) / np.sqrt(variances)
            odds *= float(densities[1] / max(densities[0], 1e-300))
    asked = float(np.clip(share * odds / (share * odds + 1.0 - share), *STIFF_ASKED))
    out: Bools = sampler.stream("stiff joint").random(sampler.draws) < asked
    value: Floats = np.log(np.where(out, share / asked, (1.0 - share) / (1.0 - asked)))
    sampler.log_likelihoods.append(LogLikelihood(JOINTS, value, 0.0, value, ""))
    return out


def stiffening(arc: Floats, limits: dict[str, float], sampler: PriorSampler) -> Floats:
    """By how much both rates of the passive ankle are higher in a leg whose arc between the limits is short.

    The printed curve gives way over so many degrees; a joint with a tenth of the printed arc cannot. Under a share of
    the printed arc (row own-stiff-arc) the rates rise as the arc falls, up to own-stiff-most times.

    Parameters
    ----------
    arc : (N,) between both limits at the reference torque, knee straight [deg]
    limits : of the printed curve
    sampler : notes the rows
    """
    printed = limits["upper"] - limits["lower"]
    short = sampler.value("own-stiff-arc") * printed / np.maximum(arc, 1.0)
    return np.clip(short, 1.0, sampler.value("own-stiff-most"))


def _arc_found(found: Motion, limits: dict[str, float]) -> float:
    """Arc [deg] between the measured limits, knee straight; what was not measured as printed. Only a guess."""
    straight, bent, down = (
        found.dorsiflexion_knee_straight_deg, found.dorsiflexion_knee_bent_deg, found.plantarflexion_limit_down_deg,
    )  # fmt: skip
    up = limits["upper"]
    if straight is not None:
        up = straight.value
    elif bent is not None:
        up = bent.value - limits["upper_knee"] * _knee_bent(found)
    return up + (down.value if down is not None else -limits["lower"])


def _shifts(push: Floats, offset: Floats, rate: dict[str, Floats]) -> dict[str, Floats]:
    """From the angle at the reference torque to the measured limit [deg]: each branch alone holds the examiner's push,
    less the constant."""
    return {
        "up": np.log((push - offset) / REFERENCE_TORQUE) / rate["up"],
        "down": -np.log((push + offset) / REFERENCE_TORQUE) / rate["down"],
    }


def _correct(
    found: Motion, drawn: tuple[Floats, Floats], used: dict[str, Floats], own: dict[str, Floats], sampler: PriorSampler
) -> None:
    """The limits were met with guessed rates; the leg's own differ by what its arc does. What the readings say of that
    goes into the weight."""
    upper, lower = drawn
    up, down = sampler.row(GONIOMETER_UP).high, sampler.row(GONIOMETER_DOWN).high
    readings = (
        (STRAIGHT, found.dorsiflexion_knee_straight_deg, upper[:, 0], "up", up),
        (BENT, found.dorsiflexion_knee_bent_deg, upper[:, 0] + upper[:, 1] * _knee_bent(found), "up", up),
        (DOWN, _negative(found.plantarflexion_limit_down_deg), lower, "down", down),
    )
    value = np.zeros(sampler.draws)
    for name, reading, at, way, error in readings:
        if reading is not None and name not in sampler.without:
            angle = reading if isinstance(reading, float) else reading.value
            value += 0.5 * (((angle - at - used[way]) / error) ** 2 - ((angle - at - own[way]) / error) ** 2)
    sampler.log_likelihoods.append(LogLikelihood(RATES, value, 0.0, value, ""))


def _negative(reading: Number | None) -> float | None:
    return None if reading is None else -reading.value


def _upper(found: Motion, limits: dict[str, float], wide: Bools, shift: Floats, sampler: PriorSampler) -> JointNormal:
    """Angle [deg] where the upper branch holds the reference torque with the knee straight, and its gain per degree
    of knee flexion, after both passive limits."""
    error, knee = sampler.row(GONIOMETER_UP).high, _knee_bent(found)
    sd = np.where(wide, sampler.value("own-stiff-upper-limit-sd"), sampler.value("own-upper-limit-sd"))
    knee_sd = np.full(sampler.draws, sampler.value("own-knee-coupling-cv") * limits["upper_knee"])
    belief = before((limits["upper"], limits["upper_knee"]), np.stack([sd, knee_sd], axis=1), sampler)
    straight, bent = found.dorsiflexion_knee_straight_deg, found.dorsiflexion_knee_bent_deg
    if straight is not None:
        belief = read(
            belief,
            sampler,
            STRAIGHT,
            found=straight.value,
            error=error,
            offset=shift,
            along=(1.0, 0.0),
        )
    if bent is not None:
        belief = read(
            belief,
            sampler,
            BENT,
            found=bent.value,
            error=error,
            offset=shift,
            along=(1.0, knee),
        )
    return belief


def _lower(found: Motion, limits: dict[str, float], wide: Bools, shift: Floats, sampler: PriorSampler) -> JointNormal:
    """Angle [deg] where the lower branch holds the reference torque, after the passive limit down."""
    sd = np.where(wide, sampler.value("own-stiff-lower-limit-sd"), sampler.value("own-lower-limit-sd"))
    belief = before(limits["lower"], sd[:, None], sampler)
    if found.plantarflexion_limit_down_deg is None:
        return belief
    limit, error = -found.plantarflexion_limit_down_deg.value, sampler.row(GONIOMETER_DOWN).high
    return read(belief, sampler, DOWN, found=limit, error=error, offset=shift)


def _knee_bent(found: Motion) -> float:
    return found.knee_bent_deg.value if found.knee_bent_deg else KNEE_BENT_DEG


def _constant(
    found: Motion,
    limits: dict[str, float],
    wide: Bools,
    push: Floats,
    rate: dict[str, Floats],
    sampler: PriorSampler,
) -> Floats:
    """The constant of the passive curve [N.m]. A hanging angle says much of it, so it is proposed near what that angle
    asks for; the correction goes into the weight of the draw, and the angle itself is compared later."""
    mean, sd = limits["offset"], sampler.value("own-passive-constant-sd")
    chance = sampler.stream("passive constant").random(sampler.draws)
    if found.resting_hanging_deg is None or HANGING in sampler.without:
        return _between(chance, mean, sd)[0]
    quiet = PriorSampler(
        sampler.draws, 0, without=sampler.without
    )  # a sketch of the limits: its readings are not taken down
    rest, bent = found.resting_hanging_deg.value, found.resting_hanging_knee_deg
    along = np.array([1.0, bent.value if bent else KNEE_BENT_DEG])
    shift = _shifts(push, np.full(sampler.draws, mean), rate)
    upper = _upper(found, limits, wide, shift["up"], quiet)
    lower = _lower(found, limits, wide, shift["down"], quiet)
    up = REFERENCE_TORQUE * np.exp(np.minimum(rate["up"] * (rest - upper.mean @ along), 3.0))
    low = REFERENCE_TORQUE * np.exp(np.minimum(rate["down"] * (lower.mean[:, 0] - rest), 3.0))
    steep_up, steep_low = rate["up"] * up, rate["down"] * low
    doubt = (
        steep_up**2 * (along @ upper.covariance @ along)
        + steep_low**2 * lower.covariance[:, 0, 0]
        + (steep_up + steep_low) ** 2 * sampler.value("own-rest-reading-error") ** 2
    )
    asked, asked_sd = low - up, np.sqrt(doubt + ASKED_SD**2)
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
