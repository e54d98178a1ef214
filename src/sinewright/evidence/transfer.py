"""Moved tendons in the cadaver and after healing: insertion, route, retinaculum, torque, length."""

from itertools import pairwise

import numpy as np

from sinewright.anatomy.fit import reference_joint_axes
from sinewright.anatomy.foot_axis import moment_arm_about
from sinewright.anatomy.joints import subtalar_axis
from sinewright.anatomy.skeleton import build, clear_cylinders, parse_path, reference_sizes
from sinewright.arrays import Floats
from sinewright.evidence.moved import ANTERIOR, OVER, ROUND, THIRD_RAY, UNDER, by_length, with_force
from sinewright.evidence.result import OUTSIDE, WITHIN, Check, Verdict
from sinewright.evidence.scene import (
    Scene,
    efforts,
    lengths_of,
    operation,
    run_operations,
    way,
    without_judged_losses,
)
from sinewright.evidence.verdicts import angle, cannot, direction, row, side, unit, within, within_range
from sinewright.muscle.curves import force_velocity
from sinewright.muscle.names import CALF, LEG_MUSCLES
from sinewright.reference import load
from sinewright.solve.answer import MOMENT
from sinewright.transfer.catalogue import donors, pulling_paths
from sinewright.units import m, mm, rad

RAYS = (1, 2, 3, 4, 5)
FORCES = (25.0, 50.0, 100.0, 200.0)  # N; the forces of the papers were not read, so the order must hold at all
EXCURSION_ROW = "ma-tibialis-posterior-excursion-native-total"
LATERAL_CUNEIFORM = "lateral_cuneiform_dorsum"
STANDARD = operation(f"membrane_under.{LATERAL_CUNEIFORM}")
SPEED = rad(60.0)  # rad/s, of the isokinetic test
VMAX_ROW = "curve-zajac1989-vmax"
BAND = "tc-accept-insertion-sweep"
NM, PERCENT, ARM = unit("N.m"), unit("%", 0), unit("mm")


def _sweep(scene: Scene, head: str, functional: bool) -> Floats:
    """Turning-in arm [mm] of a tendon sewn to each metatarsal base, first to fifth, ankle neutral."""
    joint, foot = scene.leg.joint[0], scene.foot_axis
    axis, point = joint[3:6], joint[6:9]
    if functional:
        axis, point = subtalar_axis(foot.inclination, foot.deviation), foot.point
    moment_arms = [moment_arm_about(scene.leg, parse_path(f"{head}metatarsal_{i}_base"), axis, point) for i in RAYS]
    return mm(np.array(moment_arms))


def crossing(moment_arms: Floats) -> float | None:
    """Ray at which the arm crosses from in to out, between rays by a straight line; None when it never does."""
    for i, (a, b) in enumerate(pairwise(moment_arms)):
        if a > 0.0 >= b:
            return float(RAYS[i] + a / (a - b))
    return None


def _told(moment_arms: Floats) -> str:
    at = crossing(moment_arms)
    ends = ", ".join(f"{abs(a):.1f} {'in' if a > 0 else 'out'}" for a in moment_arms)
    return f"{ends} mm from first to fifth; {'no change of side' if at is None else f'changes side at ray {at:.1f}'}"


def _insertion(scene: Scene, functional: bool) -> Verdict:
    moment_arms = _sweep(scene, UNDER, functional)
    holds = bool(np.all(np.diff(moment_arms) < 0.0)) and crossing(moment_arms) is not None
    return direction(
        holds, "turning-in arm falls steadily and changes side from first to fifth ray", _told(moment_arms)
    )


def _balanced(scene: Scene, head: str, id: str) -> Verdict:
    """Ray at which the foot of the testing machine comes to rest neither turned in nor out."""
    band, pulled = row(BAND), row(EXCURSION_ROW).value
    turned = [by_length(scene, f"{head}metatarsal_{ray}_base", pulled).subtalar_deg for ray in range(1, 6)]
    at = crossing(np.array(turned))
    expected = f"ray {row(id).value:g}, band {band.low:g} to {band.high:g}"
    told = ", ".join(side(x) for x in turned) + " from first to fifth"
    told += f"; straight at ray {at:.1f}" if at is not None else "; never straight"
    return Verdict(expected, told, WITHIN if at is not None and band.low <= at <= band.high else OUTSIDE)


def _by_length(scene: Scene, site: str) -> dict[str, float]:
    """Angle [deg] reached by each route when the tendon is pulled by its native excursion."""
    pulled = row(EXCURSION_ROW).value
    return {n: by_length(scene, head + site, pulled).ankle_deg for n, head in WAYS.items()}


def _by_force(scene: Scene, site: str) -> dict[str, Floats]:
    return {n: np.array([with_force(scene, h + site, f).ankle_deg for f in FORCES]) for n, h in WAYS.items()}


WAYS = {"under": UNDER, "over": OVER, "round": ROUND}
SITES = {"third metatarsal": THIRD_RAY, "lateral cuneiform": LATERAL_CUNEIFORM}


def _words(at: dict[str, float]) -> str:
    return ", ".join(f"{n} {angle(a)}" for n, a in at.items())


def _both_protocols(scene: Scene, better: str, worse: str, expected: str, by_pull: bool) -> Verdict:
    """One route against another at both sites; the named protocol judges, the other is told."""
    length = {n: _by_length(scene, site) for n, site in SITES.items()}
    force = {n: _by_force(scene, site) for n, site in SITES.items()}
    long = all(at[better] > at[worse] for at in length.values())
    strong = all(bool(np.all(at[better] > at[worse])) for at in force.values())
    told = "; ".join(f"same length, {n}: {_words(at)}" for n, at in length.items())
    one = {n: float(v[2]) for n, v in force["third metatarsal"].items()}
    told += f"; same force ({FORCES[2]:.0f} N), third metatarsal: {_words(one)}"
    return direction(long if by_pull else strong, expected, told)


def _goh_route(scene: Scene) -> Verdict:
    pulled = row(EXCURSION_ROW).value
    through, round_ = (by_length(scene, head + THIRD_RAY, pulled) for head in (UNDER, ROUND))
    told = f"through the membrane {angle(through.ankle_deg)}, turned {side(through.subtalar_deg)}; round the tibia "
    told += f"{angle(round_.ankle_deg)}, turned {side(round_.subtalar_deg)}"
    holds = through.ankle_deg > round_.ankle_deg and abs(through.subtalar_deg) <= abs(round_.subtalar_deg)
    return direction(holds, "through the membrane: most dorsiflexion with least turning", told)


def _order(scene: Scene) -> Verdict:
    at = _by_length(scene, LATERAL_CUNEIFORM)
    third = _by_length(scene, THIRD_RAY)
    holds = all(x["under"] > x["over"] > x["round"] for x in (at, third))
    told = f"third metatarsal: {_words(third)}; lateral cuneiform: {_words(at)}"
    return direction(holds, "under the retinaculum > over it > round the tibia, at the same length", told)


def _gliding(scene: Scene) -> Verdict:
    turn = {n: scene.turning(head + LATERAL_CUNEIFORM) for n, head in WAYS.items()}
    told = ", ".join(f"{n} {v:.2f} rad" for n, v in turn.items())
    return direction(turn["round"] > max(turn["under"], turn["over"]), "most friction round the tibia", told)


def _no_difference(scene: Scene) -> Verdict:
    friction = load().row("own-rubbing")
    kept = {n: float(np.exp(-friction.value * scene.turning(WAYS[n] + LATERAL_CUNEIFORM))) for n in ("under", "over")}
    gap = abs(kept["under"] - kept["over"])
    told = f"pull that passes: under {100 * kept['under']:.0f} %, over {100 * kept['over']:.0f} %"
    doubt = (friction.sd or 0.0) * scene.turning(UNDER + LATERAL_CUNEIFORM)
    return direction(gap <= doubt, "no difference in gliding resistance under or over the retinaculum", told)


def _supinates(scene: Scene) -> Verdict:
    moment_arms = {n: _sweep(scene, WAYS[n], True) for n in ("under", "round")}
    tibia, membrane = (_told(moment_arms[n]) for n in ("round", "under"))
    told = f"about the functional foot axis, round the tibia: {tibia}; through: {membrane}"
    third = [float(moment_arms[n][2]) for n in ("round", "under")]
    return direction(third[0] > 0.0 and third[0] > third[1], "round the tibia turns the forefoot in", told)


def _shares(scene: Scene) -> tuple[Floats, Floats]:
    """Share [%] of the own normal lifting moment after transfer, with and without the judged losses."""
    legs = scene.palsy
    bare = run_operations(without_judged_losses(legs), [STANDARD])[STANDARD]
    shares = [100.0 * out[:, MOMENT] / legs.normal_lift for out in (scene.operated[STANDARD], bare)]
    return shares[0], shares[1]


def _share(scene: Scene, low: float, high: float) -> Verdict:
    with_, bare = _shares(scene)
    ends = np.nanquantile(with_, [0.05, 0.95])
    more = f"nine tenths {ends[0]:.0f} to {ends[1]:.0f} %; without the judged losses {np.nanmedian(bare):.0f} %"
    return within_range(float(np.nanmedian(with_)), low, high, PERCENT, more)


def _two_series(scene: Scene) -> Verdict:
    printed = row("tq-df-share-range-two-series")
    return _share(scene, printed.low, printed.high)


def _band_share(scene: Scene) -> Verdict:
    band = row("tq-accept-df-share")
    return _share(scene, 100.0 * band.low, 100.0 * band.high)


def _slowed(scene: Scene, muscle: str, arm: Floats) -> Floats:
    """Factor on force when a fibre shortens at the test speed through an arm [m] (rigid series, no fatigue)."""
    fibre = scene.palsy.muscles[:, LEG_MUSCLES.index(muscle), 1]
    vmax = load().fit_value(VMAX_ROW)
    return np.array([force_velocity(-float(v)) for v in np.abs(arm) * SPEED / fibre / vmax])


def _torque_after(scene: Scene) -> Verdict:
    printed = row("tq-dorsiflexion-after-transfer-cho2017")
    still = scene.operated[STANDARD][:, MOMENT]
    arm = way(scene.leg, UNDER + LATERAL_CUNEIFORM, 0.0, 0.0)[1]
    moving = still * _slowed(scene, "tibialis_posterior", np.full(len(still), arm))
    spread = printed.value * row(CV_ROW).value / 100.0
    more = f"{NM(float(np.nanmedian(still)))} when held still"
    return within(float(np.nanmedian(moving)), printed.value, spread, NM, more)


CV_ROW = "tq-norm-cv-benfica2018"


def _push_after(scene: Scene) -> Verdict:
    printed, legs = row("tq-plantarflexion-after-transfer-cho2017"), scene.palsy
    moment, lengths = efforts(legs, 0.0)[:, :, 0], lengths_of(legs, 0.0)
    total = np.zeros(len(moment))
    for name in CALF:
        i = LEG_MUSCLES.index(name)
        total -= moment[:, i] * legs.capacity[:, i] * _slowed(scene, name, lengths[:, i, 1])
    spread = printed.value * row(CV_ROW).value / 100.0
    return within(float(np.median(total)), printed.value, spread, NM)


def _free_length(scene: Scene) -> Verdict:
    printed = row("tc-reach-tp-free-length")
    foot, tibia, at = (row(f"ten-specimen-{w}-clinanat2017") for w in ("foot-length", "tibia-length", "ankle-angle"))
    sizes = reference_sizes() * m(foot.value) / reference_sizes()[0]
    sizes[-1] = m(tibia.value)
    leg = clear_cylinders(build(sizes[None], reference_joint_axes(load())), pulling_paths())
    length = float(mm(way(leg, donors()["tibialis_posterior"].to_cut, rad(at.value), 0.0)[0]))
    return within_range(length, *printed.spread_ends, ARM)


MACHINE = (
    "reference man in a testing machine: shank upright, foot free in both angles, printed passive curve with the knee "
    "bent (legs are cut below the knee)"
)
LENGTH_TOLD = f"{MACHINE}; tendon pulled by 18.5 mm, the middle of {EXCURSION_ROW}"
ROUTE_WHY = (
    "pulled by the same length, the angle reached goes with one over the arm. Skin holds the path round the tibia as "
    "far "
    "forward as the retinaculum holds the other, so their arms differ by less than a millimetre and the order changes "
    "with the site; friction, which is larger round the tibia, does not matter to a pulled length"
)
LOSSES = (
    "NOT independent: the losses of drive and scar (rows tq-factor-chain-*, judged) were set knowing these two series. "
    "400 virtual legs with a complete common peroneal palsy and donors of grade 5, both sexes, under the retinaculum "
    "to "
    "the lateral cuneiform, ankle neutral, isometric; the series were isokinetic"
)
CROSS_WHY = (
    "the sites of the metatarsal bases are own placements (5 mm), a millimetre of arm is a quarter of a ray, and the "
    "foot "
    "axis leaves residuals of up to 5 mm: the arm at the third ray is only 4 mm. Print reads the turning of the whole "
    "foot with the midtarsal joints, which this foot of one piece has only through that axis"
)

CHECKS = (
    Check(
        "insertion-sweep-subtalar-axis",
        "From the first to the fifth ray a moved tibialis posterior turns from in to out",
        ("tc-direction-insertion-goh1995",),
        "reference man, under the retinaculum to the five metatarsal bases, about the "
        "ANATOMICAL subtalar axis, ankle neutral",
        lambda s: _insertion(s, False),
        "a cadaver reads supination of the whole foot. About the steep subtalar axis alone every front tendon on the "
        "rays "
        "turns the hindfoot out: hindfoot angles in lift are those of the hindfoot, not of the forefoot",
    ),
    Check(
        "insertion-sweep-foot-axis",
        "The same about the functional axis of the whole foot",
        ("tc-direction-insertion-goh1995",),
        "reference man, under the retinaculum to the five metatarsal bases, about the "
        "functional foot axis found from the printed ratios of hintermann1994 (fitted to native tendons, no row of "
        "this "
        "study)",
        lambda s: _insertion(s, True),
    ),
    Check(
        "insertion-balanced-ray-goh1995",
        "A moved tibialis posterior is balanced near the third ray",
        ("tc-neutral-axis-goh1995", BAND),
        f"{LENGTH_TOLD}, under the retinaculum, to each metatarsal base; tolerance {BAND}, a proposal",
        lambda s: _balanced(s, UNDER, "tc-neutral-axis-goh1995"),
        CROSS_WHY,
    ),
    Check(
        "insertion-balanced-ray-hui1998",
        "A moved whole anterior tibial is balanced near the third ray",
        ("tc-neutral-axis-whole-hui1998", BAND),
        f"{LENGTH_TOLD}, under the retinaculum, to each metatarsal base; tolerance {BAND}, a proposal",
        lambda s: _balanced(s, ANTERIOR, "tc-neutral-axis-whole-hui1998"),
        CROSS_WHY,
    ),
    Check(
        "route-goh1995",
        "Through the membrane gives most dorsiflexion with least turning",
        ("tc-direction-route-goh1995",),
        f"{LENGTH_TOLD}, to the third metatarsal base",
        _goh_route,
        "dorsiflexion does come out larger through the membrane, but the pull of that path runs further out than the "
        "one "
        "round the tibia and turns the foot out more.",
    ),
    Check(
        "route-wagner2018",
        "Through the membrane gives more dorsiflexion than round the tibia",
        ("tc-direction-route-wagner2018",),
        f"{LENGTH_TOLD}, third metatarsal and lateral cuneiform, must hold at both",
        lambda s: _both_protocols(s, "under", "round", "through the membrane better", True),
        ROUTE_WHY,
    ),
    Check(
        "retinaculum-wagner2018",
        "Under the retinaculum gives more dorsiflexion than over it",
        ("tc-direction-retinaculum-wagner2018",),
        f"{LENGTH_TOLD}, third metatarsal and lateral cuneiform, must hold at "
        "both: the same excursion goes further through the shorter arm",
        lambda s: _both_protocols(s, "under", "over", "under the retinaculum better", True),
    ),
    Check(
        "retinaculum-dastous2005",
        "A path over the retinaculum is more efficient",
        ("tc-direction-superficial-dastous2005",),
        f"{MACHINE}; tendon pulled with the same force (25 to 200 N, must hold "
        "at all): the same force lifts more through the longer arm. With retinaculum-wagner2018 both papers hold, each "
        "under its own protocol",
        lambda s: _both_protocols(s, "over", "under", "over the retinaculum better", False),
    ),
    Check(
        "route-order",
        "Order of the routes by dorsiflexion reached",
        ("tc-accept-route-order",),
        f"{LENGTH_TOLD}, third metatarsal and lateral cuneiform; the order is a proposal",
        _order,
        ROUTE_WHY,
    ),
    Check(
        "gliding-round-tibia",
        "Gliding resistance is largest round the tibia",
        ("tc-direction-gliding-wagner2018",),
        "reference man, total bend of the strand to the lateral cuneiform, the angle of the rope equation",
        _gliding,
    ),
    Check(
        "gliding-under-over",
        "Gliding resistance does not differ under or over the retinaculum",
        ("tc-direction-retinaculum-wagner2018",),
        "reference man, rope equation with own-rubbing; no difference: less than the sd of the friction makes",
        _no_difference,
        by=("own-rubbing",),
    ),
    Check(
        "turning-round-tibia",
        "Round the tibia turns the forefoot in",
        ("tc-direction-gliding-wagner2018",),
        "reference man, functional foot axis, third metatarsal base",
        _supinates,
        "round the tibia pulls further in than through the membrane (by 4 mm at every ray, as printed), but at the "
        "third "
        "ray the sum is close to nothing; at the first two rays it turns the foot in",
    ),
    Check(
        "share-of-normal-band",
        "A grade-5 tibialis posterior gives back a quarter to a half of normal dorsiflexion",
        ("tq-accept-df-share",),
        LOSSES,
        _band_share,
        by=("tq-factor-chain-scar-gliding", "tq-factor-chain-drive-phase"),
    ),
    Check(
        "share-of-normal-two-series",
        "Dorsiflexion torque after tibialis posterior transfer is 30 to 35 % of normal",
        (
            "tq-df-share-range-two-series",
            "tq-df-share-yeap2001",
            "tq-df-deficit-cho2017",
            "out-yeap2001io-torque-share-of-normal",
        ),
        LOSSES,
        _two_series,
        "the middle of the group lies just below the two series; without the judged losses it would lie above",
        ("tq-factor-chain-scar-gliding", "tq-factor-chain-drive-phase"),
    ),
    Check(
        "torque-after-transfer-cho2017",
        "Dorsiflexion torque after transfer is 7.1 N.m at 60 deg/s",
        ("tq-dorsiflexion-after-transfer-cho2017",),
        f"{LOSSES}. Slowed by the force-velocity curve at the speed of the "
        f"test ({VMAX_ROW}); no spread is printed: the cv of {CV_ROW}",
        _torque_after,
        "people of the series: sex, age and size were not read; the virtual ones are young and of grade 5",
        (CV_ROW, VMAX_ROW),
    ),
    Check(
        "push-after-transfer-cho2017",
        "Plantarflexion torque after transfer is 39.2 N.m at 60 deg/s",
        ("tq-plantarflexion-after-transfer-cho2017",),
        "the same virtual legs, calf alone at neutral, slowed by the "
        f"force-velocity curve ({VMAX_ROW}); no spread is printed: the cv of {CV_ROW}",
        _push_after,
        "the virtual calf is that of young people with grade 5; whether the calves of the series were wasted years "
        "after the palsy, and size and age of the people, was not read",
        (CV_ROW, VMAX_ROW),
    ),
    Check(
        "tibialis-posterior-free-length",
        "Free tendon of tibialis posterior in small old legs",
        ("tc-reach-tp-free-length",),
        "reference man shrunk to a foot of 222 mm and a tibia of 315 mm, ankle 46 deg down, "
        "muscle end to the cut at the navicular; the printed bracket, probably an interval of the mean, is the "
        "tolerance",
        _free_length,
        "the landmark of the muscle end carries the printed 68 mm (measured on 315 mm of tibia) into a man of 395 mm "
        "unscaled, so in this small leg it stands 54 mm above the malleolus; the way beyond is 9 mm longer than print. "
        "Both nearly cancel",
        (
            "ten-specimen-foot-length-clinanat2017",
            "ten-specimen-tibia-length-clinanat2017",
            "ten-specimen-ankle-angle-clinanat2017",
        ),
    ),
    Check(
        "spare-length-seybold2016",
        "Great-toe and long toe flexor reach the fifth metatarsal with 49 and 5 mm to spare",
        ("tc-fhl-spare-seybold2016", "tc-fdl-spare-seybold2016"),
        "",
        cannot("49 mm and 5 mm"),
        "these tendons were cut beyond the knot of Henry and sewn to the fifth metatarsal from below; the program "
        "moves "
        "them to the front only, cut at the crossing",
    ),
    Check(
        "length-against-distance-xu2014",
        "Tendon length against distance of a re-routed tibialis posterior",
        ("tc-protocol-xu2014", "tc-length-pappas2013"),
        "",
        cannot("tables exist in both papers"),
        "the numbers were not read; the protocol can be repeated in the model when they are",
    ),
    Check(
        "turning-torque-after-transfer-cho2017",
        "Turning torques after transfer are 9.8 in and 7.3 out",
        ("tq-inversion-after-transfer-cho2017", "tq-eversion-after-transfer-cho2017"),
        "",
        cannot("9.8 and 7.3 N.m at 60 deg/s"),
        "which muscles still turned the foot in these patients was not read; in a complete palsy nothing turns it out",
    ),
    Check(
        "arch-after-harvest-kitaoka1997",
        "Without tibialis posterior the arch sinks and the hindfoot turns out",
        ("tc-direction-arch-kitaoka1997",),
        "",
        cannot("arch lower, hindfoot out"),
        "the foot of the model is one piece below the subtalar joint and carries no weight: it has no arch",
    ),
    Check(
        "first-ray-after-harvest",
        "Without the long peroneal the first ray rises and turns in",
        ("tc-direction-pl-first-ray-christensen1999", "tc-direction-pl-first-ray-dullaert2016"),
        "",
        cannot("first ray turns with the load of the long peroneal"),
        "the model has no joint of the first ray",
    ),
    Check(
        "gliding-flatfoot",
        "Gliding resistance behind the ankle rises in a flat foot",
        ("tc-direction-gliding-flatfoot6",),
        "",
        cannot("rises for all three deep flexors"),
        "the model has no flat foot",
    ),
    Check(
        "achilles-arm-effort-ito2000",
        "Arms at rest are smaller than at effort",
        ("ma-direction-ta-shape-ito2000", "ma-direction-ta-excursion-smaller-miller2015"),
        "",
        cannot("arm grows with effort; excursion reads less"),
        "paths of the model do not bulge with effort, and its arm is the change of length by definition",
    ),
)
