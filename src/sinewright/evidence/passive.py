"""The passive ankle: the printed curve, hanging and lifted feet, and what unmeasured legs look like."""

import numpy as np
from scipy.optimize import brentq

from sinewright.anatomy.path import POSE_SIZE, set_pose
from sinewright.arrays import Floats
from sinewright.doubt.stiffness import limit_at
from sinewright.evidence.moved import passive_gain
from sinewright.evidence.result import Check, Verdict
from sinewright.evidence.scene import Scene
from sinewright.evidence.verdicts import (
    angle,
    cannot,
    direction,
    many,
    row,
    to_rounding,
    unit,
    within,
    within_sd,
)
from sinewright.reference import Row, load
from sinewright.solve.answer import LIFT, LIFT_BENT, PUSH
from sinewright.solve.balance import HANGING
from sinewright.solve.passive_torque import (
    INWARD,
    OUTWARD,
    ankle_passive_torque,
    subtalar_passive_torque,
    weight_moment,
)
from sinewright.units import deg, rad

TEST_TORQUE = row("pa-test-torque-digiovanni2002").value  # N.m
NM, DEG, PERCENT = unit("N.m", 2), unit("deg"), unit("%", 0)
GONIOMETER = "me-pf-sem"
CHUNG = "pa-angle-10nm-healthy-chung2004"
ROAAS_UP, ROAAS_DOWN = "ax-rom-dorsiflexion-passive-roaas1982", "ax-rom-plantarflexion-passive-roaas1982"
CLINICAL = "own-subtalar-share-of-clinical-arc"


def _ids(start: str) -> tuple[str, ...]:
    """Ids of the passive rows that begin so."""
    return tuple(r.id for r in load().rows(file="passive", use="check") if r.id.startswith(start))


def _torque(passive: Floats, ankle_deg: float, knee_deg: float) -> float:
    """Printed sign: positive resists dorsiflexion [N.m]."""
    return -float(ankle_passive_torque(passive, rad(ankle_deg), rad(knee_deg))[0])


def _posture(printed: Row) -> tuple[float, float]:
    return printed.condition_number("ankle_deg"), printed.condition_number("knee_deg")


CURVE, ANGLES = _ids("pa-riener-torque-"), _ids("pa-riener-angle-at-")
HANGS, STATICS = _ids("pa-hanging-foot-"), _ids("pa-static-df-torque-")


def _curve(scene: Scene) -> Verdict:
    rows = [row(id) for id in CURVE]
    found = [_torque(scene.printed_passive, *_posture(r)) for r in rows]
    return to_rounding(found, rows, 0.005, NM)


def _angles(scene: Scene) -> Verdict:
    rows, passive = [row(id) for id in ANGLES], scene.printed_passive[None]
    found = []
    for r in rows:
        torque = float(r.conditions["torque"].split()[0])
        found.append(float(limit_at(passive, torque, rad(r.condition_number("knee_deg")), True)[0]))
    return to_rounding(found, rows, 0.05, DEG)


def _slopes(scene: Scene) -> Verdict:
    rows = [row(f"pa-riener-slope-neutral-knee-{k}") for k in (0, 90)]
    found = [-float(rad(ankle_passive_torque(scene.printed_passive, 0.0, rad(k))[1])) for k in (0.0, 90.0)]
    return to_rounding(found, rows, 0.005, unit("N.m/deg", 2))


def _zero(scene: Scene) -> Verdict:
    printed = row("pa-riener-zero-torque-knee-0")
    found = deg(brentq(lambda q: ankle_passive_torque(scene.printed_passive, q, 0.0)[0], rad(-40.0), rad(10.0)))
    return to_rounding([found], [printed], 0.5, lambda v: angle(v, 0))


def _held(scene: Scene, torque: float, knee_deg: float) -> float:
    """Angle [deg] of a hanging foot that a constant torque lifts [N.m], subtalar joint at neutral."""
    passive, joint, pose = scene.printed_passive, scene.leg.joint[0], np.empty(POSE_SIZE)

    def left(q: float) -> float:
        set_pose(joint, q, 0.0, pose)
        weight = weight_moment(passive, HANGING, joint, pose)[0]
        return float(ankle_passive_torque(passive, q, rad(knee_deg))[0] + weight + torque)

    return float(deg(brentq(left, rad(-60.0), rad(50.0))))


def _hanging(scene: Scene) -> Verdict:
    rows = [row(id) for id in HANGS]
    knees = [r.condition_number("knee_deg") for r in rows]
    found = [_held(scene, 0.0, k) for k in knees]
    names = [f"knee {k:.0f} deg" for k in knees]
    return many(found, [r.value for r in rows], row(GONIOMETER).value, names, angle)


def _statics(scene: Scene) -> Verdict:
    rows = [row(id) for id in STATICS]
    gaps = []
    for r in rows:
        torque = float(r.conditions["active_torque"].split()[0])
        gaps.append(_held(scene, torque, r.condition_number("knee_deg")) - r.value)
    worst = float(np.abs(gaps).max())
    return within(worst, 0.0, row(GONIOMETER).value, unit("deg largest gap of 15"))


def _unmeasured(scene: Scene, torque: float, knee_deg: float) -> Floats:
    """Angle [deg] of each unmeasured healthy leg at an upward push [N.m]."""
    return limit_at(scene.both.passive, torque, rad(knee_deg), True)


def _prior(id: str, torque: float, knee_deg: float, claim: str, sd: str | None, why: str) -> Check:
    printed = row(id)

    def run(scene: Scene) -> Verdict:
        found = _unmeasured(scene, torque, knee_deg)
        low, high = np.quantile(found, [0.05, 0.95])
        spread = row(sd).sd if sd else None
        verdict = within_sd(float(np.median(found)), printed, angle, spread)
        told = f"{verdict.found}; nine tenths {angle(float(low))} to {angle(float(high))}"
        return Verdict(verdict.expected, told, verdict.outcome)

    tolerance = "the printed sd" if sd is None else f"no spread is printed: the sd of {sd}"
    return Check(
        id.removeprefix("pa-").removeprefix("ax-"),
        claim,
        (id,),
        f"400 virtual legs of which nothing was measured, pushed up with {torque:g} N.m, knee at {knee_deg:.0f} deg; "
        f"tolerance: {tolerance}",
        run,
        why,
        (sd,) if sd else (),
    )


STIFF = "against every series held here the printed mean curve (pa-riener-*) sits at the stiff end with the knee "
"straight; legs of which nothing was measured inherit that. A measured passive range replaces it"
COUPLED = (
    "the printed mean curve lets the knee move the limit by 19 deg, two goniometer series read 5 and 9 deg; a measured "
    "pair of "
    "ranges replaces it"
)


def _coupling(scene: Scene, straight: str, bent: str) -> Verdict:
    printed = row(bent).value - row(straight).value
    found = float(np.median(_unmeasured(scene, TEST_TORQUE, 90.0) - _unmeasured(scene, TEST_TORQUE, 0.0)))
    sds = [row(id).sd for id in (straight, bent)]
    spread = float(np.sqrt(sum((s or 0.0) ** 2 for s in sds))) if all(sds) else row(CHUNG).sd or 0.0
    return within(found, printed, spread, DEG)


def _chung_torque(scene: Scene) -> Verdict:
    found = [_torque(r, 10.0, 0.0) for r in scene.both.passive]
    bent = float(np.median([_torque(r, 10.0, 90.0) for r in scene.both.passive]))
    verdict = within_sd(float(np.median(found)), row("pa-torque-10df-healthy-chung2004"), NM)
    return Verdict(verdict.expected, f"{verdict.found} knee straight, {NM(bent)} knee bent", verdict.outcome)


def _riemann(scene: Scene) -> Verdict:
    r = scene.printed_passive
    at = {(a, k): -float(ankle_passive_torque(r, rad(a), rad(k))[1]) for a in (-10.0, 0.0, 10.0) for k in (0.0, 90.0)}
    rises = all(at[-10.0, k] < at[0.0, k] < at[10.0, k] for k in (0.0, 90.0))
    straight = all(at[a, 0.0] > at[a, 90.0] for a in (0.0, 10.0))
    told = ", ".join(f"{angle(a, 0)} {rad(v):.2f} N.m/deg" for (a, k), v in at.items() if k == 0.0)
    expected = "stiffness rises as the foot goes up; knee straight stiffer than bent at neutral and 10 deg up"
    return direction(rises and straight, expected, f"knee straight: {told}; bent is softer: {straight}")


def _chen(scene: Scene) -> Verdict:
    slopes = [-float(subtalar_passive_torque(scene.printed_passive, rad(s))[1]) for s in (-12.0, 0.0, 25.0)]
    told = f"{slopes[1]:.0f} N.m/rad at neutral, {slopes[0]:.0f} and {slopes[2]:.0f} at the two ends"
    return direction(slopes[1] < min(slopes[0], slopes[2]), "most flexible near neutral, stiff at both ends", told)


def _down(scene: Scene) -> Verdict:
    found = -float(np.median(limit_at(scene.both.passive, TEST_TORQUE, 0.0, False)))
    return within_sd(found, row(ROAAS_DOWN), unit("deg down"))


def _soucie(scene: Scene, way: str) -> Verdict:
    rows = [row(id) for id in (SOUCIE_UP if way == "df" else SOUCIE_DOWN)]
    spread = row(ROAAS_UP if way == "df" else ROAAS_DOWN).sd or 0.0
    upward, sign = way == "df", 1.0 if way == "df" else -1.0
    found = []
    for r in rows:
        legs = scene.women if "women" in r.condition else scene.men
        found.append(sign * float(np.median(limit_at(legs.passive, TEST_TORQUE, 0.0, upward))))
    names = [r.condition.removeprefix("passive; ") for r in rows]
    return many(found, [r.value for r in rows], spread, names, unit("deg up" if way == "df" else "deg down"))


ADULT = ("women-20-44", "men-20-44", "women-45-69", "men-45-69")
SOUCIE_UP = tuple(f"ax-rom-df-{who}-soucie2011" for who in ADULT)
SOUCIE_DOWN = tuple(f"ax-rom-pf-{who}-soucie2011" for who in ADULT)


def _active_up(scene: Scene) -> Verdict:
    out = deg(scene.unmoved)
    verdict = within_sd(float(np.nanmedian(out[:, LIFT])), row("ax-rom-dorsiflexion-active-boone1979"), angle)
    bent = angle(float(np.nanmedian(out[:, LIFT_BENT])))
    return Verdict(verdict.expected, f"{verdict.found} knee straight, {bent} knee bent", verdict.outcome)


def _active_down(scene: Scene) -> Verdict:
    found = -float(np.nanmedian(deg(scene.unmoved[:, PUSH])))
    return within_sd(found, row("ax-rom-plantarflexion-active-boone1979"), unit("deg down"))


def _clinical(scene: Scene, column: int, id: str) -> Verdict:
    """Subtalar limit of the middle leg, read on the whole foot by a goniometer."""
    found = float(np.median(np.abs(deg(scene.both.passive[:, column])))) / row(CLINICAL).value
    return within_sd(found, row(id), DEG)


def _turning(id: str, inwards: bool) -> Check:
    word = "in" if inwards else "out"
    return Check(
        id.removeprefix("ax-"),
        f"The foot turns {word} by so much",
        (id,),
        f"healthy mixed group, subtalar limit over the share that a goniometer on the whole foot reads ({CLINICAL}); "
        "tolerance the printed sd. The split of the arc and the share are assumptions",
        lambda scene: _clinical(scene, INWARD if inwards else OUTWARD, id),
        "sources differ: this one reads 28 deg out, boone1979 21 and a clinical reference 15; the model takes one "
        "third "
        "of a subtalar arc of 37.3 deg outwards",
        (CLINICAL,),
    )


def _schwarz(scene: Scene) -> Verdict:
    found, rows = [], [row(f"ax-rom-inversion-plus-eversion-{who}-schwarz2011") for who in ("women", "men")]
    for legs in (scene.women, scene.men):
        arcs = []
        for r in legs.passive:
            ends = [
                brentq(lambda s, r=r, t=t: subtalar_passive_torque(r, s)[0] - t, rad(-60.0), rad(60.0))
                for t in (-4.0, 4.0)
            ]
            arcs.append(deg(ends[0] - ends[1]) / row(CLINICAL).value)
        found.append(float(np.median(arcs)))
    return many(found, [r.value for r in rows], [r.sd or 0.0 for r in rows], ("women", "men"), DEG)


def _dreher(scene: Scene) -> Verdict:
    printed = row("pa-transfer-passive-gain-dreher2014")
    found = passive_gain(scene)
    half = 0.5 * (printed.high - printed.low)
    return within(found, printed.value, half, DEG)


UNMEASURED = "400 virtual legs of which nothing was measured"
CHECKS = (
    Check(
        "passive-curve-riener1999",
        "The printed passive curve of the ankle, 36 postures",
        CURVE,
        "resistance of the mean leg, knee 0 to 90 deg, ankle 40 deg down to 20 deg up; rounding of print. It shows "
        "that "
        "the formula is coded right, not that it is right",
        _curve,
    ),
    Check(
        "passive-angles-riener1999",
        "Angles at which the printed curve holds 10 and 12 N.m",
        ANGLES,
        "resistance of the mean leg; rounding of print",
        _angles,
    ),
    Check(
        "passive-slope-riener1999",
        "Stiffness at neutral of the printed curve",
        ("pa-riener-slope-neutral-knee-0", "pa-riener-slope-neutral-knee-90"),
        "resistance of the mean leg; rounding of print",
        _slopes,
    ),
    Check(
        "passive-zero-riener1999",
        "The relaxed ankle holds no torque 18 deg down",
        ("pa-riener-zero-torque-knee-0",),
        "resistance of the mean leg, knee straight; rounding of print",
        _zero,
    ),
    Check(
        "hanging-foot",
        "Angle of a hanging relaxed foot at three knee angles",
        HANGS,
        f"mean curve and foot of a man of 75 kg, shank upright; tolerance the reading error of {GONIOMETER}",
        _hanging,
        by=(GONIOMETER,),
    ),
    Check(
        "lift-from-constant-torque",
        "Angle to which a constant torque of 3 to 15 N.m lifts the foot",
        STATICS,
        f"mean curve and foot of a man of 75 kg, knee 0, 20 and 60 deg; tolerance the reading error of {GONIOMETER}",
        _statics,
        by=(GONIOMETER,),
    ),
    _prior("pa-angle-10nm-healthy-chung2004", 10.0, 0.0, "Passive angle at 10 N.m, healthy people", None, STIFF),
    _prior("pa-angle-10nm-spastic-chung2004", 10.0, 0.0, "Passive angle at 10 N.m, spastic people", None, STIFF),
    _prior(
        "pa-angle-10nm-knee-extended-controls-digiovanni2002",
        10.0,
        0.0,
        "Passive angle at 10 N.m, knee straight, people without foot pain",
        CHUNG,
        STIFF,
    ),
    _prior(
        "pa-angle-10nm-knee-extended-patients-digiovanni2002",
        10.0,
        0.0,
        "Passive angle at 10 N.m, knee straight, people with foot pain",
        CHUNG,
        STIFF,
    ),
    _prior(
        "pa-angle-10nm-knee-flexed-controls-digiovanni2002",
        10.0,
        90.0,
        "Passive angle at 10 N.m, knee bent, people without foot pain",
        CHUNG,
        STIFF,
    ),
    _prior(
        "pa-angle-10nm-knee-flexed-patients-digiovanni2002",
        10.0,
        90.0,
        "Passive angle at 10 N.m, knee bent, people with foot pain",
        CHUNG,
        STIFF,
    ),
    _prior("pa-angle-12nm-moseley2001", 12.0, 0.0, "Passive angle at 12 N.m in 300 young people", None, STIFF),
    Check(
        "torque-10df-healthy-chung2004",
        "Passive torque 10 deg up, healthy people",
        ("pa-torque-10df-healthy-chung2004",),
        f"{UNMEASURED}, knee straight; tolerance the printed sd. The knee angle was not stated where read",
        _chung_torque,
        STIFF,
    ),
    Check(
        "knee-coupling-digiovanni2002",
        "The bent knee gives 9 deg more passive dorsiflexion",
        ("pa-angle-10nm-knee-extended-controls-digiovanni2002", "pa-angle-10nm-knee-flexed-controls-digiovanni2002"),
        f"{UNMEASURED}, 10 N.m, knee 90 deg against straight; no spread is printed: the sd of {CHUNG}",
        lambda scene: _coupling(
            scene,
            "pa-angle-10nm-knee-extended-controls-digiovanni2002",
            "pa-angle-10nm-knee-flexed-controls-digiovanni2002",
        ),
        COUPLED,
        (CHUNG,),
    ),
    Check(
        "knee-coupling-japma2003",
        "The bent knee gives 4.5 deg more passive dorsiflexion",
        ("ax-rom-df-knee-straight-japma2003", "ax-rom-df-knee-bent-japma2003"),
        f"{UNMEASURED}, 10 N.m, knee 90 deg against straight; tolerance both printed sds together",
        lambda scene: _coupling(scene, "ax-rom-df-knee-straight-japma2003", "ax-rom-df-knee-bent-japma2003"),
        COUPLED,
    ),
    Check(
        "passive-stiffness-riemann2001",
        "Passive stiffness rises as the foot goes up, more with the knee straight",
        ("pa-direction-riemann2001",),
        "resistance of the mean leg at 10 deg down, neutral, 10 deg up",
        _riemann,
    ),
    Check(
        "subtalar-stiffness-chen1988",
        "The hindfoot turns most freely near neutral",
        ("pa-direction-chen1988",),
        "subtalar resistance of the mean leg; built that way, so a guard only",
        _chen,
    ),
    Check(
        "range-up-soucie2011",
        "Passive dorsiflexion of adults",
        SOUCIE_UP,
        f"{UNMEASURED}, 10 N.m, knee straight; the "
        f"printed interval is one of the mean: the sd of {ROAAS_UP} between people",
        lambda s: _soucie(s, "df"),
        STIFF,
        (ROAAS_UP,),
    ),
    Check(
        "range-down-soucie2011",
        "Passive plantarflexion of adults",
        SOUCIE_DOWN,
        f"{UNMEASURED}, 10 N.m, knee straight; "
        f"the printed interval is one of the mean: the sd of {ROAAS_DOWN} between people",
        lambda s: _soucie(s, "pf"),
        "the two sources differ by 15 deg (55 to 62 against 40); the lower branch of the printed curve stands between",
        (ROAAS_DOWN,),
    ),
    _prior(ROAAS_UP, 10.0, 0.0, "Passive dorsiflexion of men", None, STIFF),
    Check(
        "rom-plantarflexion-passive-roaas1982",
        "Passive plantarflexion of men",
        (ROAAS_DOWN,),
        f"{UNMEASURED}, 10 N.m, knee straight; tolerance the printed sd",
        _down,
        "sources differ: 40 deg here, 55 to 62 deg in soucie2011; the lower branch of the printed curve stands between",
    ),
    Check(
        "active-range-up-boone1979",
        "Healthy people lift the foot by 13 deg",
        ("ax-rom-dorsiflexion-active-boone1979",),
        "healthy mixed group with all lifters at full effort, nothing moved, lying, knee straight; tolerance the "
        "printed "
        "sd",
        _active_up,
        STIFF,
    ),
    Check(
        "active-range-down-boone1979",
        "Healthy people push the foot down by 56 deg",
        ("ax-rom-plantarflexion-active-boone1979",),
        "healthy mixed group with the calf at full effort, nothing moved; tolerance the printed sd",
        _active_down,
        "a goniometer on the foot also reads the midfoot and forefoot bending down, which this foot of one piece has "
        "not",
    ),
    _turning("ax-rom-inversion-active-boone1979", True),
    _turning("ax-rom-eversion-active-boone1979", False),
    _turning("ax-rom-inversion-passive-roaas1982", True),
    _turning("ax-rom-eversion-passive-roaas1982", False),
    Check(
        "turning-arc-at-4nm-schwarz2011",
        "Arc of turning in plus out at 4 N.m",
        tuple(f"ax-rom-inversion-plus-eversion-{who}-schwarz2011" for who in ("women", "men")),
        f"subtalar angle at 4 N.m either way, over {CLINICAL}; tolerance the printed sd",
        _schwarz,
        "near neutral the subtalar spring (row own-subtalar-stiffness, an assumption) already holds 4 N.m at 13 deg, "
        "and it does not depend on sex; women read wider",
        (CLINICAL, "own-subtalar-stiffness"),
    ),
    Check(
        "passive-gain-after-transfer-dreher2014",
        "Passive dorsiflexion gains 13 to 15 deg after the transfer",
        ("pa-transfer-passive-gain-dreher2014",),
        "palsy group, 10 N.m, knee straight: tibialis posterior taken from its "
        "place, moved tendon slack; the printed ends are the tolerance",
        _dreher,
        "taking tibialis posterior away frees about a degree in the model. What else was done to these cavovarus "
        "feet at the same operation was not read",
    ),
    Check(
        "passive-sex-riemann2001",
        "Men's ankles are stiffer 10 deg up",
        ("pa-direction-riemann2001",),
        "",
        cannot("men stiffer than women at 10 deg up"),
        "the passive curve of a leg of which nothing was measured does not depend on sex",
    ),
)
