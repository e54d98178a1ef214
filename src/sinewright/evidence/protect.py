"""Junctions and the weeks after: pull-out under early motion, loads, bench tests, healing, set tension.

Virtual group: invented, complete peroneal palsy, donors of grade 5, tibialis posterior under the retinaculum to the
anterior tibial tendon, sewn as tight as the program's own rule says. Strength: the usual tests of each construct.
"""

from collections.abc import Callable
from functools import cache

import numpy as np

from sinewright.arrays import Floats
from sinewright.choose.sewing import sewn_for
from sinewright.evidence.people import palsy
from sinewright.evidence.result import OUTSIDE, WITHIN, Check, Verdict
from sinewright.evidence.scene import SEED, Scene, operation
from sinewright.evidence.verdicts import angle, cannot, direction, row, share_of_people, unit, within_range
from sinewright.protect.constructs import find_construct, strength_of
from sinewright.protect.healing import heal
from sinewright.protect.load import Activity, Held, hold, loads, set_tension
from sinewright.protect.stages import kept_at, margin_week
from sinewright.reference import load
from sinewright.solve import answer as a
from sinewright.transfer.catalogue import catalogue
from sinewright.transfer.plans import build_plans
from sinewright.units import deg, m

WEAVE = operation("membrane_under.anterior_tibial_below")
GROUP = (
    "400 virtual legs with a complete peroneal palsy, tibialis posterior under the retinaculum to the anterior tibial "
    "tendon, sewn as tight as the program's own rule says"
)
FROM_DAY_5, FROM_DAY_29 = 5.0 / 7.0, 29.0 / 7.0
HARMFUL = "ten-tibialis-posterior-harmful-creep-marsland2018"
BAND = ("rep-cycle-band-low-marsland2018", "rep-cycle-band-high-marsland2018")


@cache
def _held(scene: Scene) -> Held:
    """The group with its operation, ready for loads."""
    moved = next(each for each in catalogue() if each.id == WEAVE)
    case = palsy(True)
    sewn = sewn_for(case, scene.palsy, [moved])[0]
    return hold(case, scene.palsy, sewn, True, SEED, None, None)


@cache
def _loads(scene: Scene) -> dict[Activity, Floats]:
    """Tension [N] on the junction in every leg, by activity."""
    return {each.activity: each.tension[np.isfinite(each.tension)] for each in loads(_held(scene))}


def _give_way(scene: Scene, since: float) -> float:
    """Highest chance [%] that a weave gives way in active lift without resistance at any week from one on."""
    healing, tension = heal(strength_of(find_construct("weave"))), _loads(scene)["lift"]
    weeks = [since, *(week for week in np.arange(0.0, 12.5, 0.5) if week > since)]
    return 100.0 * max(kept_at(healing, tension, float(week), 1.0, 1.0).chance for week in weeks)


def _upper_bound(found: float, bound: float, told: str) -> Verdict:
    expected = f"none of {told}: at most {bound:.1f} % (one-sided exact 95 % bound)"
    return Verdict(expected, f"{found:.1f} % in the worst week", WITHIN if found <= bound else OUTSIDE)


def _early(scene: Scene) -> Verdict:
    pooled = row("cx-pullout-pooled")
    return _upper_bound(_give_way(scene, FROM_DAY_5), pooled.value, f"{pooled.n}")


def _cast(scene: Scene) -> Verdict:
    n = sum(row(id).n or 0 for id in ("cx-pullout-rath-cast", "cx-pullout-cohort-cast"))
    return _upper_bound(_give_way(scene, FROM_DAY_29), 100.0 * (1.0 - 0.05 ** (1.0 / n)), f"{n}")


def _band(scene: Scene) -> Verdict:
    low, high = (load().fit_value(id) for id in BAND)
    found = {name: float(np.median(_loads(scene)[name])) for name in ("lift", "swing", "stand")}
    told = f"active lift {found['lift']:.0f} N, swing {found['swing']:.0f} N, standing {found['stand']:.0f} N"
    inside = all(low <= value <= high for value in found.values())
    return Verdict(f"{low:.0f} to {high:.0f} N", told, WITHIN if inside else OUTSIDE)


def _creep(scene: Scene) -> Verdict:
    held = _held(scene)
    sewn = held.sewn
    plans = [sewn, type(sewn)(sewn.moved, sewn.ankle, sewn.subtalar, sewn.knee, sewn.stretch - m(row(HARMFUL).value))]
    out, failed = a.answer(held.legs, build_plans(plans))
    good = (failed == 0).all(axis=1)
    lost = float(np.median(deg(out[good, 0, a.LIFT] - out[good, 1, a.LIFT])))
    matters = load().fit_value("own-protect-lift-that-matters")
    told = f"{lost:.1f} deg of lift lost in the middle leg"
    return direction(lost >= matters, f"costs lift that matters ({matters:g} deg or more)", told)


def _walked(id: str) -> Callable[[Scene], Verdict]:
    def run(scene: Scene) -> Verdict:
        printed, healing = row(id), heal(strength_of(find_construct("weave")))
        needed, chance = load().row("own-protect-margin").value, load().fit_value("own-protect-chance")
        weeks = [margin_week(healing, _loads(scene)[name], needed, chance) for name in ("swing", "stand")]
        expected = f"margin kept by day {printed.value:.0f}, when they walked alone"
        if any(week is None for week in weeks):
            return direction(False, expected, "not kept by week 12")
        day = 7.0 * max(week for week in weeks if week is not None)
        return direction(day <= printed.value, expected, f"kept from day {day:.0f}")

    return run


def _five_passes(scene: Scene) -> Verdict:
    weave = strength_of(find_construct("weave"), passes=5)
    native = row("rep-native-control-wachtel2023")
    cv = load().fit_value("rep-cv-assumed") / 100.0
    sigma = float(np.sqrt(np.log1p(cv**2)))
    places: Floats = (np.arange(2001, dtype=np.float64) + 0.5) / 2001.0
    rng = np.random.default_rng(SEED)
    tendon = native.value * np.exp(sigma * rng.standard_normal(2001) - 0.5 * sigma**2)
    return share_of_people(float(np.mean(weave.quantile(places) > tendon)), row("rep-tendon-failures-gabuzda1994"))


def _side_to_side(scene: Scene) -> Verdict:
    weave, side = (
        strength_of(find_construct("weave")),
        strength_of(find_construct("side_to_side_woven"), overlap_mm=30.0),
    )
    told = f"weave {weave.middle:.0f} N, woven side-to-side with 30 mm {side.middle:.0f} N"
    return direction(side.middle > weave.middle, "side-to-side holds more than the weave", told)


def _sheep(scene: Scene) -> Verdict:
    healing, native = (
        heal(strength_of(find_construct("tunnel_sutured"))),
        load().fit_value("own-protect-native-strength"),
    )
    printed = row("he-sheep-load-week-4-to-12-goradia2000")
    ends = [100.0 * healing.p50(week) / native for week in (4.0, 12.0)]
    verdict = within_range(ends[0], printed.low, printed.high, unit("%", 0), f"{ends[1]:.0f} % at week 12")
    inside = printed.low <= ends[0] and ends[1] <= printed.high
    return verdict if inside else Verdict(verdict.expected, verdict.found, OUTSIDE)


def _rat(scene: Scene) -> Verdict:
    healing = heal(strength_of(find_construct("tunnel_sutured")))
    ratio = healing.p50(6.0) / healing.p50(3.0)
    pairs = [[row(f"he-rat-load-week-{week}-pretension-{n}n-zong2017").value for week in (3, 6)] for n in (0, 5, 10)]
    printed = ", ".join(f"{late / early:.1f}" for early, late in pairs)
    return direction(ratio > 1.0, f"stronger at week 6 than at week 3 (times {printed})", f"times {ratio:.2f}")


def _passive(scene: Scene) -> Verdict:
    tension, printed = set_tension(_held(scene)).after_relaxation, row("tc-passive-load-transfer-friden")
    low, middle, high = np.percentile(tension, (5.0, 50.0, 95.0))
    told = f"{middle:.0f} N in the posture of fixing (nine tenths {low:.0f} to {high:.0f} N)"
    return Verdict(f"below {printed.value:.0f} N", told, WITHIN if middle <= printed.value else OUTSIDE)


def _rest(scene: Scene) -> Verdict:
    held, printed = _held(scene), row("rh-hang-after")
    out, failed = a.answer(held.legs, build_plans([held.sewn]))
    found = float(np.median(deg(out[failed[:, 0] == 0, 0, a.REST_TABLE])))
    return within_range(found, printed.low, printed.high, angle)


CHECKS = (
    Check(
        "pull-out-early-motion",
        "No tendon pulled out when weaves were moved actively from day 5",
        ("cx-pullout-pooled", "cx-pullout-rath-early", "cx-pullout-cohort-early", "cx-pullout-pattnaik"),
        f"{GROUP}; weave, usual tests; chance that the junction gives way when the donor alone holds the hanging foot "
        "at neutral, worst week from day 5 on",
        _early,
        "on the careful side: tension counts as sewn, before any settling, wide doubt about passive fibres counts as "
        "if every such leg existed, and the dip of the healing curve is an assumption",
    ),
    Check(
        "pull-out-after-cast",
        "No tendon pulled out when weaves were moved actively after four weeks in a cast",
        ("cx-pullout-rath-cast", "cx-pullout-cohort-cast"),
        f"{GROUP}; the same from day 29 on",
        _cast,
    ),
    Check(
        "loads-in-cyclic-band",
        "Cycling between 50 and 150 N stands for active dorsiflexion and protected weight bearing",
        ("rh-standard-marsland2018",),
        f"{GROUP}; middle load in active lift, swing and standing; the band is the one of the same paper",
        _band,
        "swing and standing lie above the band: in swing the donor holds the foot at neutral against passive joint, "
        "weight and the moment of toe-off at once, and in standing some of its old stance activity is assumed "
        "(own-protect-standing-effort); active lift lies inside",
        BAND,
    ),
    Check(
        "creep-4-mm",
        "Four millimetres of creep are thought to spoil the transfer",
        (HARMFUL,),
        f"{GROUP}; final lift with the junction 4 mm slacker",
        _creep,
        "over a lever of three to four centimetres 4 mm are about six degrees of slack at rest, but a muscle that "
        "works at full effort takes most of them up",
        ("own-protect-lift-that-matters",),
    ),
    Check(
        "walked-alone-early",
        "Patients with early motion walked alone after 44 days without a pull-out",
        ("rh-walking-early-cohort",),
        f"{GROUP}; weave, usual tests; first day from which swing and standing keep the usual margin for good",
        _walked("rh-walking-early-cohort"),
        "standing carries some assumed stance activity of the muscle, and its doubt is wide",
        ("own-protect-margin", "own-protect-chance"),
    ),
    Check(
        "walked-alone-cast",
        "Patients after four weeks in a cast walked alone after 57 days without a pull-out",
        ("rh-walking-cast-cohort",),
        f"{GROUP}; the same",
        _walked("rh-walking-cast-cohort"),
        "standing carries some assumed stance activity of the muscle, and its doubt is wide",
        ("own-protect-margin", "own-protect-chance"),
    ),
    Check(
        "five-pass-weave-fails-in-tendon",
        "3 of 5 five-pass weaves failed in the tendon, not in the weave",
        ("rep-tendon-failures-gabuzda1994",),
        "share of five-pass weaves of the usual test that are stronger than an unharmed forearm tendon of 435 N; "
        "tolerance: the 95 % interval of the printed count",
        _five_passes,
        "the weave was tested in the foot and the unharmed tendon in the forearm",
        ("rep-native-control-wachtel2023", "rep-cv-assumed"),
    ),
    Check(
        "side-to-side-against-weave",
        "Woven or locking side-to-side repairs hold more than a weave",
        ("rep-direction-order-wilhelm2021", "rep-direction-locking-koopman2021"),
        "middle strength of the usual tests",
        _side_to_side,
        "the weave was tested in the foot (tibialis posterior into short peroneal), side-to-side in the forearm; no "
        "paper with both and its newtons was read, so the two constructs are not comparable here",
    ),
    Check(
        "repair-over-muscle-force",
        "A side-to-side repair of the forearm holds two to four times the muscle's force",
        ("rep-sts-fcu-edc-ratio-friden2015", "rep-sts-pt-ecrb-ratio-friden2015"),
        "",
        cannot("4 and 2 times"),
        "the muscles of the forearm are not in the program",
    ),
    Check(
        "healing-in-bone-sheep",
        "A tendon in a bone tunnel holds 15 to 19 % of an unharmed one from week 4 to 12",
        ("he-sheep-load-week-4-to-12-goradia2000",),
        "middle strength of a tunnel with the tendon sutured to itself over an unharmed tendon of 800 N",
        _sheep,
        "the sheep's graft was doubled and held in the tunnel without the suture that carries the load here; the "
        "program's curve takes the hold of suture or implant as a floor (he-curve-bone-*), which is an assumption",
        ("own-protect-native-strength",),
    ),
    Check(
        "healing-in-bone-rat",
        "A tendon in bone is stronger after six weeks than after three",
        tuple(f"he-rat-load-week-{week}-pretension-{n}n-zong2017" for week in (3, 6) for n in (0, 5, 10)),
        "middle strength of a tunnel with the tendon sutured to itself",
        _rat,
    ),
    Check(
        "healing-mouse",
        "A wounded tendon holds 48 % of an unharmed one at week 8",
        ("he-mouse-load-8wk-pmc3181390",),
        "",
        cannot("48 %"),
        "a wound in a mouse's patellar tendon is not a sewn junction, and no spread was printed",
    ),
    Check(
        "passive-load-of-transfer",
        "The passive load of a moved forearm muscle stayed below 20 N",
        ("tc-passive-load-transfer-friden",),
        f"{GROUP}; tension of the relaxed donor as sewn, after early relaxation",
        _passive,
        "a leg muscle of several times the cross-section, set by a rule that seeks lift",
    ),
    Check(
        "rest-on-table-leprosy",
        "The foot hangs at neutral to 10 deg up when let go on the table",
        ("rh-hang-after",),
        f"{GROUP}; lying, knee as sewn, before settling",
        _rest,
        "those centres sew with the ankle 20 to 30 deg up (rh-leprosy-table-position, from memory); the program's own "
        "rule sews at 8 deg up and stops where tighter no longer lifts more",
    ),
)
